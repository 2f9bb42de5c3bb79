"""Rule: leads joined across channels."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.parting import apart, meeting_point
from core.checks.phrases import places
from core.checks.registry import rule
from core.checks.speakers.outputs import meetings


@rule(
    "leads joined across channels",
    "stop",
    needs=("levels",),
    under=("feed shorted to ground", "speaker lead grounded"),
    over=("functions that do not belong together", "plus and minus exchanged"),
)
def across_channels(ctx: Context) -> Iterator[Conflict | None]:
    """Leads of two channels of one amplifier meet on one net.

    Each output drives against the other whenever they play different sounds: both get hot, and shut down or
    burn.

    Part them: each speaker has two leads of its own.
    """
    for met in meetings(ctx):
        yield None
        if met is None or met.one.part != met.other.part:
            continue
        leads = tuple(dict.fromkeys(map(ctx.lead, (*met.ones, *met.others))))
        path = ctx.graph.path(met.ones[0], met.others[0])
        first, second = leads[0], ctx.lead(met.others[0])
        more = [lead for lead in leads if lead not in (first, second)]
        also = f" (and {places(ctx.job, more)})" if more else ""
        yield Conflict(
            rule=across_channels.name,
            level="stop",
            message=f"{ctx.job.shown(first)} ({ctx.words(first)}) and {ctx.job.shown(second)} "
            f"({ctx.words(second)}){also} are joined: two channels of {met.one.part} would drive into "
            "each other.",
            why=f"They meet at {ctx.job.shown(meeting_point(ctx, path))}.",
            mend="Part them.",
            where=leads,
            wires=ctx.conductors(path),
            path=path,
            mends=apart(ctx, path, met.ones, met.others) if len(met.ones) == 1 else (),
        )
