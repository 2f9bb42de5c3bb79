"""Rule: needed output joined to nothing."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.registry import rule

_GIVING = ("output", "line", "speaker", "video")


@rule("needed output joined to nothing", "stop", under=("lead whose mate is empty or blocked",))
def unused_output(ctx: Context) -> Iterator[Conflict | None]:
    """An output that this job is there for is joined to nothing that takes it.

    What it should switch or play stays off: an amplifier without its turn-on lead, a camera without a screen.

    Join it to what needs it, or unmark it as needed.
    """
    for part in ctx.job.parts.values():
        yield None
        for ref, cavity in part.cavities.items():
            if not cavity.needed or not cavity.filled or ctx.cls(ref) not in _GIVING:
                continue
            if ctx.flow(ref) != "gives" or ctx.undecided(ref) or _is_taken(ctx, ref):
                continue
            place = ctx.lead(ref)
            finish = ctx.job.finishes.get(place)
            yield Conflict(
                rule=unused_output.name,
                level="stop",
                message=f"{ctx.job.shown(place)} ({ctx.words(place)}) is needed, and joined to nothing that "
                "takes it: what it drives stays off.",
                why=f"Its lead is {finish.kind}." if finish else "Nothing that takes it is in its net.",
                mend="Join it to what needs it, or unmark it as needed.",
                where=(place,),
            )


def _is_taken(ctx: Context, ref: str) -> bool:
    return any(other != ref and ctx.flow(other) in ("takes", "either") for other in ctx.terminals(ref))
