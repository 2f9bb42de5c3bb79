"""Rule: line level into bridged output."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.insides import insides
from core.checks.parting import apart, meeting_point
from core.checks.registry import rule
from core.job.internals import SpeakerOutput
from core.net.graph import Net


@rule(
    "line level into bridged output",
    "stop",
    under=("feed shorted to ground",),
    over=("functions that do not belong together", "outputs with no speaker or amplifier"),
)
def line_level(ctx: Context) -> Iterator[Conflict | None]:
    """A lead at line level is joined to a bridged speaker output, whose leads rest at half the supply.

    A line output is driven backwards by 6 V and burns; a line input gets volts and a ground it was not made
    for.

    Use an input made for speaker level, or a converter between the two.
    """
    outputs: dict[Net, str] = {}
    for output in insides(ctx, SpeakerOutput):
        yield None
        for lead in (output.it.plus, output.it.minus) if output.it.bridged else ():
            net = ctx.graph.net_of(output.at(lead))
            if net is not None:
                outputs.setdefault(net, output.at(lead))
    for net, speaker in outputs.items():
        yield None
        if len(ctx.graph.nets[net]) < 2:
            continue
        lines = [ref for ref in ctx.terminals(speaker) if ctx.cls(ref) == "line"]
        if not lines:
            continue
        line = next((ref for ref in lines if ctx.flow(ref) == "gives"), lines[0])
        gives = ctx.flow(line) == "gives"
        lead, other = ctx.lead(line), ctx.lead(speaker)
        path = ctx.graph.path(line, speaker)
        what = "would be driven backwards by" if gives else "would get the full volts of"
        yield Conflict(
            rule=line_level.name,
            level="stop",
            message=f"{ctx.job.shown(lead)} ({ctx.words(line)}) {what} {ctx.job.shown(other)} "
            f"({ctx.words(speaker)}).",
            why=f"They meet at {ctx.job.shown(meeting_point(ctx, path))}; each lead of a bridged output "
            "rests at half the supply.",
            mend="Use an input made for speaker level, or a converter.",
            where=tuple(dict.fromkeys(map(ctx.lead, (line, speaker, *lines)))),
            wires=ctx.conductors(path),
            path=path,
            mends=apart(ctx, path, lines, [speaker]),
        )
