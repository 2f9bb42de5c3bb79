"""Rule: step-down or supply overloaded."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.insides import Inside, insides
from core.checks.phrases import names, when
from core.checks.registry import rule
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
    over=("load dead where it is needed",),
)
def supply_overloaded(ctx: Context) -> Iterator[Conflict | None]:
    """More amps are asked of a step-down or of a feed of the car than it gives for good.

    A step-down lets its volts fall and heats up; a feed of the car takes with it whatever else hangs on it.

    Take a larger step-down, or feed what draws the most straight from the battery through a fuse of its own.
    """
    for step_down in insides(ctx, StepDown):
        yield _limiting(ctx, step_down)
    for step_up in insides(ctx, StepUp):
        yield _limiting(ctx, step_up)
    for feed in insides(ctx, Feed):
        if feed.it.amps is not None and ctx.job.parts[feed.part].kind != "tap":
            yield _above_its_most(ctx, feed, feed.it.amps)


def _limiting(ctx: Context, made: Inside[StepDown] | Inside[StepUp]) -> Conflict | None:
    positions = [p for p in ctx.sound_positions if made.name in ctx.levels.point(p).limiting]
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
    positions = ctx.sound_positions
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
