"""Cavities and the leads in them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from core.edits.base import only, replaced, the_cavity, values, with_values
from core.edits.draft import Draft
from core.errors import EditRefused
from core.ids import local, part_of
from core.job.document import Job
from core.job.internals import Feed, GroundPoint, SwitchToGround
from core.job.parts import Cavity, Lead

_FIELDS = frozenset(Cavity.model_fields) - {"pin", "lead"}
_LEAD_FIELDS = frozenset(Lead.model_fields)
_OF_A_FUNCTION = (Feed, GroundPoint, SwitchToGround)


def set_cavity(job: Job, terminal: str, **fields: Any) -> Job:
    """Change what is known of a cavity: any field but its pin and its lead. Raises EditRefused.

    What the part stated of a feed, ground or switch there goes with its function; the new one speaks.
    """
    return set_cavities(job, [terminal], **fields)


def set_cavities(job: Job, terminals: Iterable[str], **fields: Any) -> Job:
    """The same for many cavities at once. Raises EditRefused."""
    only(fields, _FIELDS)
    olds = {terminal: the_cavity(job, terminal) for terminal in terminals}
    validated = values(next(iter(olds.values())), fields) if olds else {}
    news = {terminal: with_values(old, validated) for terminal, old in olds.items()}
    draft = _put(job, news)
    _forget(draft, [terminal for terminal, old in olds.items() if news[terminal].function != old.function])
    return draft.job()


def set_lead(job: Job, terminal: str, **fields: Any) -> Job:
    """Change a cavity's lead, or give it one: colour, gauge, length_mm, trimmed_mm. Raises EditRefused."""
    return set_leads(job, [terminal], **fields)


def set_leads(job: Job, terminals: Iterable[str], **fields: Any) -> Job:
    """The same for many leads at once. Raises EditRefused."""
    only(fields, _LEAD_FIELDS)
    validated = values(Lead(), fields)
    olds = {terminal: the_cavity(job, terminal) for terminal in terminals}
    return _put(
        job,
        {
            terminal: replaced(old, lead=with_values(old.lead or Lead(), validated), filled=True)
            for terminal, old in olds.items()
        },
    ).job()


def remove_lead(job: Job, terminal: str) -> Job:
    """Take a lead away, out of its joint. The cavity stays. Raises EditRefused."""
    cavity = the_cavity(job, terminal)
    if cavity.lead is None:
        raise EditRefused(f"{job.shown(terminal)} has no lead.")
    draft = Draft(job)
    draft.leave_joints([terminal])
    draft.finishes.drop(terminal)
    draft.put_cavities({terminal: replaced(cavity, lead=None)})
    return draft.job()


def swap_pins(job: Job, terminal_1: str, terminal_2: str) -> Job:
    """Exchange the leads of two cavities with all that is joined to them; functions stay with the face.

    Raises EditRefused.
    """
    if terminal_1 == terminal_2:
        raise EditRefused(f"{job.shown(terminal_1)} cannot change places with itself.")
    first, second = the_cavity(job, terminal_1), the_cavity(job, terminal_2)
    lookup = job.lookup
    pair = {terminal_1: first, terminal_2: second}
    if not any(c.lead or t in lookup.crimped or t in lookup.joint_of for t, c in pair.items()):
        names = f"{job.shown(terminal_1)} or {job.shown(terminal_2)}"
        raise EditRefused(f"There is no lead in {names} to change places.")
    draft = Draft(job)
    draft.put_cavities({terminal_1: replaced(first, lead=second.lead, filled=second.filled)})
    draft.put_cavities({terminal_2: replaced(second, lead=first.lead, filled=first.filled)})
    draft.move_ends({terminal_1: terminal_2, terminal_2: terminal_1})
    return draft.job()


def _put(job: Job, changes: dict[str, Cavity]) -> Draft:
    draft = Draft(job)
    draft.put_cavities({t: new for t, new in changes.items() if new != job.cavity(t)})
    return draft


def _forget(draft: Draft, terminals: Iterable[str]) -> None:
    for terminal in terminals:
        part = draft.parts[part_of(terminal)]
        kept = tuple(
            internal
            for internal in part.internals
            if not (isinstance(internal, _OF_A_FUNCTION) and internal.terminal == local(terminal))
        )
        if len(kept) < len(part.internals):
            draft.parts.put(part.id, replaced(part, internals=kept))
