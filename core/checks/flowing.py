"""Amps for rules: what flows along a path, which short a place is in, and how devices are called."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from core.checks.context import Context
from core.circuit.operating import OperatingPoint
from core.circuit.positions import Position
from core.circuit.shorts import Short
from core.ids import kind_of
from core.units import show_amps


def amps_along(point: OperatingPoint, path: Sequence[str]) -> float:
    """The amps in the last conductor of a path that carries any, whichever way they go; 0.0 in none."""
    for ref in reversed(path):
        if kind_of(ref) == "joint":
            continue
        amps = point.amps(ref)
        if amps is None and kind_of(ref) == "terminal":
            amps = point.contact_amps(ref)
        if amps:
            return abs(amps)
    return 0.0


def look_for_shorts(ctx: Context) -> Iterator[None]:
    """Work out the shorts of every position, with a pause after each."""
    for position in ctx.positions:
        _ = ctx.levels.engine.point(position).full.shorts
        yield None


def worst_short(ctx: Context, terminals: Iterable[str], positions: Iterable[Position]) -> Short | None:
    """The loop with the most amps that leads through one of some terminals, or through what drives it."""
    wanted = set(terminals)
    wanted |= {source.name for source in ctx.elements.sources if source.terminal in wanted}
    found: Short | None = None
    for position in positions:
        for short in ctx.levels.engine.point(position).full.shorts:
            if not wanted.isdisjoint(short.path) and (found is None or short.amps > found.amps):
                found = short
    return found


def called(name: str) -> str:
    """A device of the solver in words: `the radio fuse` of the car, `the fuse of RAD`, `FUS`."""
    if name.startswith("fuse "):
        return f"the {name.removeprefix('fuse ')} fuse"
    tag, _, rest = name.partition("#")
    if rest.endswith(" fuse"):
        return f"the fuse of {tag}"
    return tag


def ends_with(ctx: Context, short: Short) -> str:
    """How a short ends: `280 A flow, and the fuse radio opens`."""
    flow = f"{show_amps(short.amps)} would flow"
    if short.opens is not None:
        return f"{flow}, and {called(short.opens)} opens"
    if short.burns is not None:
        return f"{flow}; no fuse in the way opens, and {_conductor(ctx, short.burns)} burns"
    return f"{flow}, and no fuse in the way opens"


def _conductor(ctx: Context, ref: str) -> str:
    return f"the lead of {ctx.job.shown(ref)}" if kind_of(ref) == "terminal" else ctx.job.shown(ref)
