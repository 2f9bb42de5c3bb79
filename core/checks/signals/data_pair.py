"""Rule: data pair split, exchanged or loaded."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.insides import Inside, insides
from core.checks.mends import exchange, take_out
from core.checks.phrases import places
from core.checks.registry import rule
from core.job.internals import DataPair
from core.net.graph import Net
from core.units import show_ohms

Pair = Inside[DataPair]


@rule(
    "data pair split, exchanged or loaded",
    "stop",
    under=("feed shorted to ground",),
    over=("functions that do not belong together",),
    limits=("data_pair_least_ohms",),
)
def data_pair(ctx: Context) -> Iterator[Conflict | None]:
    """Two modules share a data pair, and high meets low, only one of the two leads is joined, or the pair
    ends in too many resistors.

    Every module on the pair falls silent, or talks only while nothing disturbs it; nothing burns and no meter
    tells.

    Join high to high and low to low, both of them, and leave two ends of 120 ohm on the line.
    """
    pairs = list(insides(ctx, DataPair))
    ends: dict[Net, list[tuple[Pair, str]]] = {}
    for pair in pairs:
        yield None
        for side in ("high", "low"):
            net = ctx.graph.net_of(_lead(pair, side))
            if net is not None:
                ends.setdefault(net, []).append((pair, side))
    done: set[frozenset[str]] = set()
    for there in ends.values():
        first, side = there[0]
        for other, other_side in there[1:]:
            yield None
            both = frozenset((first.name, other.name))
            if len(both) < 2 or both in done:
                continue
            done.add(both)
            if side != other_side:
                yield _exchanged(ctx, first, other)
            elif _apart(ctx, first, other, "low" if side == "high" else "high"):
                yield from _split(ctx, first, other, "low" if side == "high" else "high")
    yield from _loaded(ctx, pairs)


def _lead(pair: Pair, side: str) -> str:
    return pair.at(pair.it.high if side == "high" else pair.it.low)


def _apart(ctx: Context, one: Pair, other: Pair, side: str) -> bool:
    return ctx.graph.net_of(_lead(one, side)) != ctx.graph.net_of(_lead(other, side))


def _ours(ctx: Context, one: Pair, other: Pair) -> Pair:
    """The one whose leads are ours to move."""
    return other if ctx.job.parts[one.part].state == "on the car" else one


def _exchanged(ctx: Context, one: Pair, other: Pair) -> Conflict:
    moved = _ours(ctx, one, other)
    ends = [ctx.joined_end(_lead(moved, side)) for side in ("high", "low")]
    mends: tuple[Mend, ...] = ()
    joints = ctx.job.lookup.joint_of
    if ends[0] and ends[1] and joints[ends[0]] != joints[ends[1]]:
        label = f"Exchange {places(ctx.job, [end for end in ends if end])}"
        mends = (Mend(label, partial(exchange, first=ends[0], second=ends[1])),)
    leads = tuple(ctx.lead(_lead(pair, side)) for pair in (one, other) for side in ("high", "low"))
    return Conflict(
        rule=data_pair.name,
        level="stop",
        message=f"High and low of the data pair meet between {one.part} and {other.part}: "
        "no module on it would talk.",
        why=f"{places(ctx.job, leads)} are joined crosswise, or to one another.",
        mend="Join high to high and low to low.",
        where=leads,
        wires=tuple(sorted({*ctx.graph.conductors(leads[0]), *ctx.graph.conductors(leads[1])})),
        mends=mends,
    )


def _split(ctx: Context, one: Pair, other: Pair, side: str) -> Iterator[Conflict | None]:
    """Only the other lead of the two pairs is joined."""
    leads = [_lead(pair, side) for pair in (one, other)]
    if any(ctx.undecided(lead) for lead in leads):
        return
    shown = tuple(map(ctx.lead, leads))
    yield Conflict(
        rule=data_pair.name,
        level="stop",
        message=f"{places(ctx.job, shown)}, {side} of one data pair, are not joined, while the other leads "
        f"of {one.part} and {other.part} are: they would not talk.",
        why="A data line is the difference of two leads.",
        mend="Join both leads of the pair.",
        where=shown,
    )


def _loaded(ctx: Context, pairs: list[Pair]) -> Iterator[Conflict | None]:
    """The terminations of one line, side by side."""
    by_line: dict[tuple[Net | None, Net | None], list[Pair]] = {}
    for pair in pairs:
        line = (ctx.graph.net_of(_lead(pair, "high")), ctx.graph.net_of(_lead(pair, "low")))
        by_line.setdefault(line, []).append(pair)
    least = ctx.limits["data_pair_least_ohms"]
    for there in by_line.values():
        yield None
        ended = [pair for pair in there if pair.it.termination_ohms is not None]
        ohms = 1 / sum(1 / (pair.it.termination_ohms or 1.0) for pair in ended) if len(ended) > 1 else least
        if ohms >= least:
            continue
        ours = [pair for pair in ended if ctx.job.parts[pair.part].state != "on the car"] or ended
        leads = tuple(ctx.lead(_lead(ours[-1], side)) for side in ("high", "low"))
        ends = tuple(end for lead in leads if (end := ctx.joined_end(lead)) is not None)
        mends = (Mend(f"Take {places(ctx.job, ends)} out", partial(take_out, ends=ends)),) if ends else ()
        yield Conflict(
            rule=data_pair.name,
            level="look",
            message=f"The data pair at {places(ctx.job, leads)} would be ended by {show_ohms(ohms)}, "
            f"less than {show_ohms(least)}: modules may fall silent.",
            why=f"{len(ended)} parts end it: {', '.join(pair.part for pair in ended)}.",
            mend="Leave two ends of 120 ohm on the line.",
            where=leads,
            numbers={"ohms": ohms, "least_ohms": least},
            mends=mends,
        )
