"""What becomes of an end that is not joined: capped, pulled, left for a reason."""

from __future__ import annotations

from collections.abc import Iterable

from core.edits.base import made, opening, the_cavity, the_connector
from core.edits.draft import Draft
from core.edits.spots import crimped_into, is_bare
from core.errors import EditRefused
from core.ids import kind_of, owner_of_end
from core.job.document import Job
from core.job.wiring import Finish


def cap(job: Job, ends: Iterable[str]) -> Job:
    """Cap ends of leads or wires. Raises EditRefused for an end that is joined or has no copper."""
    return _finish(job, ends, Finish(kind="capped"), needs_copper="to cap")


def pull(job: Job, ends: Iterable[str]) -> Job:
    """Pull leads out of their plugs. Raises EditRefused for what is joined or not in a plug."""
    ends = tuple(ends)
    for end in ends:
        if kind_of(end) != "terminal" or the_connector(job, end).face is None:
            raise EditRefused(f"{opening(job, end)} is not in a plug, so it cannot be pulled.")
    return _finish(job, ends, Finish(kind="pulled"), needs_copper="to pull")


def leave(job: Job, ends: Iterable[str], reason: str) -> Job:
    """Leave ends as they are, for a reason. Raises EditRefused for an end that is joined."""
    if not reason.strip():
        raise EditRefused("Say why the lead is left as it is.")
    return _finish(job, ends, made(Finish, kind="left", reason=reason.strip()), needs_copper=None)


def clear_finish(job: Job, ends: Iterable[str]) -> Job:
    """Make ends open again. Ends without a finish stay as they are."""
    draft = Draft(job)
    for end in ends:
        draft.finishes.drop(end)
    return draft.job()


def _finish(job: Job, ends: Iterable[str], finish: Finish, needs_copper: str | None) -> Job:
    draft = Draft(job)
    for end in ends:
        _free(job, end)
        if needs_copper and kind_of(end) == "terminal" and is_bare(job, end):
            raise EditRefused(f"{job.shown(end)} has no lead {needs_copper}.")
        if job.finishes.get(end) != finish:
            draft.finishes.put(end, finish)
    return draft.job()


def _free(job: Job, end: str) -> None:
    """Raises EditRefused where the end does not exist or is joined."""
    where: str | None
    if kind_of(end) == "terminal":
        the_cavity(job, end)
        wires = job.lookup.crimped.get(end, ()) if is_bare(job, end) else ()
        where = f"joined by {owner_of_end(wires[0])}" if wires else None
    elif kind_of(end) == "wire end" and owner_of_end(end) in job.lookup.conductors:
        place = crimped_into(job, end)
        where = f"crimped into {job.shown(place)}" if place else None
    else:
        raise EditRefused(f"There is no lead or wire end {end}.")
    joint = job.lookup.joint_of.get(end)
    where = f"joined in {joint}" if joint else where
    if where:
        raise EditRefused(f"{opening(job, end)} is {where}.")
