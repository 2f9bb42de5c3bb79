"""Rule: removed part whose taps are not closed."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.mends import take_out
from core.checks.phrases import listed, names, places, when
from core.checks.registry import rule
from core.edits.wires import remove_wires
from core.ids import other_end, owner_of_end


@rule(
    "removed part whose taps are not closed",
    "stop",
    needs=("levels",),
    under=("feed shorted to ground",),
)
def removed_part(ctx: Context) -> Iterator[Conflict | None]:
    """A part was taken out of the car, and leads of it are still joined to what stays.

    The stubs hang where the part was. One that is live touches metal sooner or later; a tap that nobody
    closes lets water into the car's own wire.

    Take its leads out of their joints, and close the taps in the car's wires.
    """
    for part in ctx.job.parts.values():
        yield None
        if part.state != "removed":
            continue
        left = {ref: ends for ref in part.cavities if (ends := _ends(ctx, ref))}
        if not left:
            continue
        live = [ref for ref in left if ctx.levels.ever_live(ref)]
        positions = [p for p in ctx.positions if any(ctx.levels.live(ref, p) for ref in live)]
        worst = [*live, *(ref for ref in left if ref not in live)]
        verb = "are" if len(left) > 1 else "is"
        says = f"{places(ctx.job, worst)} of {part.id}, which is removed, {verb} still joined"
        if live:
            says += f", and {places(ctx.job, live)} would be live {when(positions, ctx.positions)}"
        joints = list(dict.fromkeys(j for ref in worst for j in ctx.joints(ref)))
        why = f"Its leads were left in {listed(joints)}." if joints else "Its wires were left in place."
        yield Conflict(
            rule=removed_part.name,
            level="stop" if live else "look",
            message=f"{says}.",
            why=why,
            mend="Take its leads out of their joints, and close the taps.",
            where=tuple(worst),
            positions=names(positions),
            mends=_mends(ctx, part.id, left),
        )


def _ends(ctx: Context, ref: str) -> tuple[str, ...]:
    """What of a terminal is joined: its lead in a joint, the ends of wires crimped into its cavity."""
    lookup = ctx.job.lookup
    crimped = lookup.crimped.get(ref, ())
    tied = (end for end in crimped if other_end(end) in lookup.joint_of or _in_a_cavity(ctx, other_end(end)))
    return (*((ref,) if ref in lookup.joint_of else ()), *tied)


def _in_a_cavity(ctx: Context, end: str) -> bool:
    return ctx.graph.node_of(end) not in (None, end)


def _mends(ctx: Context, tag: str, left: dict[str, tuple[str, ...]]) -> tuple[Mend, ...]:
    ends = [end for found in left.values() for end in found]
    leads = tuple(end for end in ends if ":" not in end)
    wires = tuple(dict.fromkeys(owner_of_end(end) for end in ends if ":" in end))
    if not wires:
        return (Mend(f"Take the leads of {tag} out of their joints", partial(take_out, ends=leads)),)
    if leads or not set(wires) <= set(ctx.job.wires):
        return ()
    return (Mend(f"Take {listed(wires)} away", partial(remove_wires, wires=wires)),)
