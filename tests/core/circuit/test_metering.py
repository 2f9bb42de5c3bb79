"""What a meter shows, against numbers worked out by hand."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.circuit.engine import Engine
from core.circuit.positions import Position
from core.circuit.probe import (
    AIRBAG,
    FLOATING,
    NO_CONDUCTOR,
    NOT_STATED,
    NOT_THERE,
    NOTHING_LIFTED,
    OPEN,
    MeterShows,
    Probe,
)
from core.edits import add_reading, set_cavity
from core.job.document import Job
from core.job.internals import Diode, Feed, Lamp, Load, Resistor, SwitchContact
from core.job.parts import Lead
from core.job.record import BenchSupply
from core.job.wiring import Joint, Wire
from tests.core.circuit.cases.asked import engine_of
from tests.core.circuit.cases.build import ALWAYS, Run, body, job_of, part, until

OFF, RUNNING = Position("off"), Position("running")
CAR = part("CAR", "feed", Feed(terminal="A-feed", live=ALWAYS, ohms=0.01), car=True)


@cache
def bench() -> Engine:
    """A feed on two resistors in series, a load of 5 A by 3 m of 0.75 mm2, a diode, a switch, a lamp, and
    leads that lead nowhere.
    """
    parts = [
        CAR,
        part(
            "DIV",
            "top mid low",
            Resistor(a="A-top", b="A-mid", ohms=1e6),
            Resistor(a="A-mid", b="A-low", ohms=1e6),
        ),
        part("BOX", "plus minus", Load(plus="A-plus", minus="A-minus", amps=5, least_volts=8)),
        part("DIO", "in out", Diode(anode="A-in", cathode="A-out")),
        part("CUT", "in out", SwitchContact(a="A-in", b="A-out", closed=until("cut-off"), ohms=0.02)),
        part("LMP", "a b", Lamp(a="A-a", b="A-b", volts=12, watts=5, cold_ohms=2.5)),
        part("IDL", "plus minus", Load(plus="A-plus", minus="A-minus", amps=1, idle_amps=0.012)),
        part("NIL", "a b"),
        body(),
    ]
    runs = [
        Run("CAR-feed", "BOX-plus", "0.75 mm2", 3000),
        Run("BOX-minus", "GND-bolt", "1.5 mm2", 2000),
        Run("CAR-feed", "DIV-top"),
        Run("DIV-low", "GND-bolt"),
        Run("NIL-a", "LMP-a"),
    ]
    return engine_of(job_of(parts, runs, switches=["cut-off"], bench=BenchSupply(volts=13, limit_amps=10)))


def shows(
    red: str, black: str, where: Position = OFF, engine: Engine | None = None, **how: Any
) -> MeterShows:
    return (engine or bench()).reading(Probe(red, black, **how), where)


def test_ten_megohms_load_a_divider_of_two_megohms() -> None:
    # 12.6 V in the middle of 1 + 1 Mohm are 6.3 V behind 0.5 Mohm; 10 Mohm leave 6.3 x 10 / 10.5 = 6.0 V.
    free = bench().point(OFF).volts("DIV.A-mid")
    assert free == pytest.approx(6.3, abs=0.03)
    assert shows("DIV.A-mid", "battery -").value == pytest.approx(6.0, abs=0.03)


def test_volts_between_the_ends_of_a_wire_are_its_drop() -> None:
    # 3 m of 0.75 mm2 at 26 ohm/km (IEC 60228:2004, class 5) and 5 A.
    assert shows("W1:a", "W1:b").value == pytest.approx(0.39, abs=1e-4)
    assert shows("CAR.A-feed", "CAR.A-feed", quantity="volts").value == 0.0


def test_a_point_that_floats_shows_nothing_to_be_trusted() -> None:
    assert shows("NIL.A-a", "body") == MeterShows(None, FLOATING)
    assert shows("NIL.A-a", "NIL.A-b") == MeterShows(None, FLOATING)
    assert shows("NIL.A-a", "LMP.A-a").value == 0.0


def test_what_is_not_there_is_said_to_be() -> None:
    assert shows("NIL.A-c", "body") == MeterShows(None, NOT_THERE)
    assert shows("W1:a", "body", lifted="W77:a") == MeterShows(None, NOTHING_LIFTED)
    assert shows("NIL.A-b", "body", lifted="NIL.A-b") == MeterShows(None, NOTHING_LIFTED)


def test_nobody_measures_an_airbag_circuit() -> None:
    job = set_cavity(bench().job, "NIL.A-a", airbag=True)
    assert engine_of(job).reading(Probe("W5:b", "body"), OFF) == MeterShows(None, AIRBAG)


def test_a_lifted_wire_carries_nothing() -> None:
    """Out of its cavity the battery's volts stand at its end; the cavity hangs on the load alone."""
    assert shows("W1:b", "body", lifted="W1:b").value == pytest.approx(12.6, abs=0.01)
    assert shows("BOX.A-plus", "body", lifted="W1:b").value == pytest.approx(0.0, abs=0.01)


