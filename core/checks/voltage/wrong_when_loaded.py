"""Rule: right when open, wrong when loaded."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.phrases import names, places, when, window
from core.checks.registry import rule
from core.checks.voltage.low import Low, low_loads, whole_path, worst_stretch
from core.edits.wires import set_wire
from core.units import show_volts

_SPARE = 1.3
"""More copper than the sum asks for: with more volts the load draws more amps."""


@rule(
    "right when open, wrong when loaded",
    "stop",
    needs=("levels",),
    under=(
        "feed shorted to ground",
        "step-down backwards",
        "feeds of different positions joined",
        "reversed polarity",
        "no return",
        "load cannot hold on its feed",
        "step-down or supply overloaded",
        "fewer volts than the part accepts",
        "amps above what the gauge carries",
        "functions that do not belong together",
    ),
    over=("load dead where it is needed", "drop above the limit of its class"),
)
def wrong_when_loaded(ctx: Context) -> Iterator[Conflict | None]:
    """A part's volts are right while nothing draws, and fall below what it accepts once it works.

    A meter on the open lead shows nothing wrong; the part cuts out when it is turned up, or resets.

    Take a thicker or shorter wire for the stretch that loses the most, or mend its joint or ground.
    """
    by_load: dict[str, list[Low]] = {}
    for low in low_loads(ctx):
        if low is None:
            yield None
        elif low.position.key != "start" and low.open_volts >= low.least_volts:
            by_load.setdefault(low.load.plus, []).append(low)
    by_stretch: dict[str, list[Low]] = {}
    for found in by_load.values():
        worst = max(found, key=lambda low: low.short_volts)
        by_stretch.setdefault(worst_stretch(ctx, worst)[0], []).extend(found)
        yield None
    for found in by_stretch.values():
        yield _conflict(ctx, found)


def _conflict(ctx: Context, found: list[Low]) -> Conflict:
    worst = max(found, key=lambda low: low.short_volts)
    accepts = worst.load.accepts
    assert accepts is not None
    place = ctx.lead(worst.load.plus)
    others = list(dict.fromkeys(ctx.lead(low.load.plus) for low in found))
    others.remove(place)
    stretch, drop = worst_stretch(ctx, worst)
    path = whole_path(ctx, worst)
    positions = [p for p in ctx.positions if any(low.position == p for low in found)]
    lost = f"{_called(ctx, stretch)} alone loses {show_volts(drop)}" if stretch else "it is lost inside"
    also = f" So would {places(ctx.job, others)}." if others else ""
    return Conflict(
        rule=wrong_when_loaded.name,
        level="stop" if any(low.load.needed for low in found) else "look",
        message=f"{ctx.job.shown(place)} would get {show_volts(worst.open_volts)} open, and only "
        f"{show_volts(worst.volts)} loaded {when(positions, ctx.positions)}; it accepts {window(accepts)}.",
        why=f"On the way there and back {lost}.{also}",
        mend="Take a thicker or shorter wire there, or mend the joint or ground.",
        where=(place, *others),
        wires=ctx.conductors(path),
        path=path,
        positions=names(positions),
        numbers={"volts": worst.volts, "open_volts": worst.open_volts, "drop_volts": drop},
        mends=_thicker(ctx, worst, stretch, drop),
    )


def _called(ctx: Context, ref: str) -> str:
    wire = ctx.job.wires.get(ref)
    if wire is None:
        return f"the lead of {ctx.job.shown(ref)}" if ref in ctx.job.lookup.joint_of else ref
    size = wire.gauge or "no gauge stated"
    return f"{ref} ({size})"


def _thicker(ctx: Context, low: Low, stretch: str, drop: float) -> tuple[Mend, ...]:
    """The least gauge of the wire that loses the most with which the volts are right."""
    wire = ctx.job.wires.get(stretch)
    if wire is None or wire.gauge is None or drop * 0.9 <= low.short_volts:
        return ()
    size = ctx.library.wire(wire.gauge)
    wanted = size.area_mm2 * _SPARE * drop * (low.least_volts / low.volts) / (drop - low.short_volts)
    sizes = [s for s in ctx.library.sizes.values() if s.system == size.system and s.area_mm2 >= wanted]
    if not sizes:
        return ()
    gauge = min(sizes, key=lambda s: s.area_mm2).gauge
    return (Mend(f"Make {stretch} {gauge}", partial(set_wire, wire=stretch, gauge=gauge)),)
