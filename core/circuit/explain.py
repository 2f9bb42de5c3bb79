"""What would explain a reading: where more resistance, and how much of it, gives what the meter showed."""

from __future__ import annotations

import math
from collections.abc import Callable, Generator, Iterable, Iterator
from dataclasses import dataclass
from typing import TypeVar

from scipy.optimize import brentq

from core.circuit.engine import Engine
from core.circuit.flows import Flow, in_series
from core.circuit.positions import Position
from core.circuit.probe import Probe

LEAST_OHMS, MOST_OHMS, MIDDLE_OHMS = 1e-4, 1e10, 1.0
OPEN_OHMS = 1e6
"""More than this in a wire is called an open."""
WITHIN_SHARE = 0.01
WITHIN = {"volts": 0.02, "ohms": 0.1, "amps": 0.005}
"""So near, or within 1 %, a reading is as expected: a meter's own error and its leads (common practice)."""

Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True)
class Stretch:
    """Where it may be: ids in order, all in series. `ohms` more there give what was measured; None is an
    open.
    """

    path: tuple[str, ...]
    ohms: float | None


@dataclass(frozen=True, slots=True)
class Explanation:
    """`expected` by the job. `stretches` explain what was measured, the least ohms first; `words` say why
    there are none.
    """

    expected: float | None
    stretches: tuple[Stretch, ...]
    words: str = ""


def explain(engine: Engine, probe: Probe, position: Position, measured: float) -> Explanation:
    """What more resistance in one stretch of the way would make the meter show what it showed."""
    return _drained(explaining(engine, probe, position, measured))


def explaining(
    engine: Engine, probe: Probe, position: Position, measured: float
) -> Generator[None, None, Explanation]:
    """The same with a pause after each solve."""
    if probe.bench != engine.bench:
        return (yield from explaining(engine.other, probe, position, measured))
    shown = engine.reading(probe, position)
    if shown.value is None:
        return Explanation(None, (), shown.words)
    expected = shown.value
    if near(probe, measured, expected):
        return Explanation(expected, (), "as expected")
    found: list[Stretch] = []
    way, points = engine.meter.way(probe, position)
    wires = [flow for flow in way if flow.row in engine.places.names]
    for stretch in in_series(wires, points):
        ohms = yield from _ohms(engine, probe, position, measured, expected, stretch[0].row)
        if ohms is not None:
            path = tuple(_ids(engine, stretch))
            found.append(Stretch(path, None if ohms > OPEN_OHMS else ohms))
    found.sort(key=lambda stretch: math.inf if stretch.ohms is None else stretch.ohms)
    words = "" if found else "no resistance added in one place of the way explains it"
    return Explanation(expected, tuple(found), words)


def near(probe: Probe, a: float, b: float) -> bool:
    """Whether two readings of a probe are the same but for a meter's own error."""
    return abs(a - b) <= max(WITHIN[probe.quantity], WITHIN_SHARE * abs(b))


def _ids(engine: Engine, stretch: Iterable[Flow]) -> Iterator[str]:
    seen: set[str] = set()
    for flow in stretch:
        ref, a, b = engine.places.names[flow.row]
        first, last = (a, b) if flow.onward else (b, a)
        for place in (first, ref, last):
            if place not in seen:
                seen.add(place)
                yield place


def _ohms(
    engine: Engine, probe: Probe, position: Position, measured: float, expected: float, row: int
) -> Generator[None, None, float | None]:
    """The ohms in that row which explain the reading. None where none do."""

    def shows(ohms: float) -> float:
        value = engine.meter.shows(probe, position, {row: ohms}).value
        return math.nan if value is None else value

    most = shows(MOST_OHMS)
    yield
    if near(probe, measured, most) and not near(probe, expected, most):
        return MOST_OHMS
    if math.isnan(most) or not min(expected, most) < measured < max(expected, most):
        return None
    middle = shows(MIDDLE_OHMS)
    yield
    # In a circuit without laws what a meter shows is (a + b R) / (1 + c R) of one resistance R in it.
    if middle not in (expected, most) and not math.isnan(middle):
        steep = (expected - middle) / (MIDDLE_OHMS * (middle - most))
        guess = (expected - measured) / (steep * (measured - most))
        if 0 < guess < MOST_OHMS:
            value = shows(guess)
            yield
            if abs(value - measured) <= 1e-4 * abs(expected - measured):
                return guess
    return _root(shows, measured)


def _root(shows: Callable[[float], float], measured: float) -> float | None:
    """The ohms on a scale of their logarithm; None where a state flips before what was measured is met."""

    def off(exponent: float) -> float:
        return shows(10.0**exponent) - measured

    low, high = math.log10(LEAST_OHMS), math.log10(MOST_OHMS)
    at_low, at_high = off(low), off(high)
    if not at_low * at_high < 0:
        return None
    exponent = float(brentq(off, low, high, xtol=1e-4))
    missed, span = abs(off(exponent)), abs(at_low - at_high)
    return 10.0**exponent if missed <= WITHIN_SHARE * span else None


def _drained(steps: Generator[None, None, Answer]) -> Answer:
    while True:
        try:
            next(steps)
        except StopIteration as done:
            answer: Answer = done.value
            return answer
