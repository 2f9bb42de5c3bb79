"""Where two things that must not meet were joined, and how to take them apart."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial

from core.checks.context import Context
from core.checks.finding import Mend
from core.checks.mends import take_out
from core.checks.phrases import places
from core.edits.joins import remove_joint
from core.edits.wires import remove_wires
from core.ids import kind_of


def meeting_point(ctx: Context, path: tuple[str, ...]) -> str:
    """The joint on a path at which the most comes together, else the middle of the path."""
    joints = [ref for ref in path if ref in ctx.job.joints]
    if joints:
        return max(joints, key=lambda j: (len(ctx.job.joints[j].ends), -joints.index(j)))
    terminals = [ref for ref in path if kind_of(ref) == "terminal"]
    return terminals[len(terminals) // 2]


def apart(ctx: Context, path: tuple[str, ...], one: Iterable[str], other: Iterable[str]) -> tuple[Mend, ...]:
    """The mend that parts the terminals of `one` from those of `other` along a path between them.

    At a joint the smaller side is taken out; without one, a wire crimped in at both ends is taken away.
    """
    point = meeting_point(ctx, path)
    if point not in ctx.job.joints:
        wires = [ref for ref in path if ref in ctx.job.wires]
        return (Mend(f"Take {wires[0]} away", partial(remove_wires, wires=wires[:1])),) if wires else ()
    ends = ctx.job.joints[point].ends
    beyond = {end: ctx.graph.beyond(point, end) for end in ends}
    first = [end for end in ends if not beyond[end].isdisjoint(one)]
    second = [end for end in ends if not beyond[end].isdisjoint(other)]
    if not first or not second or set(first) & set(second):
        return ()
    smaller = first if len(first) <= len(second) else second
    if len(ends) == 2:
        return (Mend(f"Take {point} apart", partial(remove_joint, joint=point)),)
    return (Mend(f"Take {places(ctx.job, smaller)} out of {point}", partial(take_out, ends=tuple(smaller))),)


def out_of_joint(ctx: Context, ref: str) -> tuple[Mend, ...]:
    """The mend that takes a terminal's lead out of its joint."""
    end = ctx.joined_end(ref)
    if end is None:
        return ()
    joint = ctx.job.lookup.joint_of[end]
    label = f"Take {places(ctx.job, [end])} out of {joint}"
    return (Mend(label, partial(take_out, ends=(end,))),)
