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
    for place in ctx.feed_places.get(frozenset(wanted), ()):
        if ctx.graph.net_of(place) != ctx.graph.net_of(end):
            label = f"Move {ctx.job.shown(end)} to {ctx.job.shown(place)}"
            return (Mend(label, partial(move, end=end, to=place)),)
    return ()


def exchanged(ctx: Context, one: str, other: str) -> tuple[Mend, ...]:
    """The mend that puts each of two leads where the other is."""
    first, second = ctx.joined_end(one), ctx.joined_end(other)
    joints = ctx.job.lookup.joint_of
    if first is None or second is None or joints[first] == joints[second]:
        return ()
    label = f"Exchange {ctx.job.shown(first)} and {ctx.job.shown(second)}"
    return (Mend(label, partial(exchange, first=first, second=second)),)
