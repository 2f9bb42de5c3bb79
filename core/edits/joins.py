"""Joining: what hands do with two ends, and taking it apart again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from core.edits.base import checked, made, only, opening, said, the_cavity
from core.edits.draft import Draft
from core.edits.spots import Near, Spot, crimped_into, is_bare, spot
from core.errors import EditRefused
from core.ids import kind_of, natural_key, other_end, owner_of_end
from core.job.document import Job
from core.job.wiring import MOST_ENDS, Joint, Wire

_JOINT_FIELDS = frozenset({"method", "temporary_for", "note"})


@dataclass(frozen=True, slots=True)
class Plan:
    """What a join would come to. Made once for the highlight and for the drop."""

    kind: Literal["new joint", "add", "merge", "crimp", "wire to end", "wire to joint", "wire between"]
    first: str
    second: str


def plan_join(job: Job, a: str, b: str, near: Near | None = None) -> Plan:
    """How `a` and `b` would be joined. Raises EditRefused where they cannot be.

    Refused are only: what does not exist, an end with itself, and a join that is there already or is full.
    """
    return plan_spots(job, a, spot(job, a), b, spot(job, b, near))


def plan_spots(job: Job, a: str, here: Spot, b: str, there: Spot) -> Plan:
    """The same for two refs whose spots are known."""
    if here == there:
        raise _one_already(job, a, b, here)
    kinds = {here.kind: here.ref, there.kind: there.ref}
    if here.kind == there.kind == "end":
        return Plan("new joint", here.ref, there.ref)
    if here.kind == there.kind == "joint":
        low, high = sorted((here.ref, there.ref), key=natural_key)
        _room(job, low, len(job.joints[high].ends))
        return Plan("merge", low, high)
    if here.kind == there.kind == "cavity":
        _no_wire_yet(job, here.ref, there.ref)
        return Plan("wire between", here.ref, there.ref)
    if "cavity" not in kinds:
        _room(job, kinds["joint"], 1)
        return Plan("add", kinds["joint"], kinds["end"])
    if "joint" in kinds:
        _room(job, kinds["joint"], 1)
        return Plan("wire to joint", kinds["cavity"], kinds["joint"])
    loose = kinds["end"]
    return Plan("crimp" if kind_of(loose) == "wire end" else "wire to end", kinds["cavity"], loose)


def _one_already(job: Job, a: str, b: str, here: Spot) -> EditRefused:
    if a == b or here.kind != "joint":
        return EditRefused(f"{opening(job, a)} cannot be joined to itself.")
    if here.ref in (a, b):
        return EditRefused(f"{opening(job, b if here.ref == a else a)} is already in joint {here.ref}.")
    return EditRefused(f"{opening(job, a)} and {said(job, b)} are already in joint {here.ref}.")


def _room(job: Job, joint: str, more: int) -> None:
    if len(job.joints[joint].ends) + more > MOST_ENDS:
        raise EditRefused(f"Joint {joint} would hold more than {MOST_ENDS} ends.")


def _no_wire_yet(job: Job, a: str, b: str) -> None:
    for end in job.lookup.crimped.get(a, ()):
        if crimped_into(job, other_end(end)) == b:
            wire = owner_of_end(end)
            raise EditRefused(f"{job.shown(a)} and {job.shown(b)} are already joined by {wire}.")


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
            like = next((e for e in job.joints[plan.second].ends if _colour(job, e)), None)
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
        raise _one_already(job, a, b, here)
    draft = Draft(job)
    wire = draft.next_id("W")
    draft.wires.put(wire, made(Wire, id=wire, colour=colour, gauge=gauge, length_mm=length_mm))
    for letter, place in (("a", here), ("b", there)):
        match place.kind:
            case "cavity":
                draft.fill(place.ref)
                draft.crimp(f"{wire}:{letter}", place.ref)
            case "joint":
                _room(job, place.ref, 1)
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
    colour = (_colour(draft.base, like) if like else None) or _colour(draft.base, cavity)
    gauge = _gauge(draft.base, like) if like else None
    draft.wires.put(wire, Wire(id=wire, colour=colour, gauge=gauge))
    draft.fill(cavity)
    draft.crimp(f"{wire}:a", cavity)
    return wire


def _colour(job: Job, end: str) -> str | None:
    """The colour of the copper at an end, as far as it is known."""
    if kind_of(end) == "wire end":
        return job.lookup.conductors[owner_of_end(end)].colour
    cavity = the_cavity(job, end)
    own = cavity.lead.colour if cavity.lead else None
    return own or cavity.colour_found or cavity.colour_sheet


def _gauge(job: Job, end: str) -> str | None:
    if kind_of(end) == "wire end":
        return job.lookup.conductors[owner_of_end(end)].gauge
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


def lifted(job: Job, end: str) -> Job:
    """The job with that end in the hand: out of its joint, or out of its cavity. Raises EditRefused."""
    draft = Draft(job)
    if kind_of(end) == "wire end" and owner_of_end(end) in job.lookup.conductors:
        if crimped_into(job, end) is not None:
            draft.crimp(end, None)
    else:
        the_cavity(job, end)
        if is_bare(job, end):
            raise EditRefused(f"{job.shown(end)} has no lead to move.")
    draft.leave_joints([end])
    return draft.job()


def stays_put(job: Job, end: str, target: str, near: Near | None = None) -> bool:
    """Whether `target` is the joint or the cavity that `end` is in now."""
    if kind_of(end) == "wire end" and target in (end, crimped_into(job, end)):
        return True
    joint = job.lookup.joint_of.get(end)
    return joint is not None and spot(job, target, near) == Spot("joint", joint)


def replug(job: Job, end: str, target: str, near: Near | None = None) -> Job:
    """Take an end out of its joint or cavity and join it to `target`: a cavity, an end or a joint.

    Raises EditRefused.
    """
    free = lifted(job, end)
    if stays_put(job, end, target, near):
        raise EditRefused(f"{opening(job, end)} is there already.")
    return join(free, end, target, near)
