"""Rule: load awake where it must sleep."""

from __future__ import annotations

import math
from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.insides import Inside, insides
from core.checks.mends_feeds import to_right_feed
from core.checks.phrases import listed
from core.checks.registry import rule
from core.circuit.drain import OFF, Drain, Draw, drain
from core.job.internals import Load
from core.units import show_amps

_HOURS = 24
_NAMED = 3
"""So many of those that draw the most are named."""


@rule(
    "load awake where it must sleep",
    "look",
    needs=("levels",),
    under=(
        "feed shorted to ground",
        "feeds of different positions joined",
        "constant and accessory exchanged",
        "turn-on taken from a dimmed or data-held circuit",
    ),
    over=("functions that do not belong together",),
    limits=("awake_amps", "days_to_half_least"),
)
def load_awake(ctx: Context) -> Iterator[Conflict | None]:
    """A part draws amps with the key off that it should not, or all parts together empty the battery soon.

    The car does not start after it has stood for a few days, and the battery is spoilt by being emptied.

    Move the lead that wakes it to a feed that is dead with the key off, or cut the drain another way.
    """
    if OFF not in ctx.sound_positions:
        return
    found = drain(ctx.levels.engine, OFF)
    yield None
    point = ctx.levels.point(OFF)
    woken: dict[str, tuple[str, float]] = {}
    for load in insides(ctx, Load):
        amps = point.device_amps(load.name) or 0.0
        if amps < ctx.limits["awake_amps"] or point.solution.states.get(load.name) == "off":
            continue
        waker = load.at(load.it.on_by or load.it.plus)
        if _should_sleep(ctx, load, waker):
            so_far = woken.get(load.part, (waker, 0.0))[1]
            woken[load.part] = (waker, so_far + amps)
    yield None
    for tag, (waker, amps) in woken.items():
        yield _woken(ctx, tag, waker, amps, found)
    drawing = [draw for draw in found.by_device if _meant_to_draw(ctx, draw.name)]
    amps = sum(draw.amps for draw in drawing)
    days = found.battery_amp_hours / 2 / amps / _HOURS if amps else math.inf
    if days < ctx.limits["days_to_half_least"] and not woken:
        yield _drained(ctx, found, drawing, days)


def _meant_to_draw(ctx: Context, name: str) -> bool:
    """Whether a device draws at rest by what is said of it. Where nothing says when it is on, a hand
    switches it.
    """
    it = ctx.levels.engine.plan.devices[name][1]
    if not isinstance(it, Load):
        return True
    return it.idle_amps is not None or any(one is not None for one in (it.needed, it.on, it.on_by))


def _should_sleep(ctx: Context, load: Inside[Load], waker: str) -> bool:
    """Whether its part is meant to be off with the key off, and is woken all the same."""
    function = ctx.function(waker)
    if function is None or ctx.undecided(waker):
        return False
    # What of the car takes a turn-on, such as its antenna, is for equipment to wake; its feeds are its own.
    if ctx.side(waker) != "equipment" and function.cls != "output":
        return False
    asleep = function.cls == "output" or (
        function.cls == "feed" and "off" not in function.live and bool(function.live)
    )
    return asleep and ctx.levels.live(waker, OFF)


def _hours(found: Drain, amps: float) -> str:
    hours = found.battery_amp_hours / 2 / amps
    return f"{hours / _HOURS:.0f} days" if hours >= 2 * _HOURS else f"{hours:.0f} h"


def _woken(ctx: Context, tag: str, waker: str, amps: float, found: Drain) -> Conflict:
    lead = ctx.lead(waker)
    function = ctx.function(waker)
    assert function is not None
    feeds = ctx.levels.feeds(waker, OFF)
    path = ctx.levels.path(feeds[0], waker) if feeds else ()
    source = f"{ctx.job.shown(ctx.lead(feeds[0].source.terminal))}" if feeds else "what it is joined to"
    wanted = [p for p in ctx.positions if p.key in function.live]
    return Conflict(
        rule=load_awake.name,
        level="look",
        message=f"{tag} would stay awake with the key off and draw {show_amps(amps)}: "
        f"the battery is half empty after {_hours(found, amps)}.",
        why=f"{ctx.job.shown(lead)} ({ctx.words(waker)}) is live in off, from {source}.",
        mend="Move it to a feed that is dead with the key off.",
        where=(lead,),
        wires=ctx.conductors(path),
        path=path,
        positions=(OFF.name,),
        numbers={"off_amps": amps, "hours_to_half": found.battery_amp_hours / 2 / amps},
        mends=to_right_feed(ctx, waker, wanted) if wanted else (),
    )


def _drained(ctx: Context, found: Drain, drawing: list[Draw], days: float) -> Conflict:
    by_part: dict[str, float] = {}
    for draw in drawing:
        tag = ctx.levels.engine.plan.devices[draw.name][0]
        by_part[tag] = by_part.get(tag, 0.0) + draw.amps
    amps = sum(by_part.values())
    most = sorted(by_part, key=lambda tag: -by_part[tag])
    who = listed([f"{tag} {show_amps(by_part[tag])}" for tag in most[:_NAMED]])
    if len(most) > _NAMED:
        who += f", and {len(most) - _NAMED} more"
    refs = list(ctx.job.parts[most[0]].cavities)
    loads = [load.plus for load in ctx.elements.loads if load.part == most[0]]
    place = max(loads, key=lambda ref: abs(ctx.levels.volts(ref, OFF) or 0.0), default=refs[0])
    return Conflict(
        rule=load_awake.name,
        level="look",
        message=f"With the key off {show_amps(amps)} would be drawn: the battery is half empty after "
        f"{_hours(found, amps)}.",
        why=f"Drawn by {who}, of a battery of {found.battery_amp_hours:g} Ah"
        f"{'' if found.battery_stated else ' (assumed)'}; what the car draws itself comes on top.",
        mend="Feed what need not work with the key off from accessory, or fit a battery guard.",
        where=(ctx.lead(place),),
        positions=(OFF.name,),
        numbers={"off_amps": amps, "days_to_half": days},
    )
