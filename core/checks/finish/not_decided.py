"""Rule: not decided."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.registry import rule
from core.edits.finishes import cap
from core.ids import kind_of


@rule(
    "not decided",
    "stop",
    under=(
        "lead that is live with no cap",
        "no return",
        "load dead where it is needed",
        "needed output joined to nothing",
    ),
)
def not_decided(ctx: Context) -> Iterator[Conflict | None]:
    """A lead is neither joined nor capped nor pulled, and nobody said that it is to be left.

    A lead of a needed function keeps its part from working; any other lies bare behind the dash.

    Join it, cap it, pull it, or leave it with a reason.
    """
    for end in sorted(ctx.open_ends):
        yield None
        if ctx.waits(end) or ctx.graph.node_of(end) is None:
            continue
        terminal = kind_of(end) == "terminal"
        needed = terminal and ctx.needed(end)
        words = f" ({ctx.words(end)})" if terminal else ""
        yield Conflict(
            rule=not_decided.name,
            level="stop" if needed else "look",
            message=f"{ctx.job.shown(end)}{words} is not decided"
            + (", and its part does not work without it." if needed else "."),
            why="It is neither joined nor capped, pulled or left with a reason.",
            mend="Join it, cap it, pull it, or leave it with a reason.",
            where=(end,),
            mends=() if needed else (Mend(f"Cap {ctx.job.shown(end)}", partial(cap, ends=(end,))),),
        )
