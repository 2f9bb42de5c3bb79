"""Rule: thin lead in a bundle behind a large fuse."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.loading import Copper
from core.checks.protecting import (
    AMPACITY_LIMITS,
    WRONG_FEEDS,
    can_be_lowered,
    capital,
    coppers_words,
    fuse_in_line,
    fuse_words,
    other_gauges,
    path_to,
    too_thin,
)
from core.checks.registry import rule
from core.circuit.fusing import Guard
from core.ids import kind_of
from core.units import show_amps

_UNDER = (
    *WRONG_FEEDS,
    "no return",
    "added constant feed without a fuse near its source",
    "wire too thin for this load",
    "amps above what the gauge carries",
)
_LIMITS = (*AMPACITY_LIMITS, "continuous_share", "fuse_distance_bare_mm")


@rule("thin lead in a bundle behind a large fuse", "stop", needs=("levels",), under=_UNDER, limits=_LIMITS)
def thin_lead(ctx: Context) -> Iterator[Conflict | None]:
    """A lead that needs few amps hangs on a feed whose fuse is larger than it stands, and must stay so for
    what else it feeds.

    A short in that lead burns it from end to end, and the bundle about it, while the fuse holds.

    Put a small fuse in where the lead leaves the joint, or fit a thicker lead.
    """
    lowered: dict[str, bool] = {}
    by_net: dict[tuple[int | None, str], list[tuple[Copper, Guard]]] = {}
    for copper, guard in ctx.loading.unprotected:
        yield None
        net = ctx.loading.net(copper)
        if net in ctx.loading.fusing.ground_nets or too_thin(ctx, copper):
            continue
        if guard.by not in lowered:
            lowered[guard.by] = can_be_lowered(ctx, guard.by)
        if not lowered[guard.by]:
            by_net.setdefault((net, guard.by), []).append((copper, guard))
    for found in by_net.values():
        yield _conflict(ctx, found)


def _conflict(ctx: Context, found: list[tuple[Copper, Guard]]) -> Conflict:
    worst, guard = found[0]
    some = [copper for copper, _ in found[:3]]
    bears = ctx.loading.bears(worst)
    path = path_to(ctx, guard, worst.a)
    mends = other_gauges(ctx, {copper.ref: g.amps for copper, g in found})
    if len(found) == 1:
        mends = (*fuse_in_line(ctx, _end(ctx, worst, path), worst.amps, bears, guard.amps), *mends)
    return Conflict(
        rule=thin_lead.name,
        level="stop",
        message=f"{capital(coppers_words(ctx, some))} would burn in a short while "
        f"{fuse_words(guard.by)} of {show_amps(guard.amps)} holds.",
        why=f"In a bundle it carries {show_amps(bears)} for good, and itself needs {show_amps(worst.amps)}.",
        mend="Put a small fuse in where it leaves the joint, or fit a thicker lead.",
        where=tuple(copper.ref for copper, _ in found),
        wires=ctx.conductors(path),
        path=path,
        numbers={"fuse_amps": guard.amps, "bears_amps": bears, "load_amps": worst.amps},
        mends=mends,
    )


def _end(ctx: Context, copper: Copper, path: tuple[str, ...]) -> str:
    """Where the conductor leaves the joint that feeds it."""
    if kind_of(copper.ref) == "terminal":
        return copper.ref
    ends = [f"{copper.ref}:a", f"{copper.ref}:b"]
    joined = [end for end in ends if ctx.job.lookup.joint_of.get(end) in path]
    return joined[0] if joined else ends[0]
