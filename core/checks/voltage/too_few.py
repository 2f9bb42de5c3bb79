"""Rule: fewer volts than the part accepts."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.mends_feeds import to_right_feed
from core.checks.phrases import names, places, when, window
from core.checks.registry import rule
from core.checks.voltage.low import Low, low_loads
from core.units import show_volts


@rule(
    "fewer volts than the part accepts",
    "stop",
    needs=("levels",),
    under=(
        "feed shorted to ground",
        "step-down backwards",
        "feeds of different positions joined",
        "reversed polarity",
        "no return",
        "load dead where it is needed",
    ),
    over=("functions that do not belong together",),
)
def too_few_volts(ctx: Context) -> Iterator[Conflict | None]:
    """A part would get fewer volts than it accepts, because its source gives no more.

    It does not start, starts and stops again, or works now and then: a 12 V part behind a step-down to 6 V, a
    camera on a reverse lamp that is driven in pulses.

    Join it to a feed of the right volts, or let the pulsed one work a relay that fetches it.
    """
    by_net: dict[int | None, list[Low]] = {}
    for low in low_loads(ctx):
        if low is None:
            yield None
        # What falls while cranking has a rule of its own, and so has what is lost on the way.
        elif low.position.key != "start" and low.open_volts < low.least_volts:
            by_net.setdefault(ctx.graph.net_of(low.load.plus), []).append(low)
    for found in by_net.values():
        yield _conflict(ctx, found)


def _conflict(ctx: Context, found: list[Low]) -> Conflict:
    worst = max(found, key=lambda low: low.short_volts)
    load, accepts = worst.load, worst.load.accepts
    assert accepts is not None
    place = ctx.lead(load.plus)
    others = list(dict.fromkeys(ctx.lead(low.load.plus) for low in found))
    others.remove(place)
    path = ctx.levels.path(worst.drive, worst.terminal)
    source = ctx.lead(worst.drive.source.terminal)
    gives = f"gives {show_volts(worst.open_volts)}"
    if worst.pulsed:
        gives = f"is pulsed: {show_volts(worst.open_volts)} on average"
    why = f"It is fed from {ctx.job.shown(source)}, which {gives}."
    if others:
        why += f" So are {places(ctx.job, others)}."
    positions = [p for p in ctx.positions if any(low.position == p for low in found)]
    needed = load.needed is not None or any(s.input == load.plus for s in ctx.elements.step_downs)
    wanted = [p for p in ctx.positions if load.needed is not None and p.has(load.needed)]
    return Conflict(
        rule=too_few_volts.name,
        level="stop" if needed else "look",
        message=f"{ctx.job.shown(place)} would get only {show_volts(worst.volts)} "
        f"{when(positions, ctx.positions)}; it accepts {window(accepts)}.",
        why=why,
        mend="Join it to a feed of the right volts.",
        where=(place, *others),
        wires=ctx.conductors(path),
        path=path,
        positions=names(positions),
        numbers={"volts": worst.volts, "least_volts": accepts.least, "open_volts": worst.open_volts},
        mends=to_right_feed(ctx, load.plus, wanted) if wanted and not others else (),
    )
