"""Rule: interlock tied off."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.parting import out_of_joint
from core.checks.phrases import names
from core.checks.registry import rule
from core.net.graph import Net

_INTERLOCKS = frozenset({"parking-brake", "speed-signal"})


@rule(
    "interlock tied off",
    "look",
    needs=("levels",),
    under=("feed shorted to ground", '"ground" that is a lamp wire or a low-volt lead'),
    over=("functions that do not belong together",),
)
def interlock(ctx: Context) -> Iterator[Conflict | None]:
    """The input by which a screen knows that the car stands still is joined to ground or to a feed, and says
    so for ever.

    Pictures then play in front of the driver. In many places that is against the law, which differs by place;
    whoever signs the job answers for it.

    Join it to the parking-brake switch or the speed signal of the car, as the maker says.
    """
    done: set[Net | None] = set()
    for part in ctx.job.parts.values():
        yield None
        if part.state in ("on the car", "removed"):
            continue
        for ref, cavity in part.cavities.items():
            net = ctx.graph.net_of(ref)
            if cavity.function not in _INTERLOCKS or ctx.flow(ref) != "takes" or net in done:
                continue
            says = _held(ctx, ref)
            if says is None:
                continue
            done.add(net)
            lead = ctx.lead(ref)
            yield Conflict(
                rule=interlock.name,
                level="look",
                message=f"{ctx.job.shown(lead)} ({ctx.words(ref)}) is {says} in every position: {part.id} "
                "would always take the car for standing still.",
                why="The law on this differs by place.",
                mend="Join it to the car's own switch or signal, as the maker says.",
                where=(lead,),
                wires=ctx.graph.conductors(lead),
                positions=names(ctx.positions),
                mends=out_of_joint(ctx, lead),
            )


def _held(ctx: Context, ref: str) -> str | None:
    """What holds it, where it is held in every position alike; None where the car's own switch turns it."""
    if len(ctx.graph.members(ref)) < 2:
        return None
    if all(ctx.levels.ground(ref, p) is not None for p in ctx.positions):
        return "on ground"
    if all(ctx.levels.live(ref, p) for p in ctx.positions):
        return "live"
    return None
