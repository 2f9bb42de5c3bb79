"""Rule: amps above what the gauge carries."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict, Level
from core.checks.loading import Copper
from core.checks.phrases import names
from core.checks.protecting import (
    AMPACITY_LIMITS,
    WRONG_FEEDS,
    capital,
    copper_words,
    coppers_words,
    other_gauges,
)
from core.checks.registry import rule
from core.units import show_amps


@rule(
    "amps above what the gauge carries",
    "stop",
    needs=("levels",),
    under=(*WRONG_FEEDS, "no return"),
    limits=(*AMPACITY_LIMITS, "continuous_share"),
)
def amps_above_gauge(ctx: Context) -> Iterator[Conflict | None]:
    """A wire or lead carries more amps for long than its copper stands in a bundle, in a warm cabin.

    Its insulation softens and ages, gives way where it is bent or pressed, and burns what lies beside it.

    Fit the next thicker wire, or share the load between two.
    """
    over: dict[tuple[str | int | None, Level], list[Copper]] = {}
    for copper in ctx.loading.copper.values():
        if copper.amps <= 1.0 or copper.amps <= ctx.loading.bears(copper):
            continue
        yield None
        if copper.position not in ctx.sound_positions:
            continue
        # What was assumed for want of a gauge is no ground for a Stop.
        level: Level = "note" if copper.gauge is None else "stop"
        guard = ctx.loading.guard(copper)
        loop = ctx.loading.net(copper) if guard is None else guard.by or guard.source
        over.setdefault((loop, level), []).append(copper)
    for (_, level), found in over.items():
        found.sort(key=lambda one: ctx.loading.bears(one) / one.amps)
        yield _conflict(ctx, found, level)


def _conflict(ctx: Context, found: list[Copper], level: Level) -> Conflict:
    worst = found[0]
    bears = ctx.loading.bears(worst)
    table = ctx.library.ampacity
    if worst.gauge is None:
        words = f"{copper_words(ctx, worst.ref)}, whose gauge is not stated,"
        why = f"Taken for {ctx.limits['lead_area_mm2']:g} mm2 it carries {show_amps(bears)} for good."
    else:
        words = coppers_words(ctx, found[:3])
        why = (
            f"In a bundle at {ctx.limits['cabin_celsius']:g} °C it carries {show_amps(bears)} for good (by "
            f"itself {show_amps(table.amps(worst.gauge))})."
        )
    needs = {one.ref: one.amps / ctx.limits["continuous_share"] for one in found}
    for one in found:
        guard = ctx.loading.guard(one)
        if guard is not None and guard.by:
            needs[one.ref] = max(needs[one.ref], guard.amps)
    return Conflict(
        rule=amps_above_gauge.name,
        level=level,
        message=f"{capital(words)} would carry {show_amps(worst.amps)} in {worst.position.name}.",
        why=why,
        mend="Fit a thicker wire." if worst.gauge else "State its gauge.",
        where=tuple(one.ref for one in found),
        wires=tuple(one.ref for one in found if one.ref in ctx.job.lookup.conductors),
        positions=names([worst.position]),
        numbers={"amps": worst.amps, "bears_amps": bears},
        mends=other_gauges(ctx, needs),
    )
