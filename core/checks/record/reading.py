"""Rule: reading disagrees with the solve."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.phrases import places
from core.checks.registry import rule
from core.circuit.explain import OPEN_OHMS, Explanation, Stretch, explaining, near
from core.circuit.probe import OPEN, Probe
from core.ids import kind_of
from core.job.record import Reading
from core.units import show_amps, show_ohms

_SHOWN = {"volts": lambda volts: f"{volts:.2f} V", "amps": show_amps, "ohms": show_ohms}


@rule("reading disagrees with the solve", "look", needs=("levels",))
def reading_disagrees(ctx: Context) -> Iterator[Conflict | None]:
    """A meter showed something else than it should by the map.

    Either the map is not what is in the car, or there is resistance where there should be none (a poor crimp,
    a loose bolt, a corroded contact, a broken wire), or a way where there should be none: a lead chafed on
    metal.

    Look at the place that would explain it, and measure once more.
    """
    engine = ctx.levels.engine
    for number, reading in enumerate(ctx.job.readings, start=1):
        yield None
        try:
            position = engine.position(reading.position)
        except ValueError:
            continue  # its switch is no longer one of the job's
        probe = Probe.of(reading)
        shown = engine.reading(probe, position)
        yield None
        if shown.value is None:
            if shown.words == OPEN and reading.net_value < OPEN_OHMS:
                yield _conducts(ctx, number, reading)
            continue
        if near(probe, reading.net_value, shown.value):
            continue
        explanation = yield from explaining(engine, probe, position, reading.net_value)
        yield _conflict(ctx, number, reading, shown.value, explanation)


def _conflict(
    ctx: Context, number: int, reading: Reading, expected: float, explanation: Explanation
) -> Conflict:
    words = _SHOWN[reading.quantity]
    best = explanation.stretches[0] if explanation.stretches else None
    path = best.path if best else ()
    points = _points(ctx, reading)
    numbers = {f"measured_{reading.quantity}": reading.net_value, f"expected_{reading.quantity}": expected}
    if best is not None and best.ohms is not None:
        numbers["ohms"] = best.ohms
    spots = [ref for ref in path if kind_of(ref) in ("terminal", "joint", "wire", "conductor")]
    return Conflict(
        rule=reading_disagrees.name,
        level="look",
        message=f"{_taken(ctx, number, reading)} showed {words(reading.net_value)}; "
        f"by the map it is {words(expected)}.",
        why=_why(ctx, best, explanation),
        mend="Look there, and measure once more.",
        where=tuple(dict.fromkeys((*points, *spots))) or (reading.red,),
        wires=ctx.conductors(path),
        path=path,
        positions=(reading.position,),
        numbers=numbers,
    )


def _conducts(ctx: Context, number: int, reading: Reading) -> Conflict:
    """Ohms where the map has nothing that conducts."""
    return Conflict(
        rule=reading_disagrees.name,
        level="look",
        message=f"{_taken(ctx, number, reading)} showed {show_ohms(reading.net_value)}; "
        "by the map it is open.",
        why="Something joins the two that the map does not show: a lead chafed through on metal, a wrong "
        "joint, or a part that is not on the map.",
        mend="Find what joins them, and measure once more.",
        where=_points(ctx, reading) or (reading.red,),
        positions=(reading.position,),
        numbers={"measured_ohms": reading.net_value},
    )


def _points(ctx: Context, reading: Reading) -> tuple[str, ...]:
    """The places of the map that the meter was held to."""
    return tuple(ref for ref in (reading.red, reading.black) if ctx.graph.node_of(ref) is not None)


def _taken(ctx: Context, number: int, reading: Reading) -> str:
    points = _points(ctx, reading)
    red, black = (ctx.job.shown(ref) if ref in points else ref for ref in (reading.red, reading.black))
    return f"Reading {number}, {red} to {black} in {reading.position},"


def _why(ctx: Context, best: Stretch | None, explanation: Explanation) -> str:
    if best is None:
        words = explanation.words
        return f"{words[:1].upper()}{words[1:]}." if words else "More resistance does not explain it."
    spots = places(ctx.job, (best.path[0], best.path[-1]))
    if best.ohms is None:
        return f"An open between {spots} would explain it."
    others = len(explanation.stretches) - 1
    also = f", or {others} other place{'s' if others > 1 else ''}" if others else ""
    return f"{show_ohms(best.ohms)} more between {spots} would explain it{also}."
