"""Rule: airbag circuit touched."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.parting import out_of_joint
from core.checks.registry import rule


@rule("airbag circuit touched", "stop")
def airbag_touched(ctx: Context) -> Iterator[Conflict | None]:
    """Something is joined to a cavity of an airbag circuit.

    It can fire the airbag, or keep it from firing. Even a meter's current may be enough.

    Leave it alone, and keep to the vehicle maker's service information.
    """
    for part in ctx.job.parts.values():
        yield None
        for ref, cavity in part.cavities.items():
            if not cavity.airbag or not (ctx.joints(ref) or ctx.graph.conductors(ref)):
                continue
            yield Conflict(
                rule=airbag_touched.name,
                level="stop",
                message=f"{ctx.job.shown(ref)} is an airbag circuit, and something is joined to it.",
                why="It can fire the airbag, or keep it from firing.",
                mend="Take off what is joined to it; keep to the vehicle maker's service information.",
                where=(ref,),
                wires=ctx.graph.conductors(ref),
                mends=out_of_joint(ctx, ctx.lead(ref)),
            )
