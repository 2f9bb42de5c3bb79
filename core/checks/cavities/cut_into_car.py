"""Rule: cut into the car."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.registry import rule


@rule("cut into the car", "look")
def cut_into_car(ctx: Context) -> Iterator[Conflict | None]:
    """A plug of the car itself is joined, crimped or pulled at, where our own plug could have met it.

    The car can no longer be put back as it was, and whoever comes next finds a harness that no book shows.

    Mate the car's plug with one of ours and join there; where that cannot be, say so and keep the conflict.
    """
    for part in ctx.job.parts.values():
        yield None
        if part.state != "on the car":
            continue
        for ref in part.cavities:
            done = _what_was_done(ctx, ref)
            if done is None:
                continue
            yield Conflict(
                rule=cut_into_car.name,
                level="look",
                message=f"{ctx.job.shown(ref)} ({ctx.words(ref)}), a plug of the car, is {done}.",
                why="The car cannot be put back as it was.",
                mend="Mate it with a plug of ours and join there.",
                where=(ref,),
            )


def _what_was_done(ctx: Context, ref: str) -> str | None:
    connector = ctx.job.connector(ref)
    if connector is None or connector.face is None:
        return None
    lookup = ctx.job.lookup
    if ref in lookup.joint_of:
        return f"joined in {lookup.joint_of[ref]}"
    if ref in lookup.crimped:
        return f"to take {lookup.crimped[ref][0].partition(':')[0]}"
    finish = ctx.job.finishes.get(ref)
    return finish.kind if finish and finish.kind != "left" else None
