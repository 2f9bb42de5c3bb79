"""Rule: wire too thin for this load."""

from __future__ import annotations

import math
from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.loading import Copper
from core.checks.phrases import names
from core.checks.protecting import (
    AMPACITY_LIMITS,
    WRONG_FEEDS,
    coppers_words,
    fitting_fuses,
    fuse_words,
    is_fuse,
    other_gauges,
    path_to,
    too_thin,
)
from core.checks.registry import rule
from core.circuit.fusing import Guard
from core.units import show_amps

_WIDEST_STEP = 2.0
"""No two ratings in a row lie further apart, as a ratio."""


@rule(
    "wire too thin for this load",
    "stop",
    needs=("levels",),
    under=(*WRONG_FEEDS, "no return", "amps above what the gauge carries"),
    limits=(*AMPACITY_LIMITS, "continuous_share"),
)
def wire_too_thin(ctx: Context) -> Iterator[Conflict | None]:
    """No fuse fits a wire: one that carries its load for good is larger than the wire stands, and one that
    protects the wire is too small for the load.

    Whatever is fitted, either the fuse opens in use or the wire burns first.

    Fit the next thicker wire.
    """
    share = ctx.limits["continuous_share"]
    found: dict[str, list[tuple[Copper, Guard]]] = {}
    for copper in ctx.loading.copper.values():
        if copper.gauge is None or copper.amps <= 1.0:
            continue
        bears = ctx.loading.bears(copper)
        if copper.amps <= bears * share / _WIDEST_STEP:
            continue
        yield None
        guard = ctx.loading.guard(copper)
        if guard is None or not guard.by or not is_fuse(ctx, guard.by):
            continue
        fits = copper.amps / share <= guard.amps <= bears
        if not fits and too_thin(ctx, copper) and copper.position in ctx.sound_positions:
            found.setdefault(guard.by, []).append((copper, guard))
    for some in found.values():
        some.sort(key=lambda one: ctx.loading.bears(one[0]) / one[0].amps)
        yield _conflict(ctx, some)


def _rating(ctx: Context, copper: Copper) -> float:
    """The smallest rating that carries the load for good: what the wire has to stand."""
    fitting = fitting_fuses(ctx, copper.amps, math.inf)
    return fitting[0] if fitting else copper.amps / ctx.limits["continuous_share"]


def _conflict(ctx: Context, some: list[tuple[Copper, Guard]]) -> Conflict:
    share = ctx.limits["continuous_share"]
    worst, guard = some[0]
    bears = ctx.loading.bears(worst)
    path = path_to(ctx, guard, worst.a)
    # A fuse that holds and protects, but with too little to spare, is a matter of judgement.
    holds = all(copper.amps <= g.amps <= ctx.loading.bears(copper) for copper, g in some)
    return Conflict(
        rule=wire_too_thin.name,
        level="look" if holds else "stop",
        message=f"No fuse fits {coppers_words(ctx, [copper for copper, _ in some[:3]])}: the load of "
        f"{show_amps(worst.amps)} needs {show_amps(worst.amps / share)} or more, the wire stands "
        f"{show_amps(bears)} at most.",
        why=f"Behind {fuse_words(guard.by)} of {show_amps(guard.amps)}, in {worst.position.name}.",
        mend="Fit a thicker wire.",
        where=tuple(copper.ref for copper, _ in some),
        wires=ctx.conductors(path),
        path=path,
        positions=names([worst.position]),
        numbers={"amps": worst.amps, "bears_amps": bears, "fuse_amps": guard.amps},
        mends=other_gauges(ctx, {c.ref: max(g.amps, _rating(ctx, c)) for c, g in some}),
    )
