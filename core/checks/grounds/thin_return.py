"""Rule: return thinner than its feed."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.phrases import listed
from core.checks.registry import rule
from core.circuit.elements import LoadPart
from core.circuit.positions import Position
from core.edits.wires import set_wires
from core.units import area_mm2, show_amps


@rule(
    "return thinner than its feed",
    "look",
    needs=("levels",),
    under=("no return", "feed shorted to ground", "reversed polarity"),
)
def thin_return(ctx: Context) -> Iterator[Conflict | None]:
    """The wire that brings a part's amps back is thinner than the one that feeds it.

    The same amps flow in both. The thin one loses more, lifts the part's ground, and is the first to get hot;
    the fuse is in the other.

    Take the same gauge for both.
    """
    limit = ctx.limits["return_least_share"]
    done: set[tuple[str, ...]] = set()
    for load in ctx.loads:
        yield None
        if not ctx.job.lookup.conductors:
            return
        found = _most(ctx, load)
        if found is None:
            continue
        position, back, amps = found
        feeds, ground = ctx.levels.feeds(load.plus, position), ctx.levels.ground(back, position)
        if not feeds or ground is None or amps < ctx.limits["return_least_amps"]:
            continue
        there = _wires(ctx, ctx.levels.path(feeds[0], load.plus), position, amps)
        again = _wires(ctx, ctx.levels.path(ground, back), position, amps)
        if not there or not again:
            continue
        least = min(there.values())
        thin = tuple(wire for wire, area in again.items() if area < limit * least)
        if not thin or thin in done:
            continue
        done.add(thin)
        gauge = next(ctx.job.lookup.conductors[wire].gauge for wire, area in there.items() if area == least)
        worst = min(thin, key=lambda wire: again[wire])
        own = ctx.job.lookup.conductors[worst].gauge
        shown = listed(thin)
        mends: tuple[Mend, ...] = ()
        if set(thin) <= set(ctx.job.wires):
            mends = (Mend(f"Make {shown} {gauge}", partial(set_wires, wires=thin, gauge=gauge)),)
        yield Conflict(
            rule=thin_return.name,
            level="look",
            message=f"{shown}, of {own}, would bring back the {show_amps(amps)} of {load.part} that are fed "
            f"by {gauge}.",
            why="The same amps flow in feed and return.",
            mend=f"Take {gauge} for both.",
            where=(worst, ctx.lead(back)),
            wires=thin,
            positions=(position.name,),
            numbers={"amps": amps, "area_mm2": again[worst], "feed_area_mm2": least},
            mends=mends,
        )


def _most(ctx: Context, load: LoadPart) -> tuple[Position, str, float] | None:
    """Where the most amps come back, by which lead, and how many; for a minus on the side of the body."""
    if ctx.job.settings.ground != "negative":
        return None
    found = [
        (abs(amps), p, ref)
        for ref in load.minus
        for p in ctx.positions
        if (amps := _amps(ctx, ref, p)) is not None
    ]
    if not found:
        return None
    amps, position, ref = max(found, key=lambda one: one[0])
    return position, ref, amps


def _amps(ctx: Context, ref: str, position: Position) -> float | None:
    """Through a terminal's own lead, or through the wires crimped into its cavity together."""
    point = ctx.levels.point(position)
    crimped = ctx.job.lookup.crimped.get(ctx.lead(ref), ())
    if crimped:
        return sum(point.amps(end.partition(":")[0]) or 0.0 for end in crimped)
    return point.amps(ctx.lead(ref))


def _wires(ctx: Context, path: tuple[str, ...], position: Position, amps: float) -> dict[str, float]:
    """The wires on a way that carry the better part of these amps, with their copper in mm2."""
    point = ctx.levels.point(position)
    found: dict[str, float] = {}
    for ref in ctx.conductors(path):
        gauge = ctx.job.lookup.conductors[ref].gauge
        if gauge is not None and abs(point.amps(ref) or 0.0) >= amps / 2:
            found[ref] = area_mm2(gauge)
    return found
