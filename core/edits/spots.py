"""Where a join lands: what a ref that a person drops on means to the hands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from core.edits.base import opening, the_cavity, the_conductor
from core.errors import EditRefused
from core.ids import connector_of, kind_of, other_end, owner_of_end, part_of
from core.job.document import Job

Near = Literal["a", "b"]


@dataclass(frozen=True, slots=True)
class Spot:
    """`end`: a free end of copper. `joint`: a joint. `cavity`: a bare cavity that still needs a wire."""

    kind: Literal["end", "joint", "cavity"]
    ref: str


def is_bare(job: Job, terminal: str) -> bool:
    """Whether the cavity has no copper of its own. A car's plug has the car's wire, loose leads are wire."""
    part = job.parts[part_of(terminal)]
    cavity = part.cavities[terminal]
    if cavity.lead is not None or part.state == "on the car":
        return False
    return part.by_name[connector_of(terminal).partition(".")[2]].face is not None


def spot(job: Job, ref: str, near: Near | None = None) -> Spot:
    """What joining to `ref` comes down to. A joined end counts as its joint. Raises EditRefused.

    `near` says which end of a wire or conductor is meant.
    """
    match kind_of(ref):
        case "joint":
            if ref not in job.joints:
                raise EditRefused(f"There is no joint {ref}.")
            return Spot("joint", ref)
        case "terminal":
            return _of_terminal(job, ref)
        case "wire end":
            return _of_wire_end(job, ref)
        case "wire" | "conductor":
            return _of_wire(job, ref, near)
        case _:
            raise EditRefused(f"{ref} is nothing that a wire can be joined to.")


def _of_terminal(job: Job, terminal: str) -> Spot:
    the_cavity(job, terminal)
    joint = job.lookup.joint_of.get(terminal)
    if joint is not None:
        return Spot("joint", joint)
    if not is_bare(job, terminal):
        return Spot("end", terminal)
    for end in job.lookup.crimped.get(terminal, ()):
        far = other_end(end)
        if crimped_into(job, far) is None:
            return _joined_or_free(job, far)
    return Spot("cavity", terminal)


def crimped_into(job: Job, end: str) -> str | None:
    """The cavity that a wire end is crimped into, None where it is free."""
    conductor = job.lookup.conductors[owner_of_end(end)]
    return conductor.a_in if end.endswith("a") else conductor.b_in


def _of_wire_end(job: Job, end: str) -> Spot:
    the_conductor(job, owner_of_end(end))
    place = crimped_into(job, end)
    if place is not None:
        raise EditRefused(f"{opening(job, end)} is crimped into {job.shown(place)}.")
    return _joined_or_free(job, end)


def _joined_or_free(job: Job, end: str) -> Spot:
    joint = job.lookup.joint_of.get(end)
    return Spot("joint", joint) if joint is not None else Spot("end", end)


def _of_wire(job: Job, wire: str, near: Near | None) -> Spot:
    the_conductor(job, wire)
    ends = (f"{wire}:{near or 'a'}", other_end(f"{wire}:{near or 'a'}"))
    for end in ends:
        if crimped_into(job, end) is None:
            return _joined_or_free(job, end)
    # Both ends are in cavities: what can be reached is the cavity at the near end.
    place = crimped_into(job, ends[0])
    assert place is not None
    return _of_terminal(job, place)
