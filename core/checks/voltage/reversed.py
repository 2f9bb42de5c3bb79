"""Rule: reversed polarity."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import NamedTuple

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.mends import exchange
from core.checks.phrases import listed, names, when
from core.checks.registry import rule
from core.circuit.elements import LoadPart
from core.circuit.positions import Position
from core.net.graph import Net
from core.units import show_volts

# A diode's drop or less the wrong way round says nothing.
LEAST_VOLTS = 1.0


class _Reversed(NamedTuple):
    load: LoadPart
    minus: str
    positions: list[Position]


@rule("reversed polarity", "stop", needs=("levels",), under=("feed shorted to ground",))
def reversed_polarity(ctx: Context) -> Iterator[Conflict | None]:
    """A part's plus would be on ground and its minus on a feed.

    Electronics have a diode across their supply for this: it shorts the feed, or what is behind it burns.

    Exchange the two leads.
    """
    by_minus: dict[Net | None, list[_Reversed]] = {}
    for load in ctx.loads:
        yield None
        for minus in load.minus:
            positions = [p for p in ctx.positions if _backwards(ctx, load, minus, p) is not None]
            if positions:
                by_minus.setdefault(ctx.graph.net_of(minus), []).append(_Reversed(load, minus, positions))
    for found in by_minus.values():
        yield _conflict(ctx, found)


def _backwards(ctx: Context, load: LoadPart, minus: str, position: Position) -> float | None:
    plus_volts, minus_volts = ctx.levels.volts(load.plus, position), ctx.levels.volts(minus, position)
    if plus_volts is None or minus_volts is None or minus_volts - plus_volts < LEAST_VOLTS:
        return None
    negative = ctx.job.settings.ground == "negative"
    body, hot = (plus_volts, minus) if negative else (minus_volts, load.plus)
    # What only leaks back through another part's insides is that part's missing ground.
    if not ctx.levels.feeds(hot, position):
        return None
    return minus_volts - plus_volts if abs(body) < LEAST_VOLTS else None


def _conflict(ctx: Context, found: list[_Reversed]) -> Conflict:
    worst = found[0]
    positions = [p for p in ctx.positions if any(p in one.positions for one in found)]
    volts = max(v for p in worst.positions if (v := _backwards(ctx, worst.load, worst.minus, p)) is not None)
    plus, minus = worst.load.plus, worst.minus
    parts = list(dict.fromkeys(one.load.part for one in found))
    leads = [ctx.lead(ref) for one in found for ref in (one.load.plus, one.minus)]
    plus_words, minus_words = (f"{ctx.job.shown(lead)} ({ctx.words(lead)})" for lead in leads[:2])
    return Conflict(
        rule=reversed_polarity.name,
        level="stop",
        message=f"{listed(parts)} would get {show_volts(volts)} the wrong way round "
        f"{when(positions, ctx.positions)}: {minus_words} higher than {plus_words}.",
        why="The plus is on the side of the minus, and the minus on the side of the plus.",
        mend="Exchange the two leads.",
        where=tuple(dict.fromkeys(leads)),
        wires=tuple(sorted({*ctx.graph.conductors(plus), *ctx.graph.conductors(minus)})),
        positions=names(positions),
        numbers={"reversed_volts": volts},
        mends=_mends(ctx, worst, len(parts)),
    )


def _mends(ctx: Context, worst: _Reversed, parts: int) -> tuple[Mend, ...]:
    """Exchange the part's own leads; where several parts stand on their heads, those of what feeds them."""
    plus, minus, position = worst.load.plus, worst.minus, worst.positions[0]
    if parts > 1:
        ground, feeds = ctx.levels.ground(plus, position), ctx.levels.feeds(minus, position)
        if ctx.job.settings.ground == "positive":
            ground, feeds = ctx.levels.ground(minus, position), ctx.levels.feeds(plus, position)
        if ground is None or not feeds:
            return ()
        plus, minus = ground.source.terminal, feeds[0].source.terminal
    first, second = ctx.joined_end(plus), ctx.joined_end(minus)
    if not first or not second or ctx.joint_at(plus) == ctx.joint_at(minus):
        return ()
    label = f"Exchange {ctx.job.shown(ctx.lead(plus))} and {ctx.job.shown(ctx.lead(minus))}"
    return (Mend(label, partial(exchange, first=first, second=second)),)
