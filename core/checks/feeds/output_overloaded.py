"""Rule: output overloaded."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.insides import Inside, insides
from core.checks.phrases import listed, names, when
from core.checks.registry import rule
from core.job.internals import LowSideOutput, Output
from core.units import show_amps

_SLACK = 1.001
"""What limits itself stands at its limit to the last digit."""


@rule(
    "output overloaded",
    "stop",
    needs=("levels",),
    under=(
        "feed shorted to ground",
        "feeds of different positions joined",
        "output fed from outside",
        "reversed polarity",
        "more volts than the part accepts",
    ),
    limits=("output_amps",),
)
def output_overloaded(ctx: Context) -> Iterator[Conflict | None]:
    """More amps are drawn from an output than it gives: turn-on leads, antennas and relay coils together.

    The output burns or shuts down, and with it everything it turns on.

    Let the output work a relay, and the relay what draws the amps.
    """
    for high in insides(ctx, Output):
        yield _judged(ctx, high)
    for low in insides(ctx, LowSideOutput):
        yield _judged(ctx, low)


def _judged(ctx: Context, output: Inside[Output] | Inside[LowSideOutput]) -> Conflict | None:
    terminal, stated = output.at(output.it.terminal), output.it.amps
    most = stated or ctx.limits["output_amps"]
    points = {p: ctx.levels.point(p) for p in ctx.sound_positions}
    amps = {p: point.device_amps(output.name) or 0.0 for p, point in points.items()}
    over = [
        p
        for p, point in points.items()
        if amps[p] > most * _SLACK or (output.name in point.limiting and not ctx.levels.shorted(terminal, p))
    ]
    if not over or ctx.undecided(terminal):
        return None
    worst, place = max(amps[p] for p in over), ctx.lead(terminal)
    takers = dict.fromkeys(
        ctx.lead(ref)
        for ref in ctx.terminals(terminal)
        if ctx.lead(ref) != place and ctx.flow(ref) != "gives"
    )
    on_it = listed([ctx.job.shown(ref) for ref in takers if ctx.lead(ref) == ref][:6])
    given = show_amps(most) if stated else f"{show_amps(most)}, assumed"
    what = f"give {show_amps(worst)}" if worst > most * _SLACK else "be asked for more than it gives"
    return Conflict(
        rule=output_overloaded.name,
        level="stop" if stated else "look",
        message=f"{ctx.job.shown(place)} ({ctx.words(terminal)}) would {what} "
        f"{when(over, ctx.positions)}; it gives {given} at the most.",
        why=f"On it hang {on_it}." if on_it else "All that hangs on it draws that much together.",
        mend="Let it work a relay, and the relay what draws the amps.",
        where=(place,),
        wires=ctx.graph.conductors(place),
        path=(place, *takers),
        positions=names(over),
        numbers={"amps": worst, "most_amps": most},
    )
