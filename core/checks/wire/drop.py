"""Rule: drop above the limit of its class."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.phrases import names
from core.checks.protecting import WRONG_FEEDS, copper_words, gauges_mend
from core.checks.registry import rule
from core.circuit.drives import Drive
from core.circuit.operating import OperatingPoint
from core.circuit.positions import Position
from core.job.internals import Lamp, Load
from core.units import show_amps

SMALL_AMPS = 0.05
_SAFETY = frozenset({"brake-pedal", "turn-left", "turn-right", "tail-lamps", "reverse", "parking-brake"})


class _Loss(NamedTuple):
    """What a load loses in wires: on the way there, and back."""

    name: str
    hot: str
    back: str
    feed: Drive
    there_volts: float
    back_volts: float
    amps: float
    position: Position
    of_volts: float

    @property
    def volts(self) -> float:
        return self.there_volts + self.back_volts


@rule(
    "drop above the limit of its class",
    "look",
    needs=("levels",),
    under=(
        *WRONG_FEEDS,
        "no return",
        "amps above what the gauge carries",
        "wire too thin for this load",
        "fuse too small for the load",
    ),
    limits=("drop_electronics_share", "drop_others_share"),
)
def drop_above_limit(ctx: Context) -> Iterator[Conflict | None]:
    """A load loses more volts in its wires, there and back as they are, than loads of its class may: 3 % for
    electronics and what keeps the car safe, 10 % for the rest.

    Electronics reset when the engine is cranked, amplifiers clip, lamps are dim; the volts lost are heat.

    Fit a thicker or shorter wire where most is lost, feed or return.
    """
    found: dict[tuple[int | None, int | None], list[tuple[_Loss, float]]] = {}
    for name, hot, back, electronics in _loads(ctx):
        yield None
        amps, position = ctx.loading.device_peak(name)
        if position is None or amps < SMALL_AMPS:
            continue
        share = ctx.limits["drop_electronics_share" if electronics else "drop_others_share"]
        loss = _loss(ctx, name, hot, back, amps, position)
        if loss is not None and loss.volts > share * loss.of_volts:
            nets = ctx.graph.net_of(hot), ctx.graph.net_of(back)
            found.setdefault(nets, []).append((loss, share))
    for some in found.values():
        worst, share = max(some, key=lambda one: one[0].volts / one[1])
        yield _conflict(ctx, worst, share)


def _loads(ctx: Context) -> Iterator[tuple[str, str, str, bool]]:
    """Device, hot and cold terminal of each load that draws, and whether it is of the stricter class."""
    returns = {load.plus: load.minus for load in ctx.elements.loads}
    negative = ctx.job.settings.ground == "negative"
    for name, (tag, it) in ctx.levels.engine.plan.devices.items():
        match it:
            case Load():
                plus = f"{tag}.{it.plus}"
                minus = next(iter(returns.get(plus, ())), None)
                if minus is not None:
                    yield (name, plus, minus, True) if negative else (name, minus, plus, True)
            case Lamp():
                a, b = f"{tag}.{it.a}", f"{tag}.{it.b}"
                safety = any(f and f.id in _SAFETY for f in (ctx.function(a), ctx.function(b)))
                grounded = bool(ctx.levels.ever_grounded(a))
                yield (name, b, a, safety) if grounded else (name, a, b, safety)
            case _:
                pass


def _loss(ctx: Context, name: str, hot: str, back: str, amps: float, position: Position) -> _Loss | None:
    """What a load loses in conductors: what fuses, contacts and diodes inside parts take is left out."""
    feeds = ctx.levels.feeds(hot, position)
    ground = ctx.levels.ground(back, position)
    if not feeds or ground is None or ctx.levels.shorted(hot, position):
        return None
    point = ctx.loading.point(position)
    feed = feeds[0]
    there = _lost(point, feed, hot)
    returned = _lost(point, ground, back)
    if there is None or returned is None:
        return None
    system = float(ctx.job.settings.system_volts)
    of = abs(feed.source.volts) if feed.source.volts else system
    return _Loss(name, hot, back, feed, there, returned, amps, position, of)


def _lost(point: OperatingPoint, drive: Drive, ref: str) -> float | None:
    start, end = point.volts(drive.source.terminal), point.volts(ref)
    if start is None or end is None:
        return None
    lost = start - end
    for a, b in drive.hops:
        before, after = point.volts(a), point.volts(b)
        if before is None or after is None:
            return None
        lost -= before - after
    return abs(lost)


def _conflict(ctx: Context, loss: _Loss, share: float) -> Conflict:
    point = ctx.loading.point(loss.position)
    path = ctx.levels.path(loss.feed, loss.hot)
    ground = ctx.levels.ground(loss.back, loss.position)
    way_back = tuple(reversed(ctx.levels.path(ground, loss.back))) if ground else ()
    conductors = [*ctx.loading.path_conductors(path), *ctx.loading.path_conductors(way_back)]
    lost = {ref: abs(point.drop_volts(ref) or 0.0) for ref in conductors}
    most = loss.of_volts * share
    lead = ctx.lead(loss.hot)
    worst = max(lost, key=lambda ref: lost[ref], default=lead)
    percent = 100 * loss.volts / loss.of_volts
    return Conflict(
        rule=drop_above_limit.name,
        level="look",
        message=f"{ctx.job.shown(lead)} would lose {loss.volts:.2f} V ({percent:.1f} %) in its wires at "
        f"{show_amps(loss.amps)} in {loss.position.name}; {100 * share:g} % is the limit of its class.",
        why=f"{loss.there_volts:.2f} V are lost on the way there, {loss.back_volts:.2f} V on the way back; "
        f"most, {lost.get(worst, 0.0):.2f} V, in {copper_words(ctx, worst)}.",
        mend="Fit a thicker or shorter wire where most is lost.",
        where=tuple(dict.fromkeys((lead, worst))),
        wires=ctx.conductors((*path, *way_back)),
        path=(*path, *way_back),
        positions=names([loss.position]),
        numbers={"drop_volts": loss.volts, "most_volts": most, "amps": loss.amps},
        mends=_mends(ctx, lost, loss.volts - most),
    )


def _mends(ctx: Context, lost: Mapping[str, float], too_much_volts: float) -> tuple[Mend, ...]:
    """Thicker wires from stock and leads: one size more where most is lost, until the rest is allowed."""
    gauges: dict[str, str] = {}
    losing = {ref: volts for ref, volts in lost.items() if _changeable(ctx, ref)}
    left = too_much_volts * 1.05
    while left > 0 and losing:
        ref = max(losing, key=lambda one: (losing[one], one))
        old = ctx.library.wire(gauges.get(ref) or ctx.loading.copper[ref].gauge or "")
        thicker = [s for s in ctx.library.wires if s.system == old.system and s.area_mm2 > old.area_mm2]
        if not thicker:
            del losing[ref]
            continue
        size = min(thicker, key=lambda one: one.area_mm2)
        gauges[ref] = size.gauge
        less = losing[ref] * size.ohm_per_km_20c / old.ohm_per_km_20c
        left -= losing[ref] - less
        losing[ref] = less
    return gauges_mend(ctx, gauges) if gauges and left <= 0 else ()


def _changeable(ctx: Context, ref: str) -> bool:
    copper = ctx.loading.copper.get(ref)
    return copper is not None and copper.gauge is not None and ctx.loading.ours(ref)
