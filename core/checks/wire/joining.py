"""What joints of each method do well."""

from __future__ import annotations

import math
from collections.abc import Iterator

from core.checks.context import Context
from core.checks.protecting import copper_words
from core.edits.joins import gauge_at
from core.ids import kind_of, owner_of_end, part_of
from core.job.wiring import Joint, JointMethod
from core.units import area_mm2

NAMES: dict[JointMethod, str] = {
    "solder": "solder",
    "crimp": "crimp",
    "closed-end crimp": "closed_crimp",
    "tap": "tap",
    "bolt": "bolt",
}
"""Each method as it is called in the limits table."""
BARRELS = ("crimp", "closed-end crimp")
LIMITS = (
    *(f"joint_{name}_ends" for name in NAMES.values()),
    "joint_crimp_mm2",
    "joint_closed_crimp_mm2",
    "crimp_gauge_ratio",
    "solder_gauge_ratio",
)
_INSTEAD: tuple[JointMethod, ...] = ("solder", "bolt")


def gauges(ctx: Context, joint: Joint) -> dict[str, str]:
    """The ends whose gauge is stated."""
    parts, conductors = ctx.job.parts, ctx.job.lookup.conductors
    found: dict[str, str] = {}
    for end in joint.ends:
        if ":" in end:
            gauge = conductors[owner_of_end(end)].gauge
        else:
            lead = parts[part_of(end)].cavities[end].lead
            gauge = lead.gauge if lead else None
        if gauge is not None:
            found[end] = gauge
    return found


def areas(ctx: Context, joint: Joint) -> dict[str, float]:
    """Their copper in mm2."""
    return {end: area_mm2(gauge) for end, gauge in gauges(ctx, joint).items()}


def most_ratio(ctx: Context, method: JointMethod) -> float:
    """The most between two areas in a joint of a method; lugs on a bolt may differ as they like."""
    if method == "bolt":
        return math.inf
    return ctx.limits["solder_gauge_ratio" if method == "solder" else "crimp_gauge_ratio"]


def other_methods(ctx: Context, joint: Joint) -> Iterator[JointMethod]:
    """The methods by which this joint would be a good one."""
    copper = areas(ctx, joint).values()
    ratio = max(copper) / min(copper) if copper else 1.0
    for method in _INSTEAD:
        holds = len(joint.ends) <= ctx.limits[f"joint_{NAMES[method]}_ends"]
        if method != joint.method and holds and ratio <= most_ratio(ctx, method):
            yield method


def end_words(ctx: Context, end: str) -> str:
    """An end of a joint with its gauge: `the lead of REC-3 (0.75 mm2)`."""
    ref = owner_of_end(end) if kind_of(end) == "wire end" else end
    return f"{copper_words(ctx, ref)} ({gauge_at(ctx.job, end)})"


def a_joint(method: JointMethod) -> str:
    return {"solder": "a soldered joint", "tap": "a tap", "bolt": "a bolt"}.get(method, f"a {method}")
