"""Rule: plus and minus exchanged."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.mends import exchange
from core.checks.registry import rule


@rule("plus and minus exchanged", "look", under=("speaker lead grounded", "feed shorted to ground"))
def plus_minus_exchanged(ctx: Context) -> Iterator[Conflict | None]:
    """An amplifier's plus goes to a speaker's minus, and its minus to the plus.

    The speaker moves against the others: the bass between them cancels, and nothing else seems wrong.

    Exchange the two leads, unless the sheet names them wrongly.
    """
    for part in ctx.job.parts.values():
        yield None
        giving = [ref for ref in part.cavities if ctx.cls(ref) == "speaker" and ctx.flow(ref) == "gives"]
        by_role = {role: ref for ref in giving if (role := _role(ctx, ref))}
        for (channel, polarity), plus in by_role.items():
            minus = by_role.get((channel, "-"))
            if polarity != "+" or minus is None:
                continue
            if _meets(ctx, plus, channel) == {"-"} and _meets(ctx, minus, channel) == {"+"}:
                yield _conflict(ctx, plus, minus)


def _role(ctx: Context, ref: str) -> tuple[str, str] | None:
    function = ctx.function(ref)
    return (function.channel, function.polarity) if function else None


def _meets(ctx: Context, ref: str, channel: str) -> set[str]:
    """The polarities of the same channel that a lead is joined with."""
    roles = [
        _role(ctx, other) for other in ctx.terminals(ref) if other != ref and ctx.cls(other) == "speaker"
    ]
    return {role[1] for role in roles if role and role[0] == channel}


def _conflict(ctx: Context, plus: str, minus: str) -> Conflict:
    first, second = ctx.joined_end(plus), ctx.joined_end(minus)
    leads = (ctx.lead(plus), ctx.lead(minus))
    shown = [f"{ctx.job.shown(lead)} ({ctx.words(lead)})" for lead in leads]
    mends: tuple[Mend, ...] = ()
    joints = ctx.job.lookup.joint_of
    if first and second and joints[first] != joints[second]:
        label = f"Exchange {ctx.job.shown(leads[0])} and {ctx.job.shown(leads[1])}"
        mends = (Mend(label, partial(exchange, first=first, second=second)),)
    return Conflict(
        rule=plus_minus_exchanged.name,
        level="look",
        message=f"{shown[0]} and {shown[1]} are exchanged: the speaker moves against the rest.",
        why="The bass between it and the others cancels.",
        mend="Exchange the two leads.",
        where=leads,
        wires=tuple(sorted({*ctx.graph.conductors(plus), *ctx.graph.conductors(minus)})),
        mends=mends,
    )
