"""Rule: output fed from outside."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.flowing import amps_along
from core.checks.parting import apart, meeting_point
from core.checks.phrases import names, when
from core.checks.registry import rule
from core.circuit.drives import Drive
from core.circuit.elements import Source
from core.circuit.positions import Position
from core.units import show_amps, show_volts

_HIGHER_SHARE = 0.05
"""What is driven by one battery differs by less."""


@rule(
    "output fed from outside",
    "stop",
    needs=("levels",),
    under=("feed shorted to ground", "feeds of different positions joined"),
    over=("functions that do not belong together", "more volts than the part accepts"),
)
def output_fed(ctx: Context) -> Iterator[Conflict | None]:
    """Something drives the terminal of an output while the output is off, or gives less.

    The volts go back into the part through its output: it half wakes, or the output burns.

    Part the two; where both must reach one place, put a diode in each.
    """
    done: set[frozenset[int | None]] = set()
    for output in ctx.elements.sources:
        if output.kind != "output":
            continue
        yield None
        pushing = _pushes_into(ctx, output)
        if pushing is None or ctx.undecided(output.terminal):
            continue
        drive, positions = pushing
        nets = frozenset(map(ctx.graph.net_of, (drive.source.terminal, output.terminal)))
        if nets in done:
            continue
        done.add(nets)
        path = ctx.levels.path(drive, output.terminal)
        volts = abs(drive.volts)
        pusher, pushed = ctx.lead(drive.source.terminal), ctx.lead(output.terminal)
        amps = max(amps_along(ctx.levels.point(position), path) for position in positions)
        flow = f"; {show_amps(amps)} would flow" if amps else ""
        yield Conflict(
            rule=output_fed.name,
            level="stop",
            message=f"{ctx.job.shown(pusher)} ({ctx.words(pusher)}) would push {show_volts(volts)} "
            f"into the output {ctx.job.shown(pushed)} ({ctx.words(pushed)}) "
            f"{when(positions, ctx.positions)}.",
            why=f"They are joined at {ctx.job.shown(meeting_point(ctx, path))}, and the output is off "
            f"or lower then{flow}.",
            mend="Part them, or put a diode in each.",
            where=(pushed, pusher),
            wires=ctx.conductors(path),
            path=path,
            positions=names(positions),
            numbers={"volts": volts, "amps": amps},
            mends=apart(ctx, path, [drive.source.terminal], [output.terminal]),
        )


def _pushes_into(ctx: Context, output: Source) -> tuple[Drive, list[Position]] | None:
    found: dict[str, tuple[Drive, list[Position]]] = {}
    for position in ctx.positions:
        drives = ctx.levels.drives(output.terminal, position)
        own = drives.get(output.terminal)
        if any(d.source.kind == "ground" for d in drives.values()):
            continue
        for drive in drives.values():
            if drive.source.terminal == output.terminal:
                continue
            if own is None or abs(drive.volts) > abs(own.volts) * (1 + _HIGHER_SHARE):
                found.setdefault(drive.source.terminal, (drive, []))[1].append(position)
    return max(found.values(), key=lambda f: (len(f[1]), f[0].source.terminal), default=None)
