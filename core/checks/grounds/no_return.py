"""Rule: no return."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.grounding import to_ground
from core.checks.grounds.returning import NO_RETURNS, Ways
from core.checks.insides import insides
from core.checks.phrases import listed, names, when
from core.checks.registry import rule
from core.circuit.elements import LoadPart
from core.circuit.positions import Position
from core.ids import part_of
from core.job.internals import Lamp

_NO_RETURNS = (*NO_RETURNS, "video", "line")


@rule(
    "no return",
    "stop",
    needs=("levels",),
    under=("feed shorted to ground", "reversed polarity", "lead whose mate is empty or blocked"),
)
def no_return(ctx: Context) -> Iterator[Conflict | None]:
    """A part is fed, but its ground lead reaches no ground, or only through a shield, an antenna, a hitch or
    another part's signal ground.

    It does not work, or its amps come back through a thin screen, which gives noise first and heat later.

    Join its ground lead to a ground of the car or to a body ground point.
    """
    ways = Ways(ctx)
    by_net: dict[frozenset[int | None], list[tuple[LoadPart, list[Position]]]] = {}
    for load in (*ctx.loads, *_lamps(ctx)):
        yield None
        returns = ctx.back(load)
        if not returns or any(ctx.undecided(ref) for ref in returns):
            continue
        positions = [p for p in ctx.positions if ways.stranded(load, p)]
        lit = isinstance(load, LampPart)
        if lit and positions and _fed_by_itself(ctx, load, positions[0]):
            continue  # a lamp in a plug of the car
        if lit and any(ctx.levels.live(load.plus, p) for p in ctx.positions if p not in positions):
            continue  # it is switched on its ground side
        if positions:
            nets = frozenset(ctx.graph.net_of(ref) for ref in returns)
            by_net.setdefault(nets, []).append((load, positions))
    for found in by_net.values():
        yield _conflict(ctx, found)


class LampPart(LoadPart):
    """A lamp, which has no polarity: its minus is the end that is for ground, where that is joined."""


def _fed_by_itself(ctx: Context, load: LoadPart, position: Position) -> bool:
    return any(part_of(d.source.terminal) == load.part for d in ctx.levels.feeds(load.plus, position))


def _lamps(ctx: Context) -> Iterator[LoadPart]:
    for lamp in insides(ctx, Lamp):
        for plus, minus in ((lamp.it.a, lamp.it.b), (lamp.it.b, lamp.it.a)):
            function = ctx.function(lamp.at(minus))
            wired = ctx.joined(lamp.at(minus)) or ctx.joined(lamp.at(plus))
            if function is not None and function.polarity == "-" and wired:
                yield LampPart(lamp.part, lamp.at(plus), (lamp.at(minus),))
                break


def _conflict(ctx: Context, found: list[tuple[LoadPart, list[Position]]]) -> Conflict:
    positions = [p for p in ctx.positions if any(p in seen for _, seen in found)]
    leads = list(dict.fromkeys(ctx.lead(ref) for load, _ in found for ref in ctx.back(load)))
    parts = list(dict.fromkeys(load.part for load, _ in found))
    place = leads[0]
    ground = ctx.levels.ground(place, positions[0])
    through = [ref for ref in ctx.terminals(place) if ctx.cls(ref) in _NO_RETURNS]
    if ground is not None and not ground.source.reliable:
        poor = f"{ctx.job.shown(ctx.lead(ground.source.terminal))}, which is no reliable ground"
        why = f"It reaches ground only through {poor}."
    elif through:
        lead = ctx.lead(through[0])
        why = f"It meets only {ctx.job.shown(lead)} ({ctx.words(lead)}), which must not carry the return."
    elif place in ctx.job.finishes:
        why = f"Its lead is {ctx.job.finishes[place].kind}."
    else:
        why = "Nothing that it is joined to leads to ground."
    shown = listed([ctx.job.shown(lead) for lead in leads])
    verb = "reach" if len(leads) > 1 else "reaches"
    return Conflict(
        rule=no_return.name,
        level="stop",
        message=f"{shown} {verb} no ground: {listed(parts)} would be fed without a return "
        f"{when(positions, ctx.positions)}.",
        why=why,
        mend="Join it to a ground of the car or to a body ground point.",
        where=tuple(leads),
        wires=ctx.graph.conductors(place),
        positions=names(positions),
        mends=to_ground(ctx, place),
    )
