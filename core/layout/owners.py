"""What is drawn by which block, and what hangs on which part."""

from __future__ import annotations

from core.ids import natural_key, part_of
from core.job.document import Job
from core.job.wiring import Conductor, Wire


def members_of(block_of: dict[str, str]) -> dict[str, tuple[str, ...]]:
    """Block to the other halves that it draws, in order."""
    found: dict[str, list[str]] = {tag: [] for tag, block in block_of.items() if tag == block}
    for tag, block in block_of.items():
        if tag != block:
            found[block].append(tag)
    return {tag: tuple(sorted(halves, key=natural_key)) for tag, halves in found.items()}


def parts_at(job: Job, ref: str) -> set[str]:
    """The parts that a joint, wire, cable or mate hangs on."""
    found: set[str] = set()
    if ref in job.joints:
        found.update(part_of(end) for end in job.joints[ref].ends if ":" not in end)
    elif ref in job.mates:
        found.update((part_of(job.mates[ref].a), part_of(job.mates[ref].b)))
    for conductor in conductors_in(job, ref):
        found.update(part_of(place) for place in (conductor.a_in, conductor.b_in) if place is not None)
    return found


def conductors_in(job: Job, ref: str) -> list[Wire | Conductor]:
    """A wire itself, or the conductors of a cable."""
    if ref in job.wires:
        return [job.wires[ref]]
    return list(job.cables[ref].conductors) if ref in job.cables else []
