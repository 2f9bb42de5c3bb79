"""What explains a reading that is off, against faults that were put in by hand."""

from __future__ import annotations

from functools import cache

import pytest

from core.circuit.engine import Engine
from core.circuit.explain import Explanation, explain
from core.circuit.positions import Position
from core.circuit.probe import FLOATING, Probe
from core.job.internals import Feed, Fuse, Load
from core.job.wiring import Wire
from tests.core.circuit.cases.asked import engine_of
from tests.core.circuit.cases.build import ALWAYS, Run, body, job_of, part

OFF = Position("off")
OHM_PER_MM = 26.0e-6
"""0.75 mm2: IEC 60228:2004, class 5, plain."""


def job_with(more_ohms_in: str = "", more_ohms: float = 0.0) -> Engine:
    """A feed, a fuse, a box of 5 A, and one of 1 A that shares its feed but not its return. `more_ohms`: so
    much longer is one of the wires.
    """
    car = part("CAR", "feed", Feed(terminal="A-feed", live=ALWAYS, ohms=0.01), car=True)
    parts = [
        car,
        part("FUS", "a b", Fuse(a="A-a", b="A-b", amps=15)),
        part("BOX", "plus minus", Load(plus="A-plus", minus="A-minus", amps=5, least_volts=6)),
        part("LIT", "plus minus", Load(plus="A-plus", minus="A-minus", ohms=12)),
        part("NIL", "a"),
        body(),
        body("GNE"),
    ]
    runs = [
        Run("CAR-feed", "FUS-a", "0.75 mm2", 1000),
        Run("FUS-b", "BOX-plus", "0.75 mm2", 2000),
        Run("BOX-minus", "GND-bolt", "0.75 mm2", 1000),
        Run("FUS-b", "LIT-plus", "0.75 mm2", 1000),
        Run("LIT-minus", "GNE-bolt", "0.75 mm2", 1000),
    ]
    job = job_of(parts, runs)
    if more_ohms_in:
        wire: Wire = job.wires[more_ohms_in]
        longer = wire.changed(length_mm=(wire.length_mm or 0) + more_ohms / OHM_PER_MM)
        job = job.changed(wires={**job.wires, more_ohms_in: longer})
    return engine_of(job)


@cache
def sound() -> Engine:
    return job_with()


def explained(probe: Probe, fault_in: str, ohms: float) -> Explanation:
    """Of a reading taken on a car with that fault, by the job that knows nothing of it."""
    measured = job_with(fault_in, ohms).reading(probe, OFF).value
    assert measured is not None
    return explain(sound(), probe, OFF, measured)


def ohms_in(found: Explanation) -> dict[str, float | None]:
    """The ohms that each wire would have to have more."""
    return {ref: s.ohms for s in found.stretches for ref in s.path if ref.startswith("W")}


def test_two_tenths_of_an_ohm_in_the_return_of_five_amps() -> None:
    # 1 V over 5 A.
    found = ohms_in(explained(Probe("BOX.A-minus", "body"), "W3", 0.2))
    assert found == {"W3": pytest.approx(0.2, rel=1e-3)}
    by_hand = ohms_in(explain(sound(), Probe("BOX.A-minus", "body"), OFF, 0.026 * 5 + 1.0))
    assert by_hand == {"W3": pytest.approx(0.2, rel=0.01)}


def test_across_the_load_it_may_be_before_or_behind_it() -> None:
    found = ohms_in(explained(Probe("BOX.A-plus", "BOX.A-minus"), "W2", 0.3))
    # Not in the other box's own wires; the shared wire carries 1 A more and needs less.
    assert set(found) == {"W1", "W2", "W3"}
    assert found["W2"] == pytest.approx(0.3, rel=1e-3)
    assert found["W3"] == pytest.approx(0.3, rel=1e-3)
    assert found["W1"] is not None
    assert found["W1"] < 0.3


def test_the_least_ohms_come_first() -> None:
    found = explained(Probe("BOX.A-plus", "BOX.A-minus"), "W2", 0.3)
    ohms = [stretch.ohms for stretch in found.stretches]
    assert ohms == sorted(ohm for ohm in ohms if ohm is not None)
    assert found.words == ""


def test_an_open_is_called_one() -> None:
    found = explain(sound(), Probe("BOX.A-plus", "body"), OFF, 0.0)
    assert ohms_in(found)["W2"] is None


def test_amps_that_are_too_few() -> None:
    found = ohms_in(explained(Probe("W5:a", "W5:b", "amps"), "W4", 3.0))
    assert found["W4"] == pytest.approx(3.0, rel=1e-3)
    assert found["W5"] == pytest.approx(3.0, rel=1e-3)
    assert "W2" not in found


def test_ohms_are_a_difference() -> None:
    found = ohms_in(explained(Probe("FUS.A-b", "BOX.A-plus", "ohms"), "W2", 1.5))
    assert found == {"W2": pytest.approx(1.5, rel=1e-6)}
    through = ohms_in(explained(Probe("CAR.A-feed", "BOX.A-plus", "ohms"), "W1", 1.5))
    assert through == {"W1": pytest.approx(1.5, rel=1e-6), "W2": pytest.approx(1.5, rel=1e-6)}


def test_what_no_resistance_explains() -> None:
    found = explain(sound(), Probe("BOX.A-plus", "body"), OFF, 14.0)
    assert found.stretches == ()
    assert found.words == "no resistance added in one place of the way explains it"
    assert found.expected == pytest.approx(12.0, abs=0.3)


def test_what_needs_no_explaining() -> None:
    probe = Probe("BOX.A-plus", "body")
    expected = sound().reading(probe, OFF).value
    assert expected is not None
    found = explain(sound(), probe, OFF, expected + 0.01)
    assert (found.stretches, found.words) == ((), "as expected")
    floating = explain(sound(), Probe("NIL.A-a", "body"), OFF, 3.0)
    assert (floating.expected, floating.words) == (None, FLOATING)


def test_on_the_bench() -> None:
    probe = Probe("LIT.A-plus", "body", bench=True)
    expected = sound().reading(probe, OFF).value
    assert expected is not None
    assert explain(sound(), probe, OFF, expected / 2).stretches
