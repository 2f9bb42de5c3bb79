"""Rule: needs a feed by data that nothing makes."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.feeds.needing import dead_in
from core.checks.finding import Conflict, Mend
from core.checks.insides import insides
from core.checks.mends_feeds import move
from core.checks.phrases import names, when
from core.checks.registry import rule
from core.circuit.elements import LoadPart
from core.job.internals import DataPair, Feed


@rule(
    "needs a feed by data that nothing makes",
    "stop",
    needs=("levels",),
    under=(
        "feed shorted to ground",
        "reversed polarity",
        "constant and accessory exchanged",
        "lead whose mate is empty or blocked",
    ),
    over=("load dead where it is needed", "functions that do not belong together"),
)
def fed_by_data(ctx: Context) -> Iterator[Conflict | None]:
    """The car wakes its radio by data: no lead of its plug follows the key, or one is live only
    while data ask for it.

    Nothing of what was fitted speaks to that data line, so the part stays off whatever the key does.

    Fit an interface that makes such a feed from the data, or fetch one from the fuse box.
    """
    by_data = {feed.at(feed.it.terminal) for feed in insides(ctx, Feed) if feed.it.manner == "by data"}
    car = [pair for pair in insides(ctx, DataPair) if ctx.job.parts[pair.part].state == "on the car"]
    lines = {ref for pair in car for ref in (pair.at(pair.it.high), pair.at(pair.it.low))}
    if not by_data and not lines:
        return
    speaks = _spoken_to(ctx, lines)
    for load in ctx.elements.loads:
        yield None
        if load.needed is None or ctx.undecided(load.plus) or ctx.side(load.plus) != "equipment":
            continue
        if by_data and not speaks and _only_by_data(ctx, load, by_data):
            source = next(ref for ref in sorted(by_data) if _feeds(ctx, ref, load))
            yield _conflict(
                ctx, load, f"{ctx.job.shown(ctx.lead(source))} is live only while data ask for it"
            )
        elif lines and "off" not in load.needed.keys and _nothing_follows_the_key(ctx, load):
            yield _conflict(ctx, load, "no lead of the car that is joined here follows the key")


def _spoken_to(ctx: Context, lines: set[str]) -> bool:
    """Whether equipment stands on one of the car's data lines."""
    return any(
        ctx.side(ref) == "equipment" and ctx.cls(ref) == "data"
        for line in lines
        for ref in ctx.terminals(line)
    )


def _feeds(ctx: Context, source: str, load: LoadPart) -> bool:
    return any(source in ctx.levels.drives(load.plus, p) for p in ctx.positions)


def _only_by_data(ctx: Context, load: LoadPart, by_data: set[str]) -> bool:
    """Whether such feeds are all that reaches a load."""
    found = {d.source.terminal for p in ctx.positions for d in ctx.levels.feeds(load.plus, p)}
    return bool(found) and found <= by_data


def _nothing_follows_the_key(ctx: Context, load: LoadPart) -> bool:
    """Whether a load lacks a feed that no lead of the job could give it."""
    if not dead_in(ctx, load):
        return False
    assert load.needed is not None
    givers = (
        s for s in ctx.elements.sources if s.kind in ("feed", "output") and ctx.cls(s.terminal) == "feed"
    )
    # What would give it, and is dead itself, lacks a feed of its own.
    return not any("off" not in s.live.keys and _covers(s.live.keys, load) for s in givers)


def _conflict(ctx: Context, load: LoadPart, why: str) -> Conflict:
    assert load.needed is not None
    place = ctx.lead(load.plus)
    needed = [p for p in ctx.positions if p.has(load.needed)]
    return Conflict(
        rule=fed_by_data.name,
        level="stop",
        message=f"{ctx.job.shown(place)} ({ctx.words(load.plus)}) would get no feed "
        f"{when(needed, ctx.positions)}: the car makes it by data, and nothing here reads them.",
        why=f"{why[:1].upper()}{why[1:]}.",
        mend="Fit an interface that makes the feed from the data, or fetch one from the fuse box.",
        where=(place,),
        wires=ctx.graph.conductors(place),
        positions=names(needed),
        mends=_from_interface(ctx, load),
    )


def _from_interface(ctx: Context, load: LoadPart) -> tuple[Mend, ...]:
    """The mend that joins it to an output of a part that is there and makes such a feed."""
    end = ctx.joined_end(load.plus)
    makers = (s for s in ctx.elements.sources if s.kind == "output" and ctx.cls(s.terminal) == "feed")
    lead = next((ctx.lead(s.terminal) for s in makers if load.needed and _covers(s.live.keys, load)), None)
    if end is None or lead is None:
        return ()
    label = f"Move {ctx.job.shown(end)} to {ctx.job.shown(lead)}"
    return (Mend(label, partial(move, end=end, to=lead)),)


def _covers(keys: tuple[str, ...], load: LoadPart) -> bool:
    return load.needed is not None and set(keys) >= set(load.needed.keys)
