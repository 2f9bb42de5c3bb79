"""Rule: load cannot hold on its feed."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.phrases import names, when
from core.checks.registry import rule
from core.circuit.kernel.solution import CannotHold
from core.circuit.positions import Position
from core.job.internals import Load


@rule(
    "load cannot hold on its feed",
    "stop",
    needs=("levels",),
    under=(
        "feed shorted to ground",
        "step-down backwards",
        "reversed polarity",
        "no return",
        "fewer volts than the part accepts",
        "step-down or supply overloaded",
        "output overloaded",
        "amps above what the gauge carries",
        "functions that do not belong together",
    ),
    over=("load dead where it is needed", "drop above the limit of its class"),
)
def cannot_hold(ctx: Context) -> Iterator[Conflict | None]:
    """A part asks for more watts than its feed can give through the wire to it.

    The harder it pulls the more the volts fall: it starts, cuts out, and starts again.

    Take a thicker or shorter wire, or a feed nearer to the battery.
    """
    found: dict[str, list[tuple[Position, CannotHold]]] = {}
    for position in ctx.sound_positions:
        yield None
        for refused in ctx.levels.point(position).cannot_hold:
            # A feed of fewer volts than that at the outset has a rule of its own.
            if refused.least_volts_watts > 0:
                found.setdefault(refused.name, []).append((position, refused))
    devices = ctx.levels.engine.plan.devices
    for name, seen in found.items():
        known = devices.get(name)
        if known is None or not isinstance(known[1], Load):
            continue
        # Cranking is seldom what a load is meant for.
        needed = [one for one in seen if known[1].needed is None or one[0].has(known[1].needed)]
        if all(position.key == "start" for position, _ in needed):
            continue
        plus = f"{known[0]}.{known[1].plus}"
        if not ctx.undecided(plus) and any(ctx.levels.feeds(plus, position) for position, _ in needed):
            yield _conflict(ctx, plus, needed)


def _conflict(ctx: Context, plus: str, seen: list[tuple[Position, CannotHold]]) -> Conflict:
    position, worst = max(seen, key=lambda one: one[1].needs_watts - one[1].most_watts)
    place = ctx.lead(plus)
    feeds = ctx.levels.feeds(plus, position)
    path = ctx.levels.path(feeds[0], plus) if feeds else ()
    positions = [one for one, _ in seen]
    most = min(worst.most_watts, worst.least_volts_watts)
    return Conflict(
        rule=cannot_hold.name,
        level="stop",
        message=f"{ctx.job.shown(place)} cannot hold on its feed {when(positions, ctx.positions)}: it needs "
        f"{worst.needs_watts:.3g} W, the feed gives at most {most:.3g} W.",
        why="What lies between loses the rest: a long or thin wire, a weak source.",
        mend="Take a thicker or shorter wire, or a feed nearer to the battery.",
        where=(place,),
        wires=ctx.conductors(path),
        path=path,
        positions=names(positions),
        numbers={"needs_watts": worst.needs_watts, "most_watts": most},
    )
