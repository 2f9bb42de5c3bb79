"""One part in place of another, with its joins kept as far as they can be."""

from __future__ import annotations

from core.edits.base import checked, made, replaced, the_part
from core.edits.draft import Draft
from core.edits.spots import is_bare
from core.ids import terminal
from core.job.document import Job
from core.job.parts import Part
from core.job.wiring import Joint, Wire


def replace_part(job: Job, tag: str, new_part: Part) -> Job:
    """Put another part in a part's place. It keeps the tag, the state, the place and what was joined.

    Joins go to the cavity with the same function, else to the one with the same pin number. Mates stay where
    the faces fit. `lost_joins` tells what could not be kept. Raises EditRefused.
    """
    old = the_part(job, tag)
    new = checked(new_part, id=tag, state=old.state)
    kept = kept_terminals(old, new)
    draft = Draft(job)
    _keep_mates(draft, old, new)
    draft.loosen(t for t in old.cavities if t not in kept)
    joined = {t for t in kept if draft.joint_of(t)}
    crimped = {t: draft.crimped(t) for t in kept if draft.crimped(t)}
    finished = {t for t in kept if t in draft.finishes}
    draft.parts.put(tag, new)
    draft.move_ends({t: kept[t] for t in joined | crimped.keys() | finished})
    after = replaced(job, parts=draft.parts.now)
    for before in sorted(joined):
        here = kept[before]
        if is_bare(after, here) and not is_bare(job, before):
            _wire_for_lead(draft, here, old, before)
    for before, ends in crimped.items():
        here = kept[before]
        if is_bare(job, before) and not is_bare(after, here):
            _join_instead(draft, here, ends)
    for before in finished:
        if is_bare(after, kept[before]) and draft.finishes[kept[before]].kind != "left":
            draft.finishes.drop(kept[before])
    return draft.job()


def lost_joins(before: Job, after: Job) -> tuple[str, ...]:
    """The terminals, as they were called before, whose joins a replaced part could not keep."""
    lost: list[str] = []
    for tag, old in before.parts.items():
        new = after.parts.get(tag)
        if new is None or new is old:
            continue
        kept = kept_terminals(old, new)
        held = (t for t in old.cavities if t in before.lookup.joint_of or t in before.lookup.crimped)
        lost += [t for t in held if t not in kept]
    return tuple(lost)


def kept_terminals(old: Part, new: Part) -> dict[str, str]:
    """Which cavity of the new part takes over from which of the old: by function, then by pin number."""
    free = dict(new.cavities)
    found: dict[str, str] = {}
    for here, cavity in old.cavities.items():
        if cavity.function and here in free and free[here].function == cavity.function:
            found[here] = here
            del free[here]
    for here, cavity in old.cavities.items():
        if cavity.function and here not in found:
            there = next((t for t, c in free.items() if c.function == cavity.function), None)
            if there is not None:
                found[here] = there
                del free[there]
    for connector in old.connectors:
        for cavity in connector.cavities:
            here = terminal(old.id, connector.name, cavity.pin)
            if here in found:
                continue
            same = [here] if here in free else [t for t, c in free.items() if c.pin == cavity.pin]
            if same and _may_take(cavity.function, free[same[0]].function):
                found[here] = same[0]
                del free[same[0]]
    return found


def _may_take(old: str, new: str) -> bool:
    """A pin number alone counts only where the functions do not say otherwise."""
    return not old or not new or old == new


def _keep_mates(draft: Draft, old: Part, new: Part) -> None:
    for connector in old.connectors:
        mate = draft.mate_of(f"{old.id}.{connector.name}")
        if mate is None:
            continue
        here = f"{old.id}.{connector.name}"
        other = mate.b if mate.a == here else mate.a
        partner = draft.parts[other.partition(".")[0]].by_name[other.partition(".")[2]]
        successor = new.by_name.get(connector.name)
        fits = successor and successor.face and partner.face and successor.face.fits(partner.face)
        if not fits or other.partition(".")[0] == old.id:
            draft.drop_mate(mate.id)


def _wire_for_lead(draft: Draft, here: str, old: Part, before: str) -> None:
    """The new part has a bare cavity where the old one had a lead: a wire like it takes the join over."""
    joint = draft.joint_of(here)
    assert joint is not None
    cavity = old.cavities[before]
    lead = cavity.lead
    colour = lead.colour if lead else cavity.colour_found or cavity.colour_sheet
    name = draft.next_id("W")
    draft.wires.put(
        name, made(Wire, id=name, colour=colour, gauge=lead and lead.gauge, length_mm=lead and lead.length_mm)
    )
    record = draft.joints[joint]
    draft.put_joint(replaced(record, ends=tuple(f"{name}:b" if e == here else e for e in record.ends)))
    draft.fill(here)
    draft.crimp(f"{name}:a", here)


def _join_instead(draft: Draft, here: str, ends: tuple[str, ...]) -> None:
    """The new part has a lead where the old one had wires crimped in: they are joined to the lead."""
    for end in ends:
        draft.crimp(end, None)
    name = draft.next_id("J")
    draft.put_joint(made(Joint, id=name, ends=(here, *ends)))
