"""Rule: gauges too different in one joint."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.protecting import WRONG_FEEDS
from core.checks.registry import rule
from core.checks.wire.joining import LIMITS, a_joint, end_words, gauges, most_ratio, other_methods
from core.edits.joins import set_joint
from core.units import area_mm2


@rule("gauges too different in one joint", "look", under=WRONG_FEEDS, limits=LIMITS)
def gauges_differ(ctx: Context) -> Iterator[Conflict | None]:
    """A thin and a thick conductor are in one joint that is soldered, crimped or tapped.

    A barrel that grips the thick one lets the thin one slip; solder that wets the thick one burns the thin
    one's insulation.

    Join the thin one by a lug on a bolt, or through a wire of a gauge between the two.
    """
    for joint in ctx.job.joints.values():
        yield None
        stated = gauges(ctx, joint)
        if len(set(stated.values())) < 2:
            continue
        copper = {end: area_mm2(gauge) for end, gauge in stated.items()}
        thin, thick = min(copper, key=lambda end: copper[end]), max(copper, key=lambda end: copper[end])
        most = most_ratio(ctx, joint.method)
        ratio = copper[thick] / copper[thin]
        if ratio <= most:
            continue
        yield Conflict(
            rule=gauges_differ.name,
            level="look",
            message=f"{joint.id} joins {end_words(ctx, thin)} and {end_words(ctx, thick)} by "
            f"{a_joint(joint.method)}.",
            why=f"One has {ratio:.3g} times the copper of the other; up to {most:g} times is joined well so.",
            mend="Put lugs on both and bolt them, or go through a wire of a gauge between the two.",
            where=(joint.id, thin, thick),
            path=joint.ends,
            numbers={"ratio": ratio, "most_ratio": most},
            mends=tuple(
                Mend(
                    f"Make {joint.id} by {a_joint(method)}", partial(set_joint, joint=joint.id, method=method)
                )
                for method in other_methods(ctx, joint)
            ),
        )
