"""Ways out for feeds: to the right feed, and exchanged with another."""

from __future__ import annotations

from collections.abc import Callable, Collection
from functools import partial

from core.checks.context import Context
from core.checks.finding import Mend
from core.checks.mends import exchange, take_out
from core.circuit.positions import Position
from core.edits.joins import join, set_joint
from core.job.document import Job


def move(job: Job, end: str, to: str) -> Job:
    """Join an end to another place, out of the joint it is in. Raises EditRefused."""
    return join(take_out(job, [end]), end, to)


def solder(joint: str) -> Callable[[Job], Job]:
    """The edit that has a joint soldered instead of clipped on."""
    return partial(set_joint, joint=joint, method="solder")


def to_right_feed(ctx: Context, ref: str, wanted: Collection[Position]) -> tuple[Mend, ...]:
    """The mend that moves a lead to a feed of the car that is live in these positions, and in no other."""
    end = ctx.joined_end(ref)
    if end is None:
        return ()
    for source in ctx.elements.sources:
        if source.kind != "feed" or source.stores or source.volts is not None:
            continue
        place = _place_on(ctx, source.terminal)
        if place is None or ctx.graph.net_of(place) == ctx.graph.net_of(end):
            continue
        if set(ctx.levels.ever_live(source.terminal)) == set(wanted) and not _shorted(ctx, place, wanted):
            label = f"Move {ctx.job.shown(end)} to {ctx.job.shown(place)}"
            return (Mend(label, partial(move, end=end, to=place)),)
    return ()


def _shorted(ctx: Context, place: str, positions: Collection[Position]) -> bool:
    return any(ctx.levels.shorted(place, position) for position in positions)


def _place_on(ctx: Context, terminal: str) -> str | None:
    """The joint that a feed of the car is in, else its open lead."""
    joint = ctx.joint_at(terminal)
    lead = ctx.lead(terminal)
    return joint or (lead if lead in ctx.open_ends else None)


def exchanged(ctx: Context, one: str, other: str) -> tuple[Mend, ...]:
    """The mend that puts each of two leads where the other is."""
    first, second = ctx.joined_end(one), ctx.joined_end(other)
    joints = ctx.job.lookup.joint_of
    if first is None or second is None or joints[first] == joints[second]:
        return ()
    label = f"Exchange {ctx.job.shown(first)} and {ctx.job.shown(second)}"
    return (Mend(label, partial(exchange, first=first, second=second)),)
