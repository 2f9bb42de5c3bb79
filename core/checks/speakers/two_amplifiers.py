"""Rule: two amplifiers on one pair."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.mends import take_out
from core.checks.parting import meeting_point
from core.checks.phrases import places
from core.checks.registry import rule
from core.checks.speakers.outputs import Output, meetings


@rule(
    "two amplifiers on one pair",
    "stop",
    needs=("levels",),
    under=("feed shorted to ground", "speaker lead grounded"),
    over=("functions that do not belong together", "plus and minus exchanged"),
)
def two_amplifiers(ctx: Context) -> Iterator[Conflict | None]:
    """Outputs of two parts are joined to one speaker: of a receiver and of an amplifier, say.

    Each drives into the other's output, also while that one is off: one of them burns, often both.

    Take the leads of one of them off. Where both must play, a relay changes the speaker over.
    """
    for met in meetings(ctx):
        yield None
        if met is None or met.one.part == met.other.part:
            continue
        leads = tuple(dict.fromkeys(map(ctx.lead, (*met.ones, *met.others))))
        path = ctx.graph.path(met.ones[0], met.others[0])
        yield Conflict(
            rule=two_amplifiers.name,
            level="stop",
            message=f"{met.one.part} and {met.other.part} would drive into each other: "
            f"{places(ctx.job, leads)} are joined.",
            why=f"Outputs of both meet at {ctx.job.shown(meeting_point(ctx, path))}.",
            mend="Take the leads of one of them off.",
            where=leads,
            wires=ctx.conductors(path),
            path=path,
            mends=tuple(_off(ctx, output) for output in (met.other, met.one)),
        )


def _off(ctx: Context, output: Output) -> Mend:
    """Both leads of the output out of their joints."""
    leads = (output.at(output.it.plus), output.at(output.it.minus))
    ends = [end for lead in leads if (end := ctx.joined_end(lead)) is not None]
    return Mend(f"Take {places(ctx.job, ends)} out", partial(take_out, ends=tuple(ends)))
