"""Rule: lead that is live with no cap."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.phrases import names, when
from core.checks.registry import rule
from core.edits.finishes import cap, pull
from core.edits.spots import is_bare
from core.ids import kind_of
from core.units import show_volts


@rule(
    "lead that is live with no cap",
    "stop",
    needs=("levels",),
    under=("feed shorted to ground", "no return", "load dead where it is needed", "reversed polarity"),
)
def live_lead(ctx: Context) -> Iterator[Conflict | None]:
    """A lead or wire has a bare end and is live in some position, or is a speaker lead.

    Behind the dash it touches metal sooner or later: a fuse, an amplifier or the wire itself goes.

    Cap it, or pull it out of its plug.
    """
    left = [end for end, finish in ctx.job.finishes.items() if finish.kind == "left" and _is_copper(ctx, end)]
    for end in (*sorted(ctx.open_ends), *left):
        yield None
        if ctx.waits(end) or ctx.graph.node_of(end) is None:
            continue
        positions = ctx.levels.ever_live(end)
        speaker = next((ref for ref in ctx.terminals(end) if ctx.cls(ref) == "speaker"), None)
        if positions:
            volts = max(abs(d.volts) for p in positions for d in ctx.levels.feeds(end, p))
            what = f"would be live with {show_volts(volts)} {when(positions, ctx.positions)}"
            numbers = {"volts": volts}
        elif speaker is not None:
            what, numbers = "is a speaker lead", {}
        else:
            continue
        words = f" ({ctx.words(end)})" if kind_of(end) == "terminal" else ""
        yield Conflict(
            rule=live_lead.name,
            level="stop",
            message=f"{ctx.job.shown(end)}{words} {what}, and its end is bare.",
            why="A bare end touches metal sooner or later.",
            mend="Cap it, or pull it out of its plug.",
            where=(end,),
            positions=names(positions),
            numbers=numbers,
            mends=_mends(ctx, end),
        )


def _is_copper(ctx: Context, end: str) -> bool:
    return kind_of(end) == "wire end" or not is_bare(ctx.job, end)


def _mends(ctx: Context, end: str) -> tuple[Mend, ...]:
    shown = ctx.job.shown(end)
    mends = [Mend(f"Cap {shown}", partial(cap, ends=(end,)))]
    connector = ctx.job.connector(end) if kind_of(end) == "terminal" else None
    if connector is not None and connector.face is not None:
        mends.append(Mend(f"Pull {shown} out of its plug", partial(pull, ends=(end,))))
    return tuple(mends)
