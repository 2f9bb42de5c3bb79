"""Rule: temporary join left in."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.mends import apart_and_capped
from core.checks.phrases import places
from core.checks.registry import rule
from core.edits.joins import set_joint


@rule("temporary join left in", "stop")
def temporary_join(ctx: Context) -> Iterator[Conflict | None]:
    """At the end of the job a joint is still there that was made for a test.

    What proved on the bench that a part lives, such as constant and accessory bridged, drains the battery or
    pushes into a feed in the car.

    Take the joint apart. Where it is to stay, unmark it as temporary.
    """
    if not ctx.final:
        return
    for joint in ctx.job.joints.values():
        yield None
        if not joint.temporary_for:
            continue
        yield Conflict(
            rule=temporary_join.name,
            level="stop",
            message=f"{joint.id} joins {places(ctx.job, joint.ends)} for a test only, and is still there.",
            why=f"It was made for this: {joint.temporary_for}.",
            mend="Take it apart, or unmark it as temporary.",
            where=(joint.id, *joint.ends),
            mends=(
                Mend(f"Take {joint.id} apart and cap its ends", partial(apart_and_capped, joint=joint.id)),
                Mend(f"Let {joint.id} stay", partial(set_joint, joint=joint.id, temporary_for="")),
            ),
        )
