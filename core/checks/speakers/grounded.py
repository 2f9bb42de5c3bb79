"""Rule: speaker lead grounded."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.parting import apart, meeting_point
from core.checks.phrases import names, places, when
from core.checks.registry import rule


@rule("speaker lead grounded", "stop", needs=("levels",), under=("feed shorted to ground",))
def speaker_grounded(ctx: Context) -> Iterator[Conflict | None]:
    """A lead of a speaker or of an amplifier's bridged output reaches ground.

    Each lead of a bridged output rests at half the supply: on ground it drives all it can into a short, and
    the speaker gets steady volts that burn its coil.

    Take the lead off ground. Plus and minus of a speaker go to the amplifier, and nowhere else.
    """
    done: set[int | None] = set()
    for speaker in ctx.elements.speakers:
        yield None
        for terminal in speaker.terminals:
            net = ctx.graph.net_of(terminal)
            positions = ctx.levels.ever_grounded(terminal)
            if not positions or net in done:
                continue
            done.add(net)
            ground = ctx.levels.ground(terminal, positions[0])
            assert ground is not None
            others = [t for s in ctx.elements.speakers for t in s.terminals if ctx.graph.net_of(t) == net]
            path = tuple(reversed(ctx.levels.path(ground, terminal)))
            point = meeting_point(ctx, path)
            leads = list(dict.fromkeys(ctx.lead(other) for other in others))
            to = ctx.lead(ground.source.terminal)
            yield Conflict(
                rule=speaker_grounded.name,
                level="stop",
                message=f"{places(ctx.job, leads)} would be grounded {when(positions, ctx.positions)}: "
                "the amplifier's output is shorted.",
                why=f"Ground comes from {ctx.job.shown(to)} at {ctx.job.shown(point)}; each lead of a "
                "bridged output rests at half the supply.",
                mend="Take it off ground.",
                where=tuple(leads),
                wires=ctx.conductors(path),
                path=path,
                positions=names(positions),
                mends=apart(ctx, path, others, [ground.source.terminal]),
            )
