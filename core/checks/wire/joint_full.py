"""Rule: joint fuller than its method allows."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.protecting import WRONG_FEEDS
from core.checks.registry import rule
from core.checks.wire.joining import BARRELS, LIMITS, NAMES, a_joint, areas, other_methods
from core.edits.joins import set_joint
from core.job.wiring import Joint


@rule("joint fuller than its method allows", "look", under=WRONG_FEEDS, limits=LIMITS)
def joint_too_full(ctx: Context) -> Iterator[Conflict | None]:
    """A joint holds more ends, or more copper, than joints of its method do well.

    Strands at the edge are not gripped or not wetted; the joint is warm, and comes apart with the first pull.

    Make two joints of it with a short wire between, or another method: a bolt, a splice block.
    """
    for joint in ctx.job.joints.values():
        yield None
        name = NAMES[joint.method]
        most = ctx.limits[f"joint_{name}_ends"]
        count = len(joint.ends)
        barrel = joint.method in BARRELS
        copper = sum(areas(ctx, joint).values()) if barrel else 0.0
        most_mm2 = ctx.limits[f"joint_{name}_mm2"] if barrel else None
        if count > most:
            words = f"{count} ends; {a_joint(joint.method)} holds {most:g} well"
            yield _full(ctx, joint, words, {"ends": count, "most_ends": most})
        elif most_mm2 is not None and (count > 2 or joint.method != "crimp") and copper > most_mm2:
            words = f"{copper:.3g} mm2 of copper; {a_joint(joint.method)} holds {most_mm2:g} mm2 well"
            yield _full(ctx, joint, words, {"copper_mm2": copper, "most_mm2": most_mm2})


def _full(ctx: Context, joint: Joint, holds: str, numbers: dict[str, float]) -> Conflict:
    return Conflict(
        rule=joint_too_full.name,
        level="look",
        message=f"{joint.id} holds {holds}.",
        why="What is not gripped or wetted all round becomes warm and lets go.",
        mend="Make two joints of it with a short wire between, or join it by another method.",
        where=(joint.id,),
        path=joint.ends,
        numbers=numbers,
        mends=tuple(
            Mend(f"Make {joint.id} by {a_joint(method)}", partial(set_joint, joint=joint.id, method=method))
            for method in other_methods(ctx, joint)
        ),
    )