def test_amps_of_a_conductor_and_of_a_meter_in_its_place_are_the_same() -> None:
    assert shows("W1:a", "W1:b", quantity="amps").value == pytest.approx(5.0)
    assert shows("W1:b", "W1:a", quantity="amps").value == pytest.approx(-5.0)
    # Two wires end at the feed, one of them at the load.
    assert shows("CAR.A-feed", "BOX.A-plus", quantity="amps").value == pytest.approx(5.0)
    assert shows("W1:b", "BOX.A-plus", quantity="amps", lifted="W1:b").value == pytest.approx(5.0)
    assert shows("BOX.A-plus", "W1:b", quantity="amps", lifted="W1:b").value == pytest.approx(-5.0)
    assert shows("DIV.A-top", "BOX.A-plus", quantity="amps") == MeterShows(None, NO_CONDUCTOR)
    assert shows("W1:a", "CAR.A-feed", quantity="amps", lifted="W3:a") == MeterShows(None, NO_CONDUCTOR)


def test_amps_of_a_lead_lifted_out_of_its_joint() -> None:
    """A lamp's lead in a joint with a wire from the feed. 12.5 V through it are a little over 5 W / 12 V."""
    job = bench().job
    lamp = job.parts["LMP"]
    (connector,) = lamp.connectors
    a, b = connector.cavities
    leads = connector.changed(cavities=(a.changed(lead=Lead(gauge="0.75 mm2", length_mm=200)), b))
    new = {
        "W5": Wire(id="W5", length_mm=500, gauge="0.75 mm2", a_in="CAR.A-feed"),
        "W6": Wire(id="W6", length_mm=500, gauge="0.75 mm2", a_in="LMP.A-b", b_in="GND.A-bolt"),
    }
    job = job.changed(
        parts={**job.parts, "LMP": lamp.changed(connectors=(leads,))},
        wires={**job.wires, **new},
        joints={"J1": Joint(id="J1", ends=("LMP.A-a", "W5:b"))},
        counters={"W": 6, "J": 1},
    )
    engine = engine_of(job)
    through = engine.point(OFF).amps("W6")
    assert through == pytest.approx(5 / 12, rel=0.05)
    # From the cavity to the joint amps count above 0: into the lamp they are below.
    assert engine.point(OFF).amps("LMP.A-a") == pytest.approx(-through)
    for red, black, sign in (("J1", "LMP.A-a", 1), ("LMP.A-a", "J1", -1)):
        for lifted in (None, "LMP.A-a"):
            found = engine.reading(Probe(red, black, "amps", lifted=lifted), OFF)
            assert found.value == pytest.approx(sign * through)
    lifted = engine.reading(Probe("LMP.A-a", "body", lifted="LMP.A-a"), OFF)
    assert lifted.value == pytest.approx(0, abs=0.001)


def test_ohms_of_a_wire_a_switch_and_a_lamp() -> None:
    ohms = 3 * 26.0 / 1000
    assert shows("W1:a", "W1:b", quantity="ohms").value == pytest.approx(ohms, rel=1e-6)
    assert shows("CUT.A-in", "CUT.A-out", quantity="ohms").value == pytest.approx(0.02)
    cut = Position("off", ("cut-off",))
    assert shows("CUT.A-in", "CUT.A-out", cut, quantity="ohms") == MeterShows(None, OPEN)
    assert shows("LMP.A-a", "LMP.A-b", quantity="ohms").value == pytest.approx(2.5)


