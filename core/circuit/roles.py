"""Whose each terminal is, what it is for, and whether that side gives or takes."""

from __future__ import annotations

from typing import Literal

from core.ids import connector_of, part_of
from core.job.document import Job
from core.job.parts import Cavity
from core.library.library import Library
from core.library.mates import PIGTAIL_KIND
from core.library.model import Flow, Function

Side = Literal["car", "equipment", "passes"]


def is_pigtail(job: Job, ref: str) -> bool:
    """Whether a terminal is of a plug that meets a plug of the car and only passes on what is there."""
    part, cavity = job.parts.get(part_of(ref)), job.cavity(ref)
    if part is None or cavity is None or part.state == "on the car" or part.internals:
        return False
    if part.kind == PIGTAIL_KIND:
        return True
    mate = job.lookup.mate_of.get(connector_of(ref))
    return mate is not None and job.parts[part_of(mate[1])].state == "on the car" and cavity.lead is not None


def side_of(job: Job, ref: str) -> Side:
    """Whose terminal it is: the car's, the equipment's, or one that only passes on."""
    if job.parts[part_of(ref)].state == "on the car":
        return "car"
    return "passes" if is_pigtail(job, ref) else "equipment"


def function_of(job: Job, library: Library, ref: str) -> Function | None:
    """What a terminal is for. A pigtail's is that of the car's cavity it touches, where that has one."""
    cavity = job.cavity(ref)
    if cavity is None:
        return None
    if is_pigtail(job, ref):
        other = job.lookup.meets.get(ref)
        met = job.cavity(other) if other else None
        if met is not None and met.function:
            return library.functions.get(met.function)
    return library.functions.get(cavity.function)


def flow_of(cavity: Cavity, function: Function, side: Side) -> Flow:
    """What this side does with it: as the cavity says, else as the function table does."""
    return cavity.flow or (function.equipment if side == "equipment" else function.car)
