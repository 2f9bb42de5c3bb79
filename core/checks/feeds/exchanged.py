"""Rule: constant and accessory exchanged."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.mends_feeds import exchanged
from core.checks.phrases import listed, names, when
from core.checks.registry import rule
from core.circuit.positions import Position
from core.job.internals import LiveIn


class _Pair(NamedTuple):
    """Two feed terminals of a part; each is live where the other should be."""

    part: str
    one: str
    other: str
    dead: frozenset[Position]


@rule(
    "constant and accessory exchanged",
    "stop",
    needs=("levels",),
    under=(
        "feed shorted to ground",
        "feeds of different positions joined",
        "reversed polarity",
        "lead whose mate is empty or blocked",
    ),
    over=(
        "load dead where it is needed",
        "functions that do not belong together",
        "fuse too small for the load",
        "amps above what the gauge carries",
        "drop above the limit of its class",
    ),
)
def feeds_exchanged(ctx: Context) -> Iterator[Conflict | None]:
    """Two feeds of one part stand on each other's: its constant lead on accessory, its accessory on constant.

    It forgets stations and clock at every key-off, and stays awake until the battery is flat.

    Exchange the two leads.
    """
    by_feeds: dict[frozenset[int | None], list[_Pair]] = {}
    for part in ctx.job.parts.values():
        if part.state != "to fit":
            continue
        yield None
        for pair in _pairs(ctx, part.id):
            nets = frozenset(map(ctx.graph.net_of, (pair.one, pair.other)))
            by_feeds.setdefault(nets, []).append(pair)
    for found in by_feeds.values():
        yield _conflict(ctx, found)


def _pairs(ctx: Context, tag: str) -> Iterator[_Pair]:
    wanted: dict[str, frozenset[Position]] = {}
    for ref in ctx.job.parts[tag].cavities:
        function = ctx.function(ref)
        if function is None or function.cls != "feed" or not function.live or ctx.flow(ref) != "takes":
            continue
        if not ctx.undecided(ref):
            live = LiveIn(keys=function.live, switch=function.switch)
            wanted[ref] = frozenset(p for p in ctx.positions if p.has(live))
    if len(set(wanted.values())) < 2:
        return
    given = {ref: frozenset(ctx.levels.ever_live(ref)) for ref in wanted}
    for one, other in combinations(wanted, 2):
        if wanted[one] < wanted[other]:
            one, other = other, one
        if wanted[one] <= given[one] or not wanted[one] <= given[other]:
            continue
        # Exchanged, each of them would be nearer to what it is for.
        if len(given[one] ^ wanted[other]) < len(given[other] ^ wanted[other]):
            yield _Pair(tag, one, other, wanted[one] - given[one])


def _conflict(ctx: Context, found: list[_Pair]) -> Conflict:
    first = found[0]
    dead = [p for p in ctx.positions if any(p in pair.dead for pair in found)]
    leads = list(dict.fromkeys(ctx.lead(ref) for pair in found for ref in (pair.one, pair.other)))
    one, other = (f"{ctx.job.shown(ctx.lead(ref))} ({ctx.words(ref)})" for ref in (first.one, first.other))
    parts = listed([pair.part for pair in found])
    swap = (first.one, first.other)
    if len(found) > 1:
        swap = (_source(ctx, first.one), _source(ctx, first.other))
    path = (*ctx.graph.conductors(first.one), *ctx.graph.conductors(first.other))
    return Conflict(
        rule=feeds_exchanged.name,
        level="stop",
        message=f"{parts} would lose {ctx.words(first.one)} {when(dead, ctx.positions)}: "
        f"{one} and {other} are exchanged.",
        why="Each of the two is live where the other should be.",
        mend="Exchange the two leads.",
        where=tuple(leads),
        wires=tuple(dict.fromkeys(path)),
        positions=names(dead),
        mends=exchanged(ctx, *swap),
    )


def _source(ctx: Context, ref: str) -> str:
    """What feeds a terminal."""
    feeds = (d for p in ctx.positions for d in ctx.levels.feeds(ref, p))
    return next((d.source.terminal for d in feeds), ref)
