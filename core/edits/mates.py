"""Plugging connectors together and apart."""

from __future__ import annotations

from core.edits.answers import FITS, Verdict
from core.edits.base import made
from core.edits.draft import Draft
from core.errors import EditRefused
from core.ids import kind_of
from core.job.document import Job
from core.job.faces import Face
from core.job.parts import Connector
from core.job.wiring import Mate


def mate(job: Job, connector_a: str, connector_b: str) -> Job:
    """Plug two connectors together. Raises EditRefused with the reason of `can_mate`."""
    answer = can_mate(job, connector_a, connector_b)
    if answer.kind == "cannot":
        raise EditRefused(answer.reason)
    draft = Draft(job)
    name = draft.next_id("M")
    draft.mates.put(name, made(Mate, id=name, a=connector_a, b=connector_b))
    return draft.job()


def unmate(job: Job, mate_id: str) -> Job:
    """Unplug a mated pair. Raises EditRefused."""
    if mate_id not in job.mates:
        raise EditRefused(f"There is no mated pair {mate_id}.")
    draft = Draft(job)
    draft.drop_mate(mate_id)
    return draft.job()


def can_mate(job: Job, a: str, b: str) -> Verdict:
    """Whether the two connectors can be plugged together, and what a person should know first."""
    found: list[Connector] = []
    for ref in (a, b):
        connector = job.connector(ref) if kind_of(ref) == "connector" else None
        if connector is None:
            return _cannot(f"There is no connector {ref}.")
        if connector.face is None:
            return _cannot(f"{ref} is a bunch of loose leads; only plugs and sockets can be mated.")
        if ref in job.lookup.mate_of:
            return _cannot(f"{ref} is already plugged into {job.lookup.mate_of[ref][1]}.")
        found.append(connector)
    if a == b:
        return _cannot(f"{a} cannot be plugged into itself.")
    mine, other = found
    assert mine.face is not None
    assert other.face is not None
    if not mine.face.fits(other.face):
        return _cannot(_why_not(a, mine.face, b, other.face))
    for here, this, there, that in ((a, mine, b, other), (b, other, a, mine)):
        reason = _meets_nothing(job, here, this, there, that)
        if reason:
            return Verdict("but", reason, "lead whose mate is empty or blocked")
    return FITS


def _cannot(reason: str) -> Verdict:
    return Verdict("cannot", reason, None)


def _why_not(a: str, mine: Face, b: str, other: Face) -> str:
    if (mine.rows, mine.columns) == (other.rows, other.columns):
        return f"{a} and {b} are both {mine.gender}; they cannot be plugged together."
    grids = [f"{face.rows} x {face.columns}" for face in (mine, other)]
    return f"{a} has {grids[0]} cavities and {b} has {grids[1]}; they cannot be plugged together."


def _meets_nothing(job: Job, here: str, mine: Connector, there: str, other: Connector) -> str | None:
    """The first lead of `mine` that would meet a blocked place, or none at all."""
    assert mine.face is not None
    assert other.face is not None
    for cavity in mine.cavities:
        terminal = f"{here}-{cavity.pin}"
        if cavity.lead is None and terminal not in job.lookup.crimped:
            continue
        pin = mine.face.opposite(cavity.pin, other.face)
        if pin is None or pin in other.face.blocked or pin not in other.by_pin:
            met = f"no cavity of {there}" if pin is None else f"the blocked cavity {pin} of {there}"
            return f"The lead in {job.shown(terminal)} would meet {met}."
    return None
