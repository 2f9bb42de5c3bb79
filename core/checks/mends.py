"""Ways out that a conflict offers. Each is one edit; the conflict holds it as a partial of these."""

from __future__ import annotations

from collections.abc import Sequence

from core.edits.base import replaced
from core.edits.finishes import cap, pull
from core.edits.joins import join, remove_joint, unjoin
from core.edits.parts import add_part, added_tag
from core.errors import EditRefused
from core.job.document import Job
from core.job.parts import Part


def take_out(job: Job, ends: Sequence[str]) -> Job:
    """Take ends out of their joints and leave them to decide. Raises EditRefused."""
    for end in ends:
        if end in job.lookup.joint_of:
            job = unjoin(job, end)
    return job


def part_off(job: Job, ends: Sequence[str]) -> Job:
    """Take ends out of their joint; several stay joined among themselves. Raises EditRefused."""
    job = take_out(job, ends)
    for end in ends[1:]:
        job = join(job, ends[0], end)
    return job


def exchange(job: Job, first: str, second: str) -> Job:
    """Put each of two joined ends where the other is. Raises EditRefused."""
    joints = job.lookup.joint_of
    if first not in joints or second not in joints or joints[first] == joints[second]:
        raise EditRefused(f"{job.shown(first)} and {job.shown(second)} are no longer in two joints.")
    changed = dict(job.joints)
    for here, there in ((first, second), (second, first)):
        joint = job.joints[joints[here]]
        ends = tuple(there if end == here else end for end in joint.ends)
        changed[joint.id] = replaced(joint, ends=ends)
    return replaced(job, joints=changed)


def ground(job: Job, end: str, to: str) -> Job:
    """Join an end to a ground, out of the joint it is in. Raises EditRefused."""
    return join(take_out(job, [end]), end, to)


def ground_at_point(job: Job, end: str, point: Part) -> Job:
    """Add a body ground point and join an end to it, out of the joint it is in. Raises EditRefused."""
    with_point = add_part(job, point)
    tag = added_tag(job, with_point)
    (terminal, *_) = with_point.parts[tag].cavities
    return ground(with_point, end, terminal)


def step_down_between(
    job: Job, end: str, step_down: Part, names: tuple[str, str, str], to: str | None, point: Part | None
) -> Job:
    """Put a step-down between an end and the joint it is in; its minus goes to `to` or to a new `point`.

    `names` are its input, output and common inside the part. Raises EditRefused.
    """
    joint = job.lookup.joint_of.get(end)
    if joint is None:
        raise EditRefused(f"{job.shown(end)} is no longer joined.")
    rest = [other for other in job.joints[joint].ends if other != end]
    with_part = add_part(job, step_down)
    tag = added_tag(job, with_part)
    into, out, common = (f"{tag}.{name}" for name in names)
    apart = unjoin(with_part, end)
    joined = join(join(apart, rest[0], into), out, end)
    if to is not None:
        return join(joined, common, to)
    return joined if point is None else ground_at_point(joined, common, point)


def take_out_and_cap(job: Job, end: str) -> Job:
    """Take an end out of its joint and cap it. Raises EditRefused."""
    return cap(take_out(job, [end]), [end])


def apart_and_capped(job: Job, joint: str) -> Job:
    """Take a joint apart and cap what was in it. Raises EditRefused."""
    if joint not in job.joints:
        raise EditRefused(f"There is no joint {joint}.")
    return cap(remove_joint(job, joint), job.joints[joint].ends)


def take_out_and_pull(job: Job, end: str) -> Job:
    """Take a lead out of its joint and pull it out of its plug. Raises EditRefused."""
    return pull(take_out(job, [end]), [end])
