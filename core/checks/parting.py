"""Where two things that must not meet were joined, and how to take them apart."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial

from core.checks.context import Context
from core.checks.finding import Mend
from core.checks.mends import part_off, take_out
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

    At a joint the smaller side is taken out, with what belongs to it, and stays joined among itself. Without
    a joint, a wire crimped in at both ends is taken away.
    """
    point = meeting_point(ctx, path)
    if point not in ctx.job.joints:
        wires = [ref for ref in path if ref in ctx.job.wires]
        return (Mend(f"Take {wires[0]} away", partial(remove_wires, wires=wires[:1])),) if wires else ()
    sides = _sides(ctx, point, set(one), set(other))
    if sides is None:
        return ()
    smaller = min(sides, key=len)
    if len(sides[0]) == len(sides[1]) == 1:
        return (Mend(f"Take {point} apart", partial(remove_joint, joint=point)),)
    label = f"Take {places(ctx.job, smaller)} out of {point}"
    return (Mend(label, partial(part_off, ends=tuple(smaller))),)


def _sides(ctx: Context, joint: str, one: set[str], other: set[str]) -> tuple[list[str], list[str]] | None:
    """The ends of a joint by the side they belong to; None where an end leads to both.

    What goes with either stays with the larger side, which stays where it is.
    """
    sides: tuple[list[str], list[str]] = ([], [])
    either: list[str] = []
    for end in ctx.job.joints[joint].ends:
        beyond = ctx.graph.beyond(joint, end)
        leads_to = [not beyond.isdisjoint(refs) for refs in (one, other)]
        if all(leads_to):
            return None
        if any(leads_to):
            sides[leads_to.index(True)].append(end)
            continue
        misfits = [_misfits(ctx, beyond, refs) for refs in (one, other)]
        (either if misfits[0] == misfits[1] else sides[misfits[0] > misfits[1]]).append(end)
    if not all(sides):
        return None
    max(sides, key=len).extend(either)
    return sides


def _misfits(ctx: Context, nodes: set[str], refs: set[str]) -> int:
    """How badly what lies beyond an end goes with the terminals of one side."""
    classes = {ctx.cls(ref) for ref in refs}
    return sum(_misfit(ctx, ref, refs, classes) for ref in nodes if kind_of(ref) == "terminal")


def _misfit(ctx: Context, ref: str, refs: set[str], classes: set[str]) -> int:
    function = ctx.function(ref)
    if function is None:
        return 0
    if function.cls == "none":
        # A fuse, relay or step-down says by its lead where it wants to be.
        return 0 if ("ground" if function.id in _ON_GROUND else "feed") in classes else 1
    if "feed" in classes and ref in ctx.low_volt_inputs:
        return _WEIGHTS["stop"]
    known = [other.id for one in refs if (other := ctx.function(one)) is not None]
    return max((_WEIGHTS[ctx.library.pair_fits(function.id, one).verdict] for one in known), default=0)


_WEIGHTS = {"fits": 0, "look": 1, "stop": 3}
_ON_GROUND = frozenset({"common", "coil-minus"})


def out_of_joint(ctx: Context, ref: str) -> tuple[Mend, ...]:
    """The mend that takes a terminal's lead out of its joint."""
    end = ctx.joined_end(ref)
    if end is None:
        return ()
    joint = ctx.job.lookup.joint_of[end]
    label = f"Take {places(ctx.job, [end])} out of {joint}"
    return (Mend(label, partial(take_out, ends=(end,))),)
