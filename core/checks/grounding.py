"""Where a lead can be joined to ground."""

from __future__ import annotations

from functools import partial

from core.checks.context import Context
from core.checks.finding import Mend
from core.checks.mends import ground, ground_at_point
from core.ids import natural_key
from core.job.internals import GroundPoint
from core.job.parts import Part


def ground_place(ctx: Context) -> str | None:
    """The joint that is grounded and has the most ends, else an open lead of a ground of the car."""
    sources = [s for s in ctx.elements.sources if s.kind == "ground" and s.reliable]
    position = ctx.positions[0]
    clean = [s.terminal for s in sources if not ctx.levels.shorted(s.terminal, position)]
    joints = {joint for terminal in clean for joint in ctx.joints(terminal)}
    if joints:
        return max(joints, key=lambda j: (len(ctx.job.joints[j].ends), tuple(reversed(natural_key(j)))))
    leads = [lead for lead in map(ctx.lead, clean) if lead in ctx.open_ends]
    return leads[0] if leads else None


def ground_point(ctx: Context) -> Part | None:
    """A body ground point from the library."""
    for entry in ctx.library.parts.values():
        part = entry.part
        grounds = [i for i in part.internals if isinstance(i, GroundPoint) and i.reliable]
        implied = [c for c in part.cavities.values() if c.function == "ground"]
        if part.state == "on the car" and len(part.cavities) == 1 and (grounds or implied):
            return part.changed(library=entry.name)
    return None


def to_ground(ctx: Context, end: str) -> tuple[Mend, ...]:
    """Ways to join an end to ground."""
    place, point = ground_place(ctx), ground_point(ctx)
    shown = ctx.job.shown(end)
    mends: list[Mend] = []
    if place is not None and ctx.graph.net_of(place) != ctx.graph.net_of(end):
        label = f"Join {shown} to {ctx.job.shown(place)}"
        mends.append(Mend(label, partial(ground, end=end, to=place)))
    if point is not None:
        label = f"Join {shown} to a body ground point"
        mends.append(Mend(label, partial(ground_at_point, end=end, point=point)))
    return tuple(mends)
