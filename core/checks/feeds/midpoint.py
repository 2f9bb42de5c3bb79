"""Rule: load on the middle of a series pair."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.flowing import amps_along
from core.checks.insides import insides
from core.checks.phrases import listed, names
from core.checks.registry import rule
from core.circuit.positions import Position
from core.job.internals import Battery
from core.units import show_amps


@rule(
    "load on the middle of a series pair",
    "stop",
    needs=("levels",),
    under=("feed shorted to ground", "feeds of different positions joined"),
)
def load_on_midpoint(ctx: Context) -> Iterator[Conflict | None]:
    """A part is fed from between two batteries in series: 12 V taken from the lower one of a 24 V pair.

    The lower battery is emptied by it, the upper one overcharged: it gases, and both are spoilt in weeks.

    Feed it from the whole pair through a step-down, or fit an equalizer for the two.
    """
    batteries = list(insides(ctx, Battery))
    for lower in batteries:
        middle = lower.at(lower.it.plus)
        upper = [b for b in batteries if b.name != lower.name and _same(ctx, b.at(b.it.minus), middle)]
        yield None
        # What stands on the middle by its own minus, too, is fed between other points.
        found: dict[str, list[Position]] = {}
        for load in ctx.loads if upper else ():
            for position in ctx.positions:
                drives = ctx.levels.drives(load.plus, position)
                if middle in drives and ctx.levels.live(load.plus, position):
                    found.setdefault(load.plus, []).append(position)
        if not upper or not found:
            continue
        leads = list(dict.fromkeys(map(ctx.lead, found)))
        positions = [p for p in ctx.positions if any(p in seen for seen in found.values())]
        plus = next(iter(found))
        path = ctx.levels.path(ctx.levels.drives(plus, found[plus][0])[middle], plus)
        amps = max(amps_along(ctx.levels.point(p), path) for p in positions)
        yield Conflict(
            rule=load_on_midpoint.name,
            level="stop",
            message=f"{listed([ctx.job.shown(lead) for lead in leads])} would be fed from between "
            f"{lower.part} and {upper[0].part}, with up to {show_amps(amps)}: {lower.part} is emptied and "
            f"{upper[0].part} overcharged.",
            why="The two are in series; what is taken from the lower one alone is never put back evenly.",
            mend="Feed it from both through a step-down.",
            where=tuple(leads),
            wires=ctx.conductors(path),
            path=path,
            positions=names(positions),
            numbers={"amps": amps},
        )


def _same(ctx: Context, one: str, other: str) -> bool:
    """Whether two terminals stand on one net."""
    net = ctx.graph.net_of(one)
    return net is not None and net == ctx.graph.net_of(other)
