"""Rule: case on the wrong pole of a positive-ground car."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.insides import Inside, insides
from core.checks.phrases import names, when
from core.checks.registry import rule
from core.edits.internals import set_internal
from core.job.internals import Case


@rule(
    "case on the wrong pole of a positive-ground car",
    "stop",
    needs=("levels",),
    over=("feed shorted to ground", "functions that do not belong together", "reversed polarity"),
)
def case_pole(ctx: Context) -> Iterator[Conflict | None]:
    """The car has plus on its body, and a part whose metal case is its minus is bolted to the body.

    The case shorts the car's feed to the body as soon as the bolt bites, through the part's own ground lead.

    Keep case, bracket and antenna braid off the body, or use a part made for positive ground.
    """
    if ctx.job.settings.ground != "positive":
        return
    for case in insides(ctx, Case):
        yield None
        ref = case.at(case.it.a)
        positions = [p for p in ctx.positions if ctx.levels.feeds(ref, p)]
        if not case.it.touches_body or not positions:
            continue
        lead = ctx.lead(ref)
        drive = ctx.levels.feeds(ref, positions[0])[0]
        path = ctx.levels.path(drive, ref)
        source = ctx.lead(drive.source.terminal)
        yield Conflict(
            rule=case_pole.name,
            level="stop",
            message=f"The case of {case.part} is on the body, and its {ctx.job.shown(lead)} on "
            f"{ctx.job.shown(source)}: the feed would be shorted {when(positions, ctx.positions)}.",
            why="In this car the body is plus, and the case is the part's minus.",
            mend="Keep case, bracket and antenna braid off the body.",
            where=tuple(dict.fromkeys((lead, source))),
            wires=ctx.conductors(path),
            path=path,
            positions=names(positions),
            mends=_insulated(ctx, case),
        )


def _insulated(ctx: Context, case: Inside[Case]) -> tuple[Mend, ...]:
    own = ctx.job.parts[case.part].internals
    place = next((number for number, it in enumerate(own) if it is case.it), None)
    if place is None:
        return ()
    edit = partial(set_internal, tag=case.part, index=place, touches_body=False)
    return (Mend(f"Keep the case of {case.part} off the body", edit),)
