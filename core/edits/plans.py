"""What a join would come to: one answer for the highlight and for the drop."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from core.edits.base import opening, said, the_cavity
from core.edits.draft import Draft
from core.edits.spots import Near, Spot, crimped_into, is_bare, spot
from core.errors import EditRefused
from core.ids import kind_of, other_end, owner_of_end
from core.job.document import Job
from core.job.wiring import MOST_ENDS


@dataclass(frozen=True, slots=True)
class Plan:
    """What a join would come to. Made once for the highlight and for the drop."""

    kind: Literal["new joint", "add", "merge", "crimp", "wire to end", "wire to joint", "wire between"]
    first: str
    second: str


def plan_join(job: Job, a: str, b: str, near: Near | None = None) -> Plan:
    """How `a` and `b` would be joined; `near` is the end of wire `b` that is meant. Raises EditRefused.

    Refused are only: what does not exist, an end with itself, and a join that is there already or is full.
    """
    return plan_spots(job, a, spot(job, a), b, spot(job, b, near))


def plan_spots(job: Job, a: str, here: Spot, b: str, there: Spot) -> Plan:
    """The same for two refs whose spots are known."""
    if here == there:
        raise one_already(job, a, b, here)
    kinds = {here.kind: here.ref, there.kind: there.ref}
    if here.kind == there.kind == "end":
        return Plan("new joint", here.ref, there.ref)
    if here.kind == there.kind == "joint":
        low, high = sorted((here.ref, there.ref), key=lambda joint: int(joint[1:]))
        check_room(job, low, len(job.joints[high].ends))
        return Plan("merge", low, high)
    if here.kind == there.kind == "cavity":
        _no_wire_yet(job, here.ref, there.ref)
        return Plan("wire between", here.ref, there.ref)
    if "cavity" not in kinds:
        check_room(job, kinds["joint"], 1)
        return Plan("add", kinds["joint"], kinds["end"])
    if "joint" in kinds:
        check_room(job, kinds["joint"], 1)
        return Plan("wire to joint", kinds["cavity"], kinds["joint"])
    loose = kinds["end"]
    return Plan("crimp" if kind_of(loose) == "wire end" else "wire to end", kinds["cavity"], loose)


def one_already(job: Job, a: str, b: str, here: Spot) -> EditRefused:
    if a == b or here.kind != "joint":
        return EditRefused(f"{opening(job, a)} cannot be joined to itself.")
    if here.ref in (a, b):
        return EditRefused(f"{opening(job, b if here.ref == a else a)} is already in joint {here.ref}.")
    return EditRefused(f"{opening(job, a)} and {said(job, b)} are already in joint {here.ref}.")


def check_room(job: Job, joint: str, more: int) -> None:
    if len(job.joints[joint].ends) + more > MOST_ENDS:
        raise EditRefused(f"Joint {joint} would hold more than {MOST_ENDS} ends.")


def _no_wire_yet(job: Job, a: str, b: str) -> None:
    for end in job.lookup.crimped.get(a, ()):
        if crimped_into(job, other_end(end)) == b:
            wire = owner_of_end(end)
            raise EditRefused(f"{job.shown(a)} and {job.shown(b)} are already joined by {wire}.")


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