def test_ohms_as_half_a_volt_sees_a_diode() -> None:
    assert shows("DIO.A-in", "DIO.A-out", quantity="ohms") == MeterShows(None, OPEN)


def test_ohms_of_what_nobody_stated() -> None:
    """A load that is off, and what else hangs on a feed of the car, have ohms that no job knows."""
    assert shows("BOX.A-plus", "BOX.A-minus", quantity="ohms", lifted="W1:b") == MeterShows(None, NOT_STATED)
    assert shows("IDL.A-plus", "IDL.A-minus", quantity="ohms").value == pytest.approx(12 / 0.012)
    assert shows("CAR.A-feed", "GND.A-bolt", quantity="ohms").value == pytest.approx(2e6, rel=1e-4)
    assert shows("NIL.A-b", "GND.A-bolt", quantity="ohms") == MeterShows(None, OPEN)


def test_unplugged_equipment_draws_nothing() -> None:
    loaded = shows("BOX.A-plus", "body", OFF).value
    alone = shows("BOX.A-plus", "body", OFF, loaded=False).value
    assert loaded == pytest.approx(12.6 - 0.39, abs=0.07)
    assert alone == pytest.approx(12.6, abs=0.001)
    assert shows("W1:a", "W1:b", quantity="amps", loaded=False).value == pytest.approx(0, abs=1e-9)


def test_a_reading_on_the_bench() -> None:
    assert shows("CAR.A-feed", "battery -").value == pytest.approx(12.6, abs=0.1)
    assert shows("CAR.A-feed", "battery -", bench=True).value == pytest.approx(13.0, abs=0.1)
    assert shows("battery +", "battery -", RUNNING).value == pytest.approx(14.2, abs=0.1)


def test_a_probe_is_held_as_a_reading_was_taken() -> None:
    job: Job = add_reading(
        bench().job,
        "W1:a",
        "W1:b",
        quantity="amps",
        position="off",
        value=4.9,
        lifted="W1:b",
        loaded=False,
        bench=True,
        name="A. Fitter",
    )
    assert Probe.of(job.readings[0]) == Probe("W1:a", "W1:b", "amps", "W1:b", False, True)


@pytest.mark.parametrize("red", ["battery +", "CAR.A-feed", "BOX.A-minus", "W1:b"])
def test_a_meter_in_the_circuit_shows_what_stands_there_where_ohms_are_low(red: str) -> None:
    """With a dead wire lifted the circuit is worked out with the meter in it."""
    held = shows(red, "body", lifted="W5:a").value
    assert shows(red, "body").value == pytest.approx(held, abs=1e-6)


LOW_OHMS = ("battery +", "battery -", "body", "CAR.A-feed", "BOX.A-plus", "BOX.A-minus", "W1:a", "W2:b")
points = st.sampled_from(LOW_OHMS)


@settings(max_examples=40, deadline=None)
@given(points, points, st.sampled_from((OFF, RUNNING)), st.sampled_from(("volts", "ohms")))
def test_exchanging_the_leads_turns_volts_over_and_leaves_ohms(
    red: str, black: str, where: Position, quantity: str
) -> None:
    there, back = (shows(*pair, where, quantity=quantity) for pair in ((red, black), (black, red)))
    assert there.words == back.words
    if there.value is not None:
        turned = -1 if quantity == "volts" else 1
        assert back.value == pytest.approx(turned * there.value, abs=1e-9, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(points, points, points, st.sampled_from((OFF, RUNNING)))
def test_volts_add_up_from_point_to_point(a: str, b: str, c: str, where: Position) -> None:
    first, second, both = (shows(*pair, where).value for pair in ((a, b), (b, c), (a, c)))
    assert first is not None
    assert second is not None
    # A meter of 10 Mohm shifts a point of low ohms by next to nothing.
    assert both == pytest.approx(first + second, abs=1e-6)
