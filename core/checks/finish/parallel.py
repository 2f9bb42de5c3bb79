"""Rule: parallel leads to one net."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import combinations

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.insides import insides
from core.checks.mends import take_out_and_cap, take_out_and_pull
from core.checks.phrases import places
from core.checks.registry import rule
from core.ids import part_of
from core.job.internals import Link
from core.units import area_mm2, show_amps


@rule(
    "parallel leads to one net",
    "note",
    needs=("levels",),
    under=("no return",),
    limits=("lead_area_mm2", "parallel_lead_share"),
)
def parallel_leads(ctx: Context) -> Iterator[Conflict | None]:
    """Two leads of one part are one inside it, and run side by side to one joint; one would carry the amps.

    The second makes the joint fuller and the bundle thicker. Nothing is wrong with it.

    Pull one of them out of its plug, or leave it as a spare.
    """
    joints: dict[tuple[str, str], list[str]] = {}
    for part in ctx.job.parts.values():
        yield None
        for ref in part.cavities:
            joint = ctx.job.lookup.joint_of.get(ref)
            if joint is not None and ctx.side(ref) == "equipment":
                joints.setdefault((part.id, joint), []).append(ref)
    linked = {frozenset((one.at(one.it.a), one.at(one.it.b))) for one in insides(ctx, Link)}
    for (_, joint), refs in joints.items():
        bonded = _bonded(ctx, refs, linked)
        if len(bonded) < 2:
            continue
        amps, carries = _most_amps(ctx, bonded), [_carries(ctx, ref) for ref in bonded]
        share = ctx.limits["parallel_lead_share"]
        kept = max(bonded, key=lambda ref: (_carries(ctx, ref), -bonded.index(ref)))
        if not 0 < amps <= share * max(carries):
            continue
        spare = [ref for ref in bonded if ref != kept]
        yield Conflict(
            rule=parallel_leads.name,
            level="note",
            message=f"{places(ctx.job, bonded)} run side by side to {joint}: {ctx.job.shown(kept)} alone "
            f"would carry their {show_amps(amps)}.",
            why=f"They are one inside {part_of(kept)}.",
            mend="Pull one of them, or leave it as a spare.",
            where=(*spare, kept),
            numbers={"amps": amps},
            mends=tuple(_pulled(ctx, ref) for ref in spare) if len(spare) == 1 else (),
        )


def _bonded(ctx: Context, refs: Sequence[str], linked: set[frozenset[str]]) -> list[str]:
    """Those that are one inside their part: its returns, or ends of a link."""
    grounds = [ref for ref in refs if ctx.cls(ref) == "ground" and ctx.flow(ref) == "takes"]
    if len(grounds) > 1:
        return grounds
    return [ref for pair in combinations(refs, 2) if frozenset(pair) in linked for ref in pair][:2]


def _most_amps(ctx: Context, refs: Sequence[str]) -> float:
    found = (sum(ctx.levels.point(p).amps(ref) or 0.0 for ref in refs) for p in ctx.positions)
    return max((abs(amps) for amps in found), default=0.0)


def _carries(ctx: Context, ref: str) -> float:
    """What a lead carries for good, by its gauge."""
    lead = ctx.cavity(ref).lead
    gauge = lead.gauge if lead else None
    area = ctx.limits["lead_area_mm2"] if gauge is None else area_mm2(gauge)
    return ctx.library.ampacity.of_area(area)


def _pulled(ctx: Context, ref: str) -> Mend:
    shown, connector = ctx.job.shown(ref), ctx.job.connector(ref)
    if connector is not None and connector.face is not None:
        return Mend(f"Pull {shown} out of its plug", partial(take_out_and_pull, end=ref))
    return Mend(f"Take {shown} out and cap it", partial(take_out_and_cap, end=ref))
