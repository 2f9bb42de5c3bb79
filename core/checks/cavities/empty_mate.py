"""Rule: lead whose mate is empty or blocked."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.mends import take_out_and_cap
from core.checks.registry import rule
from core.ids import connector_of


@rule("lead whose mate is empty or blocked", "stop")
def empty_mate(ctx: Context) -> Iterator[Conflict | None]:
    """A lead is joined to something, but in the mated plug its cavity meets nothing.

    There is no terminal, the place is blocked, or the other half has no such cavity: nothing comes through.

    Look into the plug. Fit a terminal from a donor, or fetch what is needed from elsewhere.
    """
    for part in ctx.job.parts.values():
        yield None
        if part.state in ("on the car", "removed"):
            continue
        for ref, cavity in part.cavities.items():
            mate = ctx.job.lookup.mate_of.get(connector_of(ref))
            if mate is None or not cavity.filled or not ctx.joined(ref):
                continue
            other = ctx.job.lookup.meets.get(ref)
            if other is not None and ctx.job.in_contact(other):
                continue
            needed = any(ctx.needed(node) for node in ctx.terminals(ref))
            yield Conflict(
                rule=empty_mate.name,
                level="stop" if needed else "look",
                message=f"{ctx.job.shown(ref)} ({ctx.words(ref)}) is joined, but meets "
                f"{_what(ctx, other, mate[1])}: nothing comes through.",
                why="What it is joined to needs it." if needed else "The lead does nothing there.",
                mend="Look into the plug; fit a terminal, or fetch it from elsewhere.",
                where=(ref, *([other] if other else [])),
                mends=_mends(ctx, ref),
            )


def _what(ctx: Context, other: str | None, connector: str) -> str:
    if other is None:
        return f"no cavity of {connector}"
    cavity, owner = ctx.cavity(other), ctx.job.connector(other)
    blocked = owner is not None and owner.face is not None and cavity.pin in owner.face.blocked
    return f"{ctx.job.shown(other)}, which is {'blocked' if blocked else 'empty'}"


def _mends(ctx: Context, ref: str) -> tuple[Mend, ...]:
    end = ctx.joined_end(ref)
    if end is None:
        return ()
    joint = ctx.job.lookup.joint_of[end]
    return (Mend(f"Take it out of {joint} and cap it", partial(take_out_and_cap, end=end)),)
