"""Rule: return thinner than its feed."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.insides import insides
from core.checks.mends_protection import change_gauges
from core.checks.phrases import listed
from core.checks.registry import rule
from core.circuit.drives import Drive
from core.circuit.elements import LoadPart
from core.circuit.positions import Position
from core.ids import owner_of_end
from core.job.internals import Feed, Fuse
from core.units import area_mm2, show_amps


@rule(
    "return thinner than its feed",
    "stop",
    needs=("levels",),
    under=("no return", "feed shorted to ground", "reversed polarity"),
    over=("conductor not protected by its fuse", "amps above what the gauge carries"),
    limits=("return_least_amps", "return_least_share"),
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
        gauge = next(g for ref, area in there.items() if area == least and (g := _gauge(ctx, ref)))
        wanted = dict.fromkeys(thin, gauge)
        worst = min(thin, key=lambda ref: again[ref])
        fuse = _fuse_amps(ctx, feeds[0])
        carries = ctx.library.ampacity.of_area(again[worst])
        burns = fuse is not None and fuse > carries
        if not burns and not ctx.conductors(thin):
            continue  # leads that came with the part are as its maker chose them
        shown = listed([_shown(ctx, ref) for ref in thin])
        says = f"the fuse of {show_amps(fuse or 0)} in the feed protects no more than {gauge}"
        yield Conflict(
            rule=thin_return.name,
            level="stop" if burns else "look",
            message=f"{shown}, of {_gauge(ctx, worst)}, would bring back the {show_amps(amps)} of "
            f"{load.part} that are fed by {gauge}.",
            why=f"The same amps flow in feed and return{f', and {says}' if burns else ''}.",
            mend=f"Take {gauge} for both.",
            where=(worst, ctx.lead(back)),
            wires=ctx.conductors(thin),
            positions=(position.name,),
            numbers={"amps": amps, "area_mm2": again[worst], "feed_area_mm2": least},
            mends=(Mend(f"Make {shown} of {gauge}", partial(change_gauges, gauges=wanted)),),
        )


def _shown(ctx: Context, ref: str) -> str:
    return ref if ref in ctx.job.lookup.conductors else f"the lead of {ctx.job.shown(ref)}"


def _gauge(ctx: Context, ref: str) -> str | None:
    """Of a wire, or of a terminal's lead."""
    if ref in ctx.job.lookup.conductors:
        return ctx.job.lookup.conductors[ref].gauge
    lead = ctx.cavity(ref).lead
    return lead.gauge if lead else None


def _fuse_amps(ctx: Context, feed: Drive) -> float | None:
    """The least fuse on the way from the source: the car's own, and those of ours."""
    known = {one.name: one.it.amps for one in insides(ctx, Fuse)}
    amps = [known[f.name] for f in ctx.elements.fuses if f.name in known and _on(feed, f.a, f.b)]
    cars = (one.it for one in insides(ctx, Feed) if one.at(one.it.terminal) == feed.source.terminal)
    amps += [it.fuse_amps for it in cars if it.fuse_amps is not None]
    return min(amps, default=None)


def _on(feed: Drive, a: str, b: str) -> bool:
    return (a, b) in feed.hops or (b, a) in feed.hops


def _most(ctx: Context, load: LoadPart) -> tuple[Position, str, float] | None:
    """Where the most amps come back, by which lead, and how many; for a minus on the side of the body."""
    if ctx.job.settings.ground != "negative":
        return None
    best: tuple[Position, str, float] | None = None
    for ref in load.minus:
        lead = ctx.lead(ref)
        # Through the terminal's own lead, or through the wires crimped into its cavity together.
        crimped = ctx.job.lookup.crimped.get(lead)
        through = [owner_of_end(end) for end in crimped] if crimped else [lead]
        for position in ctx.positions:
            point = ctx.levels.point(position)
            amps = abs(sum(point.amps(one) or 0.0 for one in through))
            if best is None or amps > best[2]:
                best = (position, ref, amps)
    return best


def _wires(ctx: Context, path: tuple[str, ...], position: Position, amps: float) -> dict[str, float]:
    """The wires and leads on a way that carry the better part of these amps, with their copper in mm2."""
    point = ctx.levels.point(position)
    found: dict[str, float] = {}
    leads = (ref for ref in path if ref in ctx.job.lookup.joint_of and ctx.side(ref) == "equipment")
    for ref in (*ctx.conductors(path), *leads):
        gauge = _gauge(ctx, ref)
        if gauge is not None and abs(point.amps(ref) or 0.0) >= amps / 2:
            found[ref] = area_mm2(gauge)
    return found
