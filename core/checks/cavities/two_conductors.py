"""Rule: two conductors in one cavity."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.phrases import listed
from core.checks.registry import rule
from core.edits.wires import uncrimp
from core.job.document import Job


@rule("two conductors in one cavity", "look", under=("cut into the car",))
def two_conductors(ctx: Context) -> Iterator[Conflict | None]:
    """More than one conductor is to be crimped into one cavity.

    A terminal is made for one wire of a certain gauge: two are held badly, and a sealed plug leaks.

    Join the two outside the plug, and crimp one lead into the cavity.
    """
    for ref, ends in ctx.job.lookup.crimped.items():
        yield None
        cavity = ctx.job.cavity(ref)
        if cavity is None:
            continue
        own = [f"the lead of {ctx.job.shown(ref)}"] if cavity.lead else []
        wires = [end.partition(":")[0] for end in ends]
        if len(own) + len(wires) < 2:
            continue
        yield Conflict(
            rule=two_conductors.name,
            level="look",
            message=f"{listed([*own, *wires])} are crimped into {ctx.job.shown(ref)}.",
            why="A terminal holds one wire of its gauge; two are held badly.",
            mend="Join them outside the plug and crimp one into the cavity.",
            where=(ref,),
            wires=tuple(wires),
            mends=(
                Mend(
                    f"Take {wires[-1]} out of {ctx.job.shown(ref)}",
                    partial(_take_out_all, wire_ends=ends if own else ends[1:]),
                ),
            ),
        )


def _take_out_all(job: Job, wire_ends: tuple[str, ...]) -> Job:
    for end in wire_ends:
        job = uncrimp(job, end)
    return job
