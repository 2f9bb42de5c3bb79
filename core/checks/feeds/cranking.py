"""Rule: feed falls while cranking below what the load needs."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.feeds.needing import dead_in
from core.checks.finding import Conflict, Level
from core.checks.mends_feeds import to_right_feed
from core.checks.phrases import names, window
from core.checks.registry import rule
from core.checks.voltage.low import Low, low_loads
from core.circuit.drives import Drive
from core.circuit.elements import LoadPart
from core.circuit.positions import Position
from core.units import show_volts


@rule(
    "feed falls while cranking below what the load needs",
    "stop",
    needs=("levels",),
    under=(
        "feed shorted to ground",
        "step-down backwards",
        "reversed polarity",
        "no return",
        "lead whose mate is empty or blocked",
        "fewer volts than the part accepts",
        "right when open, wrong when loaded",
        "constant and accessory exchanged",
        "load dead where it is needed",
    ),
    over=("functions that do not belong together",),
)
def falls_while_cranking(ctx: Context) -> Iterator[Conflict | None]:
    """A part that must work while the engine is cranked loses its feed then, or gets too few volts.

    It starts anew with every start of the engine: what it had open is lost, an interface may hang.

    Take a feed that stays live while cranking, or a part that bears fewer volts.
    """
    done: set[int | None] = set()
    lows: list[Low] = []
    for found in low_loads(ctx):
        yield None
        if found is not None:
            lows.append(found)
    # What is low in other positions, too, does not fall for the starter.
    ever = {low.load.plus for low in lows if low.position.key != "start"}
    for low in lows:
        net = ctx.graph.net_of(low.load.plus)
        if low.load.plus not in ever and low.load.needed is not None and net not in done:
            done.add(net)
            assert low.load.accepts is not None
            what = f"get only {show_volts(low.volts)}; it accepts {window(low.load.accepts)}"
            why = "The battery's volts fall while it turns the starter."
            yield _conflict(ctx, low.load, [low.position], "look", what, why, low.volts)
    for load in ctx.elements.loads:
        yield None
        dead = dead_in(ctx, load)
        net = ctx.graph.net_of(load.plus)
        if load.strict and dead and net not in done and all(p.key == "start" for p in dead):
            done.add(net)
            feeds = next((f for p in ctx.positions if (f := ctx.levels.feeds(load.plus, p))), ())
            why = _why_dead(ctx, feeds[0], dead[0]) if feeds else "Its feed is not live in start."
            yield _conflict(ctx, load, dead, "stop", "lose its feed", why, 0.0)


def _why_dead(ctx: Context, drive: Drive, position: Position) -> str:
    """Why what feeds a load else does not reach it: it is dead itself, or the relay between lets go."""
    source = ctx.job.shown(ctx.lead(drive.source.terminal))
    if not ctx.levels.live(drive.source.terminal, position):
        return f"{source} is not live in {position.name}."
    for relay in ctx.elements.relays:
        if not any({relay.common, relay.make} == set(hop) for hop in drive.hops):
            continue
        ends = (relay.coil_plus, relay.coil_minus)
        working = (d for ref in ends for p in ctx.levels.ever_live(ref) for d in ctx.levels.feeds(ref, p))
        coil = next((ctx.job.shown(ctx.lead(d.source.terminal)) for d in working), None)
        if coil is not None:
            return f"{relay.part} lets go: {coil}, which works it, is not live in {position.name}."
    return f"What lies between it and {source} lets go in {position.name}."


def _conflict(
    ctx: Context, load: LoadPart, positions: list[Position], level: Level, what: str, why: str, volts: float
) -> Conflict:
    place = ctx.lead(load.plus)
    wanted = [p for p in ctx.positions if load.needed is not None and p.has(load.needed)]
    return Conflict(
        rule=falls_while_cranking.name,
        level=level,
        message=f"{ctx.job.shown(place)} ({ctx.words(load.plus)}) would {what} while the engine is cranked, "
        "where it is needed.",
        why=why,
        mend="Take a feed that stays live while cranking, or a part that bears fewer volts.",
        where=(place,),
        wires=ctx.graph.conductors(place),
        positions=names(positions),
        numbers={"volts": volts},
        mends=to_right_feed(ctx, load.plus, wanted) if level == "stop" else (),
    )
