"""What is fed, and what carries signals, as pieces of a circuit."""

from __future__ import annotations

import pytest

from core.circuit import network as net
from core.circuit.network import ALWAYS
from core.circuit.takers import button_switch
from core.job import internals as kinds
from core.job.internals import LiveIn, VoltWindow
from core.job.internals.common import STANDARD_SWITCHES
from tests.core.checks.jobs import library
from tests.core.circuit.cases.build import ALWAYS as ALL_KEYS
from tests.core.circuit.drawn import between, box, device, node, ohms, resistance

LIMITS = library().limits
RUN = LiveIn(keys=("run", "running"))
WINDOW = VoltWindow(least=9, most=16)


@pytest.mark.parametrize(("law", "value"), [("amps", 2.0), ("ohms", 6.0), ("watts", 24.0)])
def test_a_load(law: str, value: float) -> None:
    load = kinds.Load.model_validate({"plus": "A-1", "minus": "A-2", law: value, "least_volts": 8.0})
    plan = box("1 2", load)
    found = device(plan, "BOX#0", net.Load)
    assert (found.plus, found.minus) == (node(plan, "BOX-1"), node(plan, "BOX-2"))
    assert (found.law, found.value, found.least_volts) == (law, value, 8.0)
    assert (found.gate, found.when, found.reversed) == (None, ALWAYS, False)
    assert found.idle_ohms == LIMITS["load_off_ohms"]


def test_when_a_load_is_on_and_what_it_draws_else() -> None:
    load = kinds.Load(
        plus="A-1", minus="A-2", amps=2.0, on=RUN, on_by="A-3", idle_amps=0.01, reversed="diode"
    )
    plan = box("1 2 3", load)
    found = device(plan, "BOX#0", net.Load)
    # 60 % and 30 % of 12 V: common practice.
    assert found.gate is not None
    assert (found.gate.node, found.gate.reference) == (node(plan, "BOX-3"), node(plan, "BOX-2"))
    assert (found.gate.on_volts, found.gate.off_volts) == pytest.approx((7.2, 3.6))
    assert plan.network.conditions[found.when] == RUN
    assert found.idle_ohms == pytest.approx(1200.0)
    assert found.reversed
    high = device(box("1 2 3", load, system_volts=24), "BOX#0", net.Load)
    assert high.gate is not None
    assert high.gate.on_volts == pytest.approx(14.4)
    assert high.idle_ohms == pytest.approx(2400.0)


def test_the_least_volts_of_a_load() -> None:
    accepting = kinds.Load(plus="A-1", minus="A-2", amps=1, accepts=WINDOW)
    assert device(box("1 2", accepting), "BOX#0", net.Load).least_volts == 9.0
    silent = kinds.Load(plus="A-1", minus="A-2", amps=1)
    assert device(box("1 2", silent), "BOX#0", net.Load).least_volts == pytest.approx(3.6)


def test_a_load_whose_draw_is_not_stated() -> None:
    plan = box("1 2", kinds.Load(plus="A-1", minus="A-2"))
    assert between(plan, "BOX#0") == (node(plan, "BOX-1"), node(plan, "BOX-2"))
    assert ohms(plan, "BOX#0") == LIMITS["load_off_ohms"]
    idle = box("1 2", kinds.Load(plus="A-1", minus="A-2", idle_amps=0.006))
    assert ohms(idle, "BOX#0") == pytest.approx(2000.0)


def test_a_load_without_a_minus_returns_by_the_body() -> None:
    plan = box("1", kinds.Load(plus="A-1", ohms=6))
    assert device(plan, "BOX#0", net.Load).minus == plan.network.ground
    positive = box("1", kinds.Load(plus="A-1", ohms=6), ground="positive")
    found = device(positive, "BOX#0", net.Load)
    assert (found.plus, found.minus) == (positive.network.ground, node(positive, "BOX-1"))


def test_a_lamp() -> None:
    plan = box("1 2", kinds.Lamp(a="A-1", b="A-2", volts=12.0, watts=21.0))
    found = device(plan, "BOX#0", net.Lamp)
    assert (found.a, found.b, found.volts, found.watts) == (
        node(plan, "BOX-1"),
        node(plan, "BOX-2"),
        12.0,
        21.0,
    )
    assert found.cold_ohms == pytest.approx(LIMITS["lamp_cold_share"] * 144 / 21)
    stated = box("1 2", kinds.Lamp(a="A-1", b="A-2", volts=12.0, watts=21.0, cold_ohms=0.5))
    assert device(stated, "BOX#0", net.Lamp).cold_ohms == 0.5


def test_a_sense() -> None:
    plan = box("1 2", kinds.Sense(terminal="A-1", reference="A-2"))
    assert resistance(plan, "BOX#0") == (node(plan, "BOX-1"), node(plan, "BOX-2"), LIMITS["sense_ohms"], -1)
    plan = box("1", kinds.Sense(terminal="A-1", ohms=1e5, active="low"))
    assert resistance(plan, "BOX#0")[1:3] == (plan.network.ground, 1e5)
    pull_up = device(plan, "BOX#0 pull-up", net.Source)
    assert (pull_up.plus, pull_up.minus) == between(plan, "BOX#0")
    assert pull_up.volts == (LIMITS["sense_pull_up_volts"],) * 5
    assert pull_up.ohms == LIMITS["sense_pull_up_ohms"]
    own = kinds.Sense(terminal="A-1", active="low", pull_up_ohms=1e3)
    assert device(box("1", own), "BOX#0 pull-up", net.Source).volts == pytest.approx(
        (12.6, 12.6, 12.6, 10, 14.2)
    )
    stated = kinds.Sense(terminal="A-1", active="low", pull_up_ohms=1e3, pull_up_volts=3.3)
    assert device(box("1", stated), "BOX#0 pull-up", net.Source).volts == (3.3,) * 5


