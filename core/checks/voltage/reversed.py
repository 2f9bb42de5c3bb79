"""Rule: reversed polarity."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.mends import exchange
from core.checks.phrases import names, when
from core.checks.registry import rule
from core.circuit.elements import LoadPart
from core.circuit.positions import Position
from core.units import show_volts

# A diode's drop or less the wrong way round says nothing.
LEAST_VOLTS = 1.0


@rule("reversed polarity", "stop", needs=("levels",), under=("feed shorted to ground",))
def reversed_polarity(ctx: Context) -> Iterator[Conflict | None]:
    """A part's plus would be on ground and its minus on a feed.

    Electronics have a diode across their supply for this: it shorts the feed, or what is behind it burns.

    Exchange the two leads.
    """
    seen: set[tuple[str, str]] = set()
    for load in ctx.loads:
        yield None
        for minus in load.minus:
            positions = [p for p in ctx.positions if _backwards(ctx, load, minus, p) is not None]
            pair = (ctx.lead(load.plus), ctx.lead(minus))
            if not positions or pair in seen:
                continue
            seen.add(pair)
            yield _conflict(ctx, load, minus, positions)


def _backwards(ctx: Context, load: LoadPart, minus: str, position: Position) -> float | None:
    plus_volts, minus_volts = ctx.levels.volts(load.plus, position), ctx.levels.volts(minus, position)
    if plus_volts is None or minus_volts is None or minus_volts - plus_volts < LEAST_VOLTS:
        return None
    body = plus_volts if ctx.job.settings.ground == "negative" else minus_volts
    return minus_volts - plus_volts if not body else None


def _conflict(ctx: Context, load: LoadPart, minus: str, positions: list[Position]) -> Conflict:
    volts = max(v for p in positions if (v := _backwards(ctx, load, minus, p)) is not None)
    plus_lead, minus_lead = ctx.lead(load.plus), ctx.lead(minus)
    plus_words = f"{ctx.job.shown(plus_lead)} ({ctx.words(plus_lead)})"
    minus_words = f"{ctx.job.shown(minus_lead)} ({ctx.words(minus_lead)})"
    first, second = ctx.joined_end(load.plus), ctx.joined_end(minus)
    mends: tuple[Mend, ...] = ()
    if first and second and ctx.joint_at(load.plus) != ctx.joint_at(minus):
        label = f"Exchange {ctx.job.shown(plus_lead)} and {ctx.job.shown(minus_lead)}"
        mends = (Mend(label, partial(exchange, first=first, second=second)),)
    return Conflict(
        rule=reversed_polarity.name,
        level="stop",
        message=f"{load.part} would get {show_volts(volts)} the wrong way round "
        f"{when(positions, ctx.positions)}: {minus_words} higher than {plus_words}.",
        why="Its plus is on the side of its minus, and its minus on the side of its plus.",
        mend="Exchange the two leads.",
        where=(plus_lead, minus_lead),
        wires=tuple(sorted({*ctx.graph.conductors(load.plus), *ctx.graph.conductors(minus)})),
        positions=names(positions),
        numbers={"reversed_volts": volts},
        mends=mends,
    )
