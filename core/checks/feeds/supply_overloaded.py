"""Rule: step-down or supply overloaded."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.flowing import called, sound_positions
from core.checks.insides import Inside, insides
from core.checks.phrases import names, when
from core.checks.registry import rule
from core.circuit.positions import Position
from core.job.internals import Feed, StepDown, StepUp
from core.units import show_amps, show_volts


@rule(
    "step-down or supply overloaded",
    "stop",
    needs=("levels",),
    under=(
        "feed shorted to ground",
        "step-down backwards",
        "feeds of different positions joined",
        "reversed polarity",
        "speaker lead grounded",
    ),
)
def supply_overloaded(ctx: Context) -> Iterator[Conflict | None]:
    """More amps are asked of a step-down, a feed or a fuse of the car than it gives for good.

    A step-down lets its volts fall and heats up; the car's fuse opens, now or on a hot day, and takes with it
    whatever else of the car hangs on it.

    Take a larger step-down, or feed what draws the most straight from the battery through a fuse of its own.
    """
    for step_down in insides(ctx, StepDown):
        yield _limiting(ctx, step_down)
    for step_up in insides(ctx, StepUp):
        yield _limiting(ctx, step_up)
    for feed in insides(ctx, Feed):
        if feed.it.amps is not None and ctx.job.parts[feed.part].kind != "tap":
            yield _above_its_most(ctx, feed, feed.it.amps)
    yield from _fuses(ctx)


def _limiting(ctx: Context, made: Inside[StepDown] | Inside[StepUp]) -> Conflict | None:
    positions = [p for p in ctx.positions if made.name in ctx.levels.point(p).limiting]
    out = made.at(made.it.output)
    positions = [p for p in positions if not ctx.levels.shorted(out, p)]
    if not positions or ctx.undecided(out):
        return None
    volts = min(v for p in positions if (v := ctx.levels.volts(out, p)) is not None)
    amps = made.it.amps or 0.0
    place = ctx.lead(out)
    return Conflict(
        rule=supply_overloaded.name,
        level="stop",
        message=f"{made.part} gives no more than its {show_amps(amps)} {when(positions, ctx.positions)}: "
        f"its {show_volts(made.it.volts_out)} would fall to {show_volts(abs(volts))}.",
        why="What hangs on its output asks for more.",
        mend="Take a larger one, or hang less on it.",
        where=(place,),
        wires=ctx.graph.conductors(place),
        positions=names(positions),
        numbers={"most_amps": amps, "volts": volts},
    )


def _above_its_most(ctx: Context, feed: Inside[Feed], most: float) -> Conflict | None:
    positions = sound_positions(ctx)
    amps = {p: abs(ctx.levels.point(p).device_amps(feed.name) or 0.0) for p in positions}
    over = [p for p, value in amps.items() if value > most]
    if not over or ctx.undecided(feed.at(feed.it.terminal)):
        return None
    place, worst = ctx.lead(feed.at(feed.it.terminal)), max(amps[p] for p in over)
    return Conflict(
        rule=supply_overloaded.name,
        level="look",
        message=f"{ctx.job.shown(place)} would give {show_amps(worst)} {when(over, ctx.positions)}; "
        f"it is meant for {show_amps(most)} at the most.",
        why="All that hangs on it draws that much together.",
        mend="Feed what draws the most from the battery, through a fuse of its own.",
        where=(place,),
        wires=ctx.graph.conductors(place),
        positions=names(over),
        numbers={"amps": worst, "most_amps": most},
    )


def _fuses(ctx: Context) -> Iterator[Conflict | None]:
    """The car's own fuses; those that are fitted are looked at with the wires that they protect."""
    over: dict[str, dict[Position, float]] = {}
    opens: dict[str, list[Position]] = {}
    for position in sound_positions(ctx):
        yield None
        point = ctx.levels.engine.point(position).full
        for name, share in point.overloaded:
            over.setdefault(name, {})[position] = share
        for name in point.opened:
            opens.setdefault(name, []).append(position)
    for name in dict.fromkeys((*opens, *over)):
        place = _place_behind(ctx, name)
        if place is None:
            continue
        if name in opens:
            yield _fuse(ctx, name, place, opens[name], None)
        else:
            yield _fuse(ctx, name, place, list(over[name]), max(over[name].values()))


def _place_behind(ctx: Context, name: str) -> str | None:
    """The terminal of the feed behind a fuse of the car; None where it is no such fuse."""
    for feed in insides(ctx, Feed):
        if name in (f"fuse {feed.it.fuse}", f"{feed.name} fuse"):
            terminal = feed.at(feed.it.terminal)
            if ctx.joined(terminal) or ctx.joined(ctx.lead(terminal)):
                return ctx.lead(terminal)
    return None


def _fuse(ctx: Context, name: str, place: str, positions: list[Position], share: float | None) -> Conflict:
    over = ctx.limits["fuse_opens_share"] if share is None else share
    end = "opens" if share is None else f"is overloaded, {over:.2f} times its rating, and may open"
    return Conflict(
        rule=supply_overloaded.name,
        level="stop" if share is None else "look",
        message=f"In the car {called(name)}, which feeds {ctx.job.shown(place)}, {end} "
        f"{when(positions, ctx.positions)}.",
        why="All that hangs on it draws more than it carries; what else the car hangs on it comes on top.",
        mend="Feed what draws the most from the battery, fused on its own; never put in a larger fuse.",
        where=(place,),
        wires=ctx.graph.conductors(place),
        positions=names(positions),
        numbers={"share": over},
    )
