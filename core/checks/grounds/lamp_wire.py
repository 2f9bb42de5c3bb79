"""Rule: "ground" that is a lamp wire or a low-volt lead."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.grounding import to_ground
from core.checks.grounds.returning import Ways
from core.checks.insides import insides
from core.checks.phrases import listed, names, when
from core.checks.registry import rule
from core.circuit.elements import LoadPart
from core.circuit.positions import LIVE_FRACTION, Position
from core.job.internals import Lamp, SwitchToGround
from core.net.graph import Net
from core.units import show_volts


@rule(
    '"ground" that is a lamp wire or a low-volt lead',
    "stop",
    needs=("levels",),
    under=("feed shorted to ground", "step-down backwards", "lead whose mate is empty or blocked"),
    over=(
        "no return",
        "reversed polarity",
        "load dead where it is needed",
        "functions that do not belong together",
        "more volts than the part accepts",
    ),
)
def lamp_wire(ctx: Context) -> Iterator[Conflict | None]:
    """A part's ground lead is on a wire that reads as ground to a meter and is none: it comes to ground
    through a lamp or a switch, or is a lead of few volts.

    It works until the lights come on, or the switch turns over. Then its ground rises, and its amps go
    through the lamps' fuse or through thin leads.

    Join its ground lead to a ground of the car, proved under load.
    """
    lamps = {ctx.graph.net_of(one.at(end)) for one in insides(ctx, Lamp) for end in (one.it.a, one.it.b)}
    switches = {ctx.graph.net_of(one.at(one.it.terminal)) for one in insides(ctx, SwitchToGround)}
    ways = Ways(ctx)
    by_net: dict[Net | None, list[LoadPart]] = {}
    for load in ctx.loads:
        yield None
        back = ctx.back(load)
        if back and not any(ctx.undecided(ref) for ref in back):
            by_net.setdefault(ctx.graph.net_of(back[0]), []).append(load)
    for net, loads in by_net.items():
        yield None
        place = ctx.back(loads[0])[0]
        rises = _rises(ctx, place)
        varies = _varies(ctx, place)
        if not rises and net not in switches and net not in lamps and varies is None:
            continue
        if any(ctx.levels.returns(ref, p) for load in loads for ref in ctx.hot(load) for p in ctx.positions):
            continue  # it is turned round
        if not all(any(ways.stranded(load, p) for p in ctx.positions) for load in loads):
            continue
        yield _conflict(ctx, loads, place, rises, net in switches, varies)


def _rises(ctx: Context, place: str) -> list[Position]:
    """Where something drives it: in some positions, or everywhere to fewer volts than the system's."""
    fed = [p for p in ctx.positions if ctx.levels.feeds(place, p)]
    low = LIVE_FRACTION * ctx.job.settings.system_volts
    if len(fed) < len(ctx.positions):
        return fed
    return [p for p in fed if abs(ctx.levels.feeds(place, p)[0].volts) < low]


def _varies(ctx: Context, place: str) -> str | None:
    """A lead of the car there whose volts follow a dimmer."""
    for ref in ctx.terminals(place):
        function = ctx.function(ref)
        if function and function.volts_class == "varying" and ctx.side(ref) == "car":
            return ref
    return None


def _conflict(
    ctx: Context, loads: list[LoadPart], place: str, rises: list[Position], switch: bool, varies: str | None
) -> Conflict:
    lead = ctx.lead(place)
    parts = listed(list(dict.fromkeys(load.part for load in loads)))
    path: tuple[str, ...] = ()
    numbers: dict[str, float] = {}
    if rises:
        drive = ctx.levels.feeds(place, rises[0])[0]
        volts = max(abs(ctx.levels.feeds(place, p)[0].volts) for p in rises)
        source = ctx.lead(drive.source.terminal)
        numbers = {"volts": volts}
        path = ctx.levels.path(drive, place)
        does = f"would rise to {show_volts(volts)} {when(rises, ctx.positions)}"
        feed = f"{ctx.job.shown(source)} ({ctx.words(source)})"
        why = f"It is on {feed}, which reads as ground only while it is dead."
    elif switch:
        does = "would be a ground only while a switch of the car is closed"
        why = "It is on the switch's own lead."
    elif varies is not None:
        does = "would follow the dimmer"
        why = f"It is on {ctx.job.shown(ctx.lead(varies))} ({ctx.words(varies)})."
    else:
        does, why = "reaches ground only through a lamp", "A cold filament reads as ground to a meter."
    return Conflict(
        rule=lamp_wire.name,
        level="stop",
        message=f"{ctx.job.shown(lead)}, the ground of {parts}, {does}.",
        why=why,
        mend="Join it to a ground of the car, proved under load.",
        where=tuple(dict.fromkeys((lead, *(ctx.lead(ctx.back(load)[0]) for load in loads)))),
        wires=ctx.conductors(path) or ctx.graph.conductors(lead),
        path=path,
        positions=names(rises),
        numbers=numbers,
        mends=to_ground(ctx, lead),
    )
