"""Rule: two buttons closer than the reader's tolerance."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.phrases import places
from core.checks.registry import rule
from core.checks.signals.ladders import AT_REST, alone_volts, closest, reads


@rule("two buttons closer than the reader's tolerance", "look")
def close_buttons(ctx: Context) -> Iterator[Conflict | None]:
    """Two buttons of a ladder, or one and none, give the reader nearly the same volts.

    One works as the other, or cannot be taught at all.

    Use a reader whose pull-up suits the ladder, or leave one of the two untaught.
    """
    for read in reads(ctx):
        yield None
        if read is None or not read.ladder.it.ohms:
            continue
        volts = alone_volts(read)
        apart, one, other = closest(volts)
        least = read.least_volts
        if apart >= least:
            continue
        leads = (ctx.lead(read.terminal), ctx.lead(read.ladder.at(read.ladder.it.signal)))
        held = [name if name == AT_REST else f"“{name}”" for name in (one, other)]
        yield Conflict(
            rule=close_buttons.name,
            level="look",
            message=f"{read.reader.part} reads {held[0]} as {volts[one]:.2f} V and {held[1]} as "
            f"{volts[other]:.2f} V at {ctx.job.shown(leads[0])}: it tells no less than {least:.2f} V apart.",
            why=f"{places(ctx.job, leads)} are one line, pulled up by {read.reader.it.pull_up_ohms:g} ohm to "
            f"{read.reader.it.pull_up_volts:g} V.",
            mend="Use a reader whose pull-up suits the ladder, or leave one of the two untaught.",
            where=tuple(dict.fromkeys(leads)),
            wires=ctx.graph.conductors(leads[0]),
            numbers={"apart_volts": apart, "least_volts": least},
        )
