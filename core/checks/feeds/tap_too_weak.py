"""Rule: tap too weak for its current."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.insides import insides
from core.checks.mends_feeds import solder
from core.checks.phrases import names, when
from core.checks.registry import rule
from core.circuit.positions import Position
from core.ids import kind_of, owner_of_end
from core.job.internals import Feed
from core.units import show_amps


@rule(
    "tap too weak for its current",
    "look",
    needs=("levels",),
    under=("feed shorted to ground", "feeds of different positions joined", "step-down or supply overloaded"),
    limits=("tap_joint_amps",),
)
def tap_too_weak(ctx: Context) -> Iterator[Conflict | None]:
    """More amps are drawn through a tap than it bears: a clip on a wire, or a circuit that was made for less.

    The contact of a clip warms up and loosens; a thin circuit of the car heats, or its fuse opens.

    Solder or crimp the joint, or fetch the feed from a stronger circuit.
    """
    for feed in insides(ctx, Feed):
        if feed.it.amps is not None and ctx.job.parts[feed.part].kind == "tap":
            yield None
            points = {p: ctx.levels.point(p).device_amps(feed.name) or 0.0 for p in ctx.sound_positions}
            place = ctx.lead(feed.at(feed.it.terminal))
            yield _judged(ctx, place, place, points, feed.it.amps)
    for joint in ctx.job.joints.values():
        if joint.method == "tap":
            yield None
            amps = {p: max(_amps(ctx, end, p) for end in joint.ends) for p in ctx.sound_positions}
            yield _judged(ctx, joint.id, joint.ends[0], amps, ctx.limits["tap_joint_amps"])


def _amps(ctx: Context, end: str, position: Position) -> float:
    ref = end if kind_of(end) == "terminal" else owner_of_end(end)
    return abs(ctx.levels.point(position).amps(ref) or 0.0)


def _judged(ctx: Context, place: str, end: str, amps: dict[Position, float], most: float) -> Conflict | None:
    over = [p for p, value in amps.items() if abs(value) > most]
    if not over or ctx.undecided(end):
        return None
    worst = max(abs(amps[p]) for p in over)
    clip = place in ctx.job.joints
    why = "A clip on a wire bears that much." if clip else "That is what its circuit may give."
    where = (place, end) if clip else (place,)
    return Conflict(
        rule=tap_too_weak.name,
        level="look",
        message=f"{show_amps(worst)} would flow through the tap {ctx.job.shown(place)} "
        f"{when(over, ctx.positions)}; it bears {show_amps(most)}.",
        why=why,
        mend="Solder or crimp the joint." if clip else "Fetch the feed from a stronger circuit.",
        where=where,
        wires=ctx.graph.conductors(end),
        positions=names(over),
        numbers={"amps": worst, "most_amps": most},
        mends=(Mend(f"Solder {place}", solder(place)),) if clip else (),
    )
