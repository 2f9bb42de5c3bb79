"""Rule: ground shared so that offset exceeds its limit."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.grounding import ground_point
from core.checks.insides import insides
from core.checks.mends import ground_at_point
from core.checks.phrases import listed, names, places
from core.checks.registry import rule
from core.circuit.positions import Position
from core.ids import part_of
from core.job.internals import LineLevel, Video
from core.net.graph import Net


@rule(
    "ground shared so that offset exceeds its limit",
    "look",
    needs=("levels",),
    under=(
        "feed shorted to ground",
        "no return",
        '"ground" that is a lamp wire or a low-volt lead',
        "reversed polarity",
        "speaker lead grounded",
        "feeds of different positions joined",
        "return thinner than its feed",
    ),
    limits=("ground_offset_volts", "signal_ground_offset_volts"),
)
def shared_ground(ctx: Context) -> Iterator[Conflict | None]:
    """Several parts come back by one wire or bolt, and the amps of one lift the ground of the others.

    What hangs there sees that as signal: whine in the sound, bars in the picture, buttons that read wrong.

    Give the part with the most amps, or the one that suffers, a ground of its own.
    """
    backs: dict[str, dict[str, list[str]]] = {}
    for load in ctx.loads:
        yield None
        for ref in ctx.back(load):
            joint = ctx.joint_at(ref)
            if joint is not None:
                refs = backs.setdefault(joint, {}).setdefault(load.part, [])
                refs += [ref] if ref not in refs else []
    limit = ctx.limits["ground_offset_volts"]
    for joint, parts in backs.items():
        yield None
        if len(parts) < 2 or any(ctx.cls(ref) == "speaker" for ref in ctx.terminals(joint)):
            continue
        worst = max(((_offset(ctx, joint, p), p) for p in ctx.positions), key=lambda found: found[0])
        if worst[0] > limit:
            yield _conflict(ctx, joint, parts, *worst, limit)
    yield from _signals(ctx)


def _offset(ctx: Context, ref: str, position: Position) -> float:
    """Volts of a ground against the body; 0 where a feed stands there too, or it floats."""
    volts = None if ctx.levels.feeds(ref, position) else ctx.levels.volts(ref, position)
    return abs(volts or 0.0)


def _conflict(
    ctx: Context, joint: str, parts: dict[str, list[str]], volts: float, position: Position, limit: float
) -> Conflict:
    point = ctx.levels.point(position)
    drawn = {part: max(abs(point.amps(ref) or 0.0) for ref in refs) for part, refs in parts.items()}
    most = max(drawn, key=lambda part: drawn[part])
    quiet = sorted((part for part in parts if part != most), key=lambda part: drawn[part])
    leads = list(dict.fromkeys(ctx.lead(ref) for part in (*quiet, most) for ref in parts[part]))
    return Conflict(
        rule=shared_ground.name,
        level="look",
        message=f"The ground of {listed(quiet)} would be lifted by {volts:.2f} V in {position.name}, "
        f"by the {drawn[most]:.2g} A of {most} that share it.",
        why=f"{places(ctx.job, leads)} come back together at {joint}; {limit:g} V is the limit.",
        mend="Give one of them a ground of its own.",
        where=tuple(leads),
        wires=ctx.graph.conductors(joint),
        positions=names([position]),
        numbers={"offset_volts": volts, "limit_volts": limit},
        mends=_own_point(ctx, ctx.joined_end(leads[0])) if len(quiet) == 1 else (),
    )


def _own_point(ctx: Context, end: str | None) -> tuple[Mend, ...]:
    point = ground_point(ctx)
    if end is None or point is None:
        return ()
    label = f"Join {ctx.job.shown(end)} to a body ground point"
    return (Mend(label, partial(ground_at_point, end=end, point=point)),)


def _signals(ctx: Context) -> Iterator[Conflict | None]:
    """Between the two ends of a sound or picture: their own grounds must stand alike."""
    returns: dict[str, str] = {load.part: ref for load in ctx.loads for ref in ctx.back(load)[:1]}
    by_net: dict[Net | None, list[str]] = {}
    found = [one.at(one.it.terminal) for one in insides(ctx, LineLevel)]
    found += [one.at(one.it.terminal) for one in insides(ctx, Video)]
    for ref in found:
        if part_of(ref) in returns and ctx.cls(ref) in ("line", "video"):
            by_net.setdefault(ctx.graph.net_of(ref), []).append(part_of(ref))
    limit = ctx.limits["signal_ground_offset_volts"]
    done: set[frozenset[str]] = set()
    for ends in by_net.values():
        yield None
        for other in ends[1:]:
            parts = frozenset((ends[0], other))
            if len(parts) < 2 or parts in done:
                continue
            done.add(parts)
            a, b = returns[ends[0]], returns[other]
            apart = {p: _between(ctx, a, b, p) for p in ctx.positions}
            position = max(apart, key=lambda p: apart[p])
            if apart[position] > limit:
                yield _apart(ctx, (a, b), apart[position], position, limit)


def _between(ctx: Context, a: str, b: str, position: Position) -> float:
    if not (ctx.levels.returns(a, position) and ctx.levels.returns(b, position)):
        return 0.0
    volts = ctx.levels.volts(a, position), ctx.levels.volts(b, position)
    return 0.0 if None in volts else abs((volts[0] or 0.0) - (volts[1] or 0.0))


def _apart(
    ctx: Context, grounds: tuple[str, str], volts: float, position: Position, limit: float
) -> Conflict:
    leads = tuple(map(ctx.lead, sorted(grounds, key=lambda ref: -_offset(ctx, ref, position))))
    return Conflict(
        rule=shared_ground.name,
        level="look",
        message=f"The grounds of {listed([part_of(ref) for ref in leads])} would stand {volts:.2f} V apart "
        f"in {position.name}, and a signal runs between them.",
        why=f"Between {places(ctx.job, leads)} {limit:g} V is the limit.",
        mend="Shorten or thicken the ground wire of the one that stands higher.",
        where=leads,
        wires=ctx.graph.conductors(leads[0]),
        positions=names([position]),
        numbers={"offset_volts": volts, "limit_volts": limit},
    )
