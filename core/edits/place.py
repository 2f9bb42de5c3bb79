"""Where things stand on the map. None of this changes what the job means."""

from __future__ import annotations

from collections.abc import Mapping

from core.edits.base import made
from core.edits.draft import Draft
from core.errors import EditRefused
from core.job.document import Job
from core.job.faces import Side
from core.job.view import Place


def move(job: Job, places: Mapping[str, tuple[float, float]], kept: bool = True) -> Job:
    """Put parts, joints and notes at points of the map (map units). Raises EditRefused."""
    return place_all(job, {ref: made(Place, x=x, y=y, kept=kept) for ref, (x, y) in places.items()})


def place_all(job: Job, places: Mapping[str, Place]) -> Job:
    """The same with whole places, as the auto-arrange gives them. Raises EditRefused."""
    draft = Draft(job)
    for ref, place in places.items():
        _stands_on_map(job, ref)
        if job.view.places.get(ref) != place:
            draft.places.put(ref, place)
    return draft.job()


def _stands_on_map(job: Job, ref: str) -> None:
    placed = (job.parts, job.joints, job.notes, job.mates, job.wires, job.cables)
    if not any(ref in things for things in placed):
        raise EditRefused(f"There is no {ref} on the map.")


def set_side(job: Job, side: Side) -> Job:
    """Show every face from the wire side or from the mating side."""
    draft = Draft(job)
    draft.side = side
    return draft.job()


def open_pair(job: Job, mate: str, open_it: bool) -> Job:
    """Show both faces of a mated pair, or both as one. Raises EditRefused."""
    if mate not in job.mates:
        raise EditRefused(f"There is no mated pair {mate}.")
    if open_it == (mate in job.view.opened):
        return job
    draft = Draft(job)
    others = tuple(other for other in draft.opened if other != mate)
    draft.opened = (*others, mate) if open_it else others
    return draft.job()
