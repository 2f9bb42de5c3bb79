"""Rule: added constant feed without a fuse near its source."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.phrases import places
from core.checks.protecting import fuse_in_line
from core.checks.registry import rule
from core.units import show_length


@rule(
    "added constant feed without a fuse near its source",
    "stop",
    needs=("levels",),
    under=("feed shorted to ground",),
    limits=(
        "fuse_distance_mm",
        "fuse_distance_bare_mm",
        "fuse_distance_sheathed_mm",
        "fuse_distance_battery_mm",
        "continuous_share",
    ),
)
def unfused_feed(ctx: Context) -> Iterator[Conflict | None]:
    """A wire from a battery, or from a pole of the car that has no fuse, leads on without a fuse, or the fuse
    sits too far along it.

    Nothing stands between a battery and a fault in that wire: it glows until the copper melts, and sets fire
    to the car. This is never accepted.

    Put a fuse in within a hand's breadth of the source, at the latest 457 mm (18 inch) along the wire.
    """
    most = ctx.limits["fuse_distance_mm"]
    for source in ctx.loading.fusing.unfused:
        yield None
        if ctx.graph.net_of(source) in ctx.loading.fusing.ground_nets:
            continue
        beside = [(ref, fuse) for ref, _, fuse in ctx.loading.fusing.beside(source) if ref != source]
        bare = list(dict.fromkeys(ref for ref, fuse in beside if not fuse))
        far = {ref: mm for ref, fuse in beside if fuse and (mm := _length_mm(ctx, source, ref)) > most}
        if bare:
            yield _bare(ctx, source, bare)
        elif far:
            yield _far(ctx, source, max(far, key=lambda ref: far[ref]), far)


def _bare(ctx: Context, source: str, bare: list[str]) -> Conflict:
    lead = ctx.lead(source)
    leads = [ctx.lead(ref) for ref in bare]
    path = ctx.graph.path(source, bare[0])
    return Conflict(
        rule=unfused_feed.name,
        level="stop",
        message=f"{ctx.job.shown(lead)} would feed {places(ctx.job, leads)} without a fuse: a short there "
        "burns the wire.",
        why=f"{_distances(ctx)} Between {ctx.job.shown(lead)} and {ctx.job.shown(leads[0])} there is none.",
        mend="Put a fuse in near its source.",
        where=(lead, *leads),
        wires=ctx.conductors(path),
        path=path,
        mends=_mends(ctx, source),
    )


def _far(ctx: Context, source: str, fuse: str, far: dict[str, float]) -> Conflict:
    lead = ctx.lead(source)
    path = ctx.graph.path(source, fuse)
    length = show_length(far[fuse], ctx.job.settings.lengths)
    return Conflict(
        rule=unfused_feed.name,
        level="stop",
        message=f"The fuse at {ctx.job.shown(ctx.lead(fuse))} sits {length} from {ctx.job.shown(lead)}: "
        "a short before it burns the wire.",
        why=_distances(ctx),
        mend="Put a fuse in nearer to its source, or shorten the wire before it.",
        where=(lead, ctx.lead(fuse)),
        wires=ctx.conductors(path),
        path=path,
        numbers={"distance_mm": far[fuse], "most_mm": ctx.limits["fuse_distance_mm"]},
        mends=_mends(ctx, source),
    )


def _length_mm(ctx: Context, source: str, ref: str) -> float:
    """The copper between two terminals, as far as lengths are stated."""
    path = ctx.graph.path(source, ref)
    return sum(ctx.loading.length_mm(one) or 0.0 for one in ctx.loading.path_conductors(path))


def _distances(ctx: Context) -> str:
    unit = ctx.job.settings.lengths
    most, bare, sheathed, battery = (
        show_length(ctx.limits[f"fuse_distance{name}_mm"], unit)
        for name in ("", "_bare", "_sheathed", "_battery")
    )
    return (
        f"A fuse belongs within {most} of the source (boats: {bare}; {sheathed} in a sheath; {battery} in a "
        "sheath from the battery itself)."
    )


def _mends(ctx: Context, source: str) -> tuple[Mend, ...]:
    loading = ctx.loading
    behind = [
        copper
        for copper in loading.copper.values()
        if (guard := loading.guard(copper)) is not None and guard.source == source and guard.amps == inf
    ]
    if not behind:
        return ()
    load = max(copper.amps for copper in behind)
    lead = ctx.lead(source)
    limit = min(loading.bears(copper) for copper in behind if copper.ref != lead or len(behind) == 1)
    return fuse_in_line(ctx, lead, load, limit)