def test_a_speaker() -> None:
    plan = box("1 2", kinds.Speaker(plus="A-1", minus="A-2", ohms=8.0))
    assert resistance(plan, "BOX#0") == (node(plan, "BOX-1"), node(plan, "BOX-2"), 8.0, ALWAYS)


def test_a_button_ladder() -> None:
    ladder = kinds.ButtonLadder(signal="A-1", reference="A-2", ohms={"Volume +": 100.0, "next": 0.0})
    plan = box("1 2", ladder)
    a, b, value, when = resistance(plan, "BOX#0 Volume +")
    assert (a, b, value) == (node(plan, "BOX-1"), node(plan, "BOX-2"), 100.0)
    assert plan.network.conditions[when] == LiveIn(keys=ALL_KEYS.keys, switch="volume-plus")
    assert ohms(plan, "BOX#0 next") > 0
    assert "BOX#0" not in plan.rows
    # Held buttons are solved on demand: the standard set does not turn them over.
    assert plan.switches == frozenset()


def test_what_a_ladder_has_at_rest_stays_beside_a_held_button() -> None:
    ladder = kinds.ButtonLadder(signal="A-1", reference="A-2", ohms={"up": 200.0}, rest_ohms=1000.0)
    plan = box("1 2", ladder)
    held, rest = ohms(plan, "BOX#0 up"), ohms(plan, "BOX#0")
    assert rest == 1000.0
    assert held * rest / (held + rest) == pytest.approx(200.0)


@pytest.mark.parametrize(
    ("button", "switch"),
    [
        ("volume up", "volume-up"),
        ("Volume +", "volume-plus"),
        ("Volume −", "volume-minus"),
        ("Vol-", "vol-minus"),
        ("hang-up", "hang-up"),
        ("1", "button-1"),
        ("left", "button-left"),
        ("Musik lauter für Fahrer und Beifahrer", "musik-lauter-fu-r-fahrer-und-b"),
    ],
)
def test_the_switch_of_a_button(button: str, switch: str) -> None:
    assert button_switch(button) == switch
    assert button_switch(button) not in STANDARD_SWITCHES
    LiveIn(keys=("run",), switch=button_switch(button))


def test_a_ladder_reader() -> None:
    reader = kinds.LadderReader(terminal="A-1", reference="A-2", pull_up_ohms=2200.0, pull_up_volts=3.3)
    plan = box("1 2", reader)
    found = device(plan, "BOX#0", net.Source)
    assert (found.plus, found.minus) == (node(plan, "BOX-1"), node(plan, "BOX-2"))
    assert (found.volts, found.ohms, found.when) == ((3.3,) * 5, 2200.0, ALWAYS)


def test_an_input_is_held_up_while_its_part_is_awake() -> None:
    reader = kinds.LadderReader(terminal="A-1", reference="A-2", pull_up_ohms=2200.0, pull_up_volts=3.3)
    load = kinds.Load(plus="A-3", minus="A-2", amps=0.1, least_volts=6.0)
    plan = box("1 2 3", reader, load)
    found, source = device(plan, "BOX#0", net.GatedSwitch), device(plan, "BOX#0 source", net.Source)
    assert (found.a, found.b, found.ohms) == (source.plus, node(plan, "BOX-1"), 2200.0)
    assert (source.minus, source.volts) == (node(plan, "BOX-2"), (3.3,) * 5)
    # A load that works from 6 V wakes it there already, though 7.2 V count as live in a car of 12 V.
    assert found.gate == net.Gate(node(plan, "BOX-3"), plan.network.ground, 6.0, 3.0)
    times = LiveIn(keys=("run", "running"))
    asleep = box("1 2 3", reader, load.changed(on=times))
    assert asleep.network.conditions[device(asleep, "BOX#0", net.GatedSwitch).when] == times
    woken = box("1 2 3 4", reader, load.changed(on_by="A-4"))
    gate = device(woken, "BOX#0", net.GatedSwitch).gate
    assert gate is not None
    assert gate.node == node(woken, "BOX-4")
    assert gate.on_volts == pytest.approx(7.2)


def test_a_data_pair() -> None:
    # ISO 11898-2: a line is ended by 120 ohm at either end.
    plan = box("1 2", kinds.DataPair(high="A-1", low="A-2", termination_ohms=120.0))
    assert resistance(plan, "BOX#0")[:3] == (node(plan, "BOX-1"), node(plan, "BOX-2"), 120.0)
    assert "BOX#0" not in box("1 2", kinds.DataPair(high="A-1", low="A-2")).rows


@pytest.mark.parametrize("kind", [kinds.Video, kinds.LineLevel, kinds.Antenna])
def test_a_signal_conducts_by_its_termination_alone(
    kind: type[kinds.Video | kinds.LineLevel | kinds.Antenna],
) -> None:
    plan = box("1 2", kind(terminal="A-1", reference="A-2", termination_ohms=75.0))
    assert resistance(plan, "BOX#0")[:3] == (node(plan, "BOX-1"), node(plan, "BOX-2"), 75.0)
    grounded = box("1", kind(terminal="A-1", termination_ohms=75.0))
    assert between(grounded, "BOX#0")[1] == grounded.network.ground
    assert "BOX#0" not in box("1 2", kind(terminal="A-1", reference="A-2")).rows
