"""Which loads get no feed where they need one, for the rules that tell why."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.insides import insides
from core.circuit.elements import LoadPart
from core.circuit.positions import Position
from core.job.internals import Lamp, Load


def dead_in(ctx: Context, load: LoadPart) -> list[Position]:
    """The positions in which a load is needed and gets no feed; none where that is still to be decided."""
    if load.needed is None or any(ctx.undecided(ref) for ref in ctx.hot(load)):
        return []
    needed = [p for p in ctx.positions if p.has(load.needed)]
    dead = [p for p in needed if not any(ctx.levels.live(ref, p) for ref in ctx.hot(load))]
    # What a function usually asks is met by any feed that is ever live: which one is for the pair table.
    return dead if load.strict or len(dead) == len(needed) else []


def wired_in(ctx: Context) -> Iterator[LoadPart]:
    """Loads and lamps that state what they draw, not when they are needed, and that hands have wired in: they
    are meant to work in some position at least.
    """
    for load in insides(ctx, Load):
        it = load.it
        if it.needed is None and it.minus is not None and (it.amps or it.ohms or it.watts):
            one = LoadPart(load.part, load.at(it.plus), (load.at(it.minus),))
            if any(map(ctx.joined, (one.plus, *one.minus))):
                yield one
    for lamp in insides(ctx, Lamp):
        ends = (lamp.at(lamp.it.a), lamp.at(lamp.it.b))
        grounds = [end for end in ends if (f := ctx.function(end)) is not None and f.polarity == "-"]
        for minus in grounds[:1]:
            plus = ends[0] if minus == ends[1] else ends[1]
            if any(map(ctx.joined, ends)):
                yield LoadPart(lamp.part, plus, (minus,))


def never_fed(ctx: Context, load: LoadPart) -> bool:
    """Whether nothing that is ever live reaches it, and that is decided."""
    hot = ctx.hot(load)
    if any(ctx.levels.ever_grounded(ref) for ref in hot):
        return False  # it is on ground, or on a switch to ground: the rules about grounds speak of that
    return not any(map(ctx.undecided, hot)) and not any(ctx.levels.ever_live(ref) for ref in hot)


def idle_relays(ctx: Context) -> Iterator[LoadPart]:
    """The coils of relays that hands have wired in and that never pull in. `plus` is the end that lacks."""
    for relay in ctx.elements.relays:
        ends = (relay.coil_plus, relay.coil_minus)
        wired = any(map(ctx.joined, ends)) and any(
            ctx.joined(end) for end in (relay.common, relay.make) if end
        )
        if not wired or any(map(ctx.undecided, ends)):
            continue
        points = (ctx.levels.point(position) for position in ctx.positions)
        if any(point.solution.states.get(relay.name) == "pulled" or point.chatter for point in points):
            continue
        live = [end for end in ends if ctx.levels.ever_live(end)]
        lost = next((end for end in ends if end not in live and not ctx.levels.ever_grounded(end)), ends[0])
        yield LoadPart(relay.part, lost, tuple(end for end in ends if end != lost))


def never_turned_on(ctx: Context) -> Iterator[LoadPart]:
    """Loads that are fed but that nothing ever turns on. `plus` is the terminal that should."""
    for load in insides(ctx, Load):
        it = load.it
        if it.on_by is None or not ctx.levels.ever_live(load.at(it.plus)):
            continue
        wake = load.at(it.on_by)
        whole = LoadPart(load.part, load.at(it.plus), (load.at(it.minus),) if it.minus else ())
        if not any(ctx.levels.returns(ref, p) for ref in ctx.back(whole) for p in ctx.positions):
            continue  # it has no return: a rule of its own
        if ctx.undecided(wake) or ctx.levels.ever_grounded(wake) or not ctx.terminals(wake):
            continue
        states = (ctx.levels.point(position).solution.states.get(load.name) for position in ctx.positions)
        if all(state == "off" for state in states):
            yield LoadPart(load.part, wake, (load.at(it.minus),) if it.minus else ())
