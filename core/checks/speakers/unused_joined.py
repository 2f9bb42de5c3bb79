"""Rule: unused leads joined together."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.mends import apart_and_capped
from core.checks.phrases import places
from core.checks.registry import rule
from core.checks.speakers.outputs import unused_alone
from core.ids import kind_of, part_of

_GIVING = frozenset({"speaker", "output", "line"})


@rule(
    "unused leads joined together",
    "stop",
    under=("feed shorted to ground", "speaker lead grounded"),
    over=("functions that do not belong together", "plus and minus exchanged"),
)
def unused_joined(ctx: Context) -> Iterator[Conflict | None]:
    """Outputs of one part that nothing needs were twisted together, instead of each being capped.

    They drive into each other all the same: speaker outputs burn, others wake each other.

    Take them apart and cap each of them.
    """
    for joint in ctx.job.joints.values():
        yield None
        if len({part_of(end) if kind_of(end) == "terminal" else end for end in joint.ends}) > 1:
            continue
        refs = ctx.terminals(joint.id)
        giving = [ref for ref in refs if ctx.cls(ref) in _GIVING]
        if len(giving) < 2 or not unused_alone(ctx, giving[0]):
            continue
        speaker = any(ctx.cls(ref) == "speaker" for ref in giving)
        leads = list(dict.fromkeys(map(ctx.lead, giving)))
        burns = "the outputs would drive into each other and burn" if speaker else "they push into each other"
        alone = len(ctx.joints(joint.id)) == 1
        yield Conflict(
            rule=unused_joined.name,
            level="stop" if speaker else "look",
            message=f"{places(ctx.job, leads)} are not used, and joined together: {burns}.",
            why=f"They meet at {joint.id}, and nothing there takes them.",
            mend="Take them apart and cap each of them.",
            where=tuple(leads),
            wires=ctx.graph.conductors(joint.id),
            mends=(_apart(joint.id),) if alone else (),
        )


def _apart(joint: str) -> Mend:
    return Mend(f"Take {joint} apart and cap its ends", partial(apart_and_capped, joint=joint))
