"""Joining: what hands do with two ends, and taking it apart again."""

from __future__ import annotations

from typing import Any

from core.edits.base import checked, made, only, opening, the_cavity, the_conductor
from core.edits.draft import Draft
from core.edits.plans import check_room, lifted, one_already, plan_join, stays_put
from core.edits.spots import Near, spot
from core.edits.verdicts import Verdicts, verdict
from core.errors import EditRefused
from core.ids import kind_of, other_end, owner_of_end
from core.job.document import Job
from core.job.wiring import Joint, Wire

__all__ = [
    "Verdicts",
    "join",
    "join_by_wire",
    "lifted",
    "remove_joint",
    "replug",
    "set_joint",
    "unjoin",
    "verdict",
]

_JOINT_FIELDS = frozenset({"method", "temporary_for", "note"})


def join(job: Job, a: str, b: str, near: Near | None = None) -> Job:
    """Join two ends, joints or wires; `near` is the end of wire `b` that is meant. Raises EditRefused.

    Two ends make a joint; an end on a joint is added; two joints become the one with the lower number. A
    bare cavity gets a wire from stock crimped in, in the other end's colour and gauge.
    """
    plan = plan_join(job, a, b, near)
    draft = Draft(job)
    match plan.kind:
        case "new joint":
            _new_joint(draft, plan.first, plan.second)
        case "add":
            _add(draft, plan.first, plan.second)
        case "merge":
            second = draft.joints[plan.second].ends
            first = draft.joints[plan.first]
            draft.drop_joint(plan.second)
            draft.put_joint(checked(first, ends=(*first.ends, *second)))
        case "crimp":
            draft.fill(plan.first)
            draft.crimp(plan.second, plan.first)
        case "wire to end":
            wire = _stock_wire(draft, plan.first, plan.second)
            _new_joint(draft, plan.second, f"{wire}:b")
        case "wire to joint":
            like = next((e for e in job.joints[plan.second].ends if colour_at(job, e)), None)
            wire = _stock_wire(draft, plan.first, like)
            _add(draft, plan.second, f"{wire}:b")
        case "wire between":
            wire = _stock_wire(draft, plan.first, plan.second)
            draft.fill(plan.second)
            draft.crimp(f"{wire}:b", plan.second)
    return draft.job()


def join_by_wire(
    job: Job,
    a: str,
    b: str,
    colour: str | None = None,
    gauge: str | None = None,
    length_mm: float | None = None,
    near: Near | None = None,
) -> Job:
    """Put a wire from stock between two ends, joints or wires. Raises EditRefused."""
    here, there = spot(job, a), spot(job, b, near)
    if here == there:
        raise one_already(job, a, b, here)
    draft = Draft(job)
    wire = draft.next_id("W")
    draft.wires.put(wire, made(Wire, id=wire, colour=colour, gauge=gauge, length_mm=length_mm))
    for letter, place in (("a", here), ("b", there)):
        match place.kind:
            case "cavity":
                draft.fill(place.ref)
                draft.crimp(f"{wire}:{letter}", place.ref)
            case "joint":
                check_room(job, place.ref, 1)
                _add(draft, place.ref, f"{wire}:{letter}")
            case "end":
                _new_joint(draft, place.ref, f"{wire}:{letter}")
    return draft.job()


def _new_joint(draft: Draft, *ends: str) -> None:
    name = draft.next_id("J")
    draft.put_joint(made(Joint, id=name, ends=ends))


def _add(draft: Draft, joint: str, end: str) -> None:
    old = draft.joints[joint]
    draft.put_joint(checked(old, ends=(*old.ends, end)))


def _stock_wire(draft: Draft, cavity: str, like: str | None) -> str:
    """A new wire crimped into a bare cavity, in the colour and gauge of `like`."""
    wire = draft.next_id("W")
    colour = (colour_at(draft.base, like) if like else None) or colour_at(draft.base, cavity)
    gauge = gauge_at(draft.base, like) if like else None
    draft.wires.put(wire, Wire(id=wire, colour=colour, gauge=gauge))
    draft.fill(cavity)
    draft.crimp(f"{wire}:a", cavity)
    return wire


def colour_at(job: Job, end: str) -> str | None:
    """The colour of the copper at an end, as far as it is known. Raises EditRefused where there is no end."""
    if kind_of(end) == "wire end":
        return the_conductor(job, owner_of_end(end)).colour
    cavity = the_cavity(job, end)
    own = cavity.lead.colour if cavity.lead else None
    return own or cavity.colour_found or cavity.colour_sheet


def gauge_at(job: Job, end: str) -> str | None:
    """The gauge of the copper at an end, as far as it is known. Raises EditRefused where there is no end."""
    if kind_of(end) == "wire end":
        return the_conductor(job, owner_of_end(end)).gauge
    lead = the_cavity(job, end).lead
    return lead.gauge if lead else None


def joined_end(job: Job, end: str) -> str | None:
    """The end that stands in a joint: `end` itself, or the far end of a wire crimped into it."""
    if end in job.lookup.joint_of:
        return end
    far = (other_end(wire_end) for wire_end in job.lookup.crimped.get(end, ()))
    return next((e for e in far if e in job.lookup.joint_of), None)


def unjoin(job: Job, end: str) -> Job:
    """Take an end out of its joint; a joint with one end left is gone. Raises EditRefused."""
    joined = joined_end(job, end)
    if joined is None:
        raise EditRefused(f"{opening(job, end)} is not joined.")
    draft = Draft(job)
    draft.leave_joints([joined])
    return draft.job()


def remove_joint(job: Job, joint: str) -> Job:
    """Take a joint apart; its wires stay. Raises EditRefused."""
    if joint not in job.joints:
        raise EditRefused(f"There is no joint {joint}.")
    draft = Draft(job)
    draft.drop_joint(joint)
    return draft.job()


def set_joint(job: Job, joint: str, **fields: Any) -> Job:
    """Change a joint's method, temporary_for or note. Raises EditRefused."""
    only(fields, _JOINT_FIELDS)
    if joint not in job.joints:
        raise EditRefused(f"There is no joint {joint}.")
    draft = Draft(job)
    draft.put_joint(checked(job.joints[joint], **fields))
    return draft.job()


def replug(job: Job, end: str, target: str, near: Near | None = None) -> Job:
    """Take an end out of its joint or cavity and join it to `target`: a cavity, an end or a joint.

    Raises EditRefused.
    """
    free = lifted(job, end)
    if stays_put(job, end, target, near):
        raise EditRefused(f"{opening(job, end)} is there already.")
    return join(free, end, target, near)
