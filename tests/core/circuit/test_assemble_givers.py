"""What parts make of their own supply, and what conducts, as pieces of a circuit."""

from __future__ import annotations

import pytest

from core.circuit import network as net
from core.circuit.network import ALWAYS
from core.job import internals as kinds
from core.job.internals import LiveIn, VoltWindow
from tests.core.checks.jobs import library
from tests.core.circuit.drawn import between, box, device, node, ohms, resistance

LIMITS = library().limits
RUN = LiveIn(keys=("run", "running"))
WINDOW = VoltWindow(least=9, most=16)


def test_an_output_of_the_supplys_own_volts() -> None:
    output = kinds.Output(terminal="A-1", live=RUN, fed_from="A-2", on_by="A-3", reference="A-4")
    plan = box("1 2 3 4", output)
    found = device(plan, "BOX#0", net.GatedSwitch)
    assert (found.a, found.b, found.ohms) == (
        node(plan, "BOX-2"),
        node(plan, "BOX-1"),
        LIMITS["output_ohms"],
    )
    assert plan.network.conditions[found.when] == RUN
    assert found.gate is not None
    assert (found.gate.node, found.gate.reference) == (node(plan, "BOX-3"), node(plan, "BOX-4"))


def test_an_output_is_fed_by_the_parts_own_feed() -> None:
    output = kinds.Output(terminal="A-1", live=RUN)
    plan = box("1 2 3", output, kinds.Load(plus="A-2", minus="A-3", amps=1))
    assert device(plan, "BOX#0", net.GatedSwitch).a == node(plan, "BOX-2")


def test_an_output_of_its_own_volts() -> None:
    output = kinds.Output(terminal="A-1", live=RUN, volts=6.0, fed_from="A-2", reference="A-3", amps=0.5)
    plan = box("1 2 3", output)
    found = device(plan, "BOX#0", net.Regulator)
    assert (found.input, found.output, found.common) == tuple(node(plan, f"BOX-{n}") for n in (2, 1, 3))
    assert (found.volts_out, found.ratio, found.switching, found.sinks) == (6.0, None, False, False)
    assert found.limit_amps == 0.5
    # 300 mA are assumed where nothing is stated: common practice.
    silent = kinds.Output(terminal="A-1", live=RUN, volts=6.0, fed_from="A-2")
    assert device(box("1 2", silent), "BOX#0", net.Regulator).limit_amps == 0.3


def test_an_output_without_a_supply_is_a_source() -> None:
    plan = box("1", kinds.Output(terminal="A-1", live=RUN, volts=6.0))
    found = device(plan, "BOX#0", net.Source)
    assert (found.plus, found.minus, found.volts) == (node(plan, "BOX-1"), plan.network.ground, (6.0,) * 5)
    assert plan.network.conditions[found.when] == RUN
    gated = box("1 2", kinds.Output(terminal="A-1", live=RUN, on_by="A-2"))
    source, switch = device(gated, "BOX#0 source", net.Source), device(gated, "BOX#0", net.GatedSwitch)
    assert source.volts == pytest.approx((12.6, 12.6, 12.6, 10, 14.2))
    assert (switch.a, switch.b) == (source.plus, node(gated, "BOX-1"))
    below = box("1", kinds.Output(terminal="A-1", live=RUN, volts=-5.0))
    found = device(below, "BOX#0", net.Source)
    assert (found.plus, found.minus, found.volts) == (below.network.ground, node(below, "BOX-1"), (5.0,) * 5)


def test_a_low_side_output() -> None:
    output = kinds.LowSideOutput(terminal="A-1", reference="A-2", live=RUN, on_by="A-3", ohms=0.4)
    plan = box("1 2 3", output)
    found = device(plan, "BOX#0", net.GatedSwitch)
    assert (found.a, found.b, found.ohms) == (node(plan, "BOX-1"), node(plan, "BOX-2"), 0.4)
    assert found.gate is not None
    assert found.gate.reference == node(plan, "BOX-2")


def test_a_step_down() -> None:
    step_down = kinds.StepDown(
        input="A-1", output="A-2", common="A-3", volts_out=6.0, accepts=WINDOW, amps=2.0
    )
    plan = box("1 2 3", step_down)
    found = device(plan, "BOX#0", net.Regulator)
    assert (found.input, found.output, found.common) == tuple(node(plan, f"BOX-{n}") for n in (1, 2, 3))
    assert (found.volts_out, found.limit_amps, found.switching, found.steps_up) == (6.0, 2.0, True, False)
    assert (found.efficiency, found.idle_amps) == (
        LIMITS["step_down_efficiency"],
        LIMITS["step_down_idle_amps"],
    )
    assert (found.drop_out_volts, found.back_drop_volts) == (1.5, 0.7)
    linear = step_down.changed(sort="linear", efficiency=0.9, idle_amps=0.0, drop_out_volts=2.0)
    found = device(box("1 2 3", linear), "BOX#0", net.Regulator)
    assert (found.switching, found.efficiency, found.idle_amps, found.drop_out_volts) == (
        False,
        1.0,
        0.0,
        2.0,
    )


def test_a_step_up() -> None:
    step_up = kinds.StepUp(input="A-1", output="A-2", common="A-3", volts_out=24.0, accepts=WINDOW)
    found = device(box("1 2 3", step_up), "BOX#0", net.Regulator)
    assert (found.volts_out, found.steps_up, found.least_volts) == (24.0, True, 9.0)
    assert found.back_drop_volts is None
    assert found.limit_amps is None


def test_a_bridged_speaker_output() -> None:
    output = kinds.SpeakerOutput(plus="A-1", minus="A-2", fed_from="A-3", on_by="A-4")
    plan = box("1 2 3 4", output)
    for sign, lead in (("+", "BOX-1"), ("-", "BOX-2")):
        found = device(plan, f"BOX#0 {sign}", net.Regulator)
        assert (found.input, found.output, found.common) == (
            node(plan, "BOX-3"),
            node(plan, lead),
            plan.network.ground,
        )
        assert (found.ratio, found.volts_out, found.sinks, found.switching) == (0.5, None, True, False)
        assert found.gate is not None
        assert found.gate.node == node(plan, "BOX-4")
        assert plan.devices[found.name][0] == "BOX"
    alone = box("1 2", kinds.SpeakerOutput(plus="A-1", minus="A-2"))
    assert device(alone, "BOX#0 +", net.Source).volts == pytest.approx((6.3, 6.3, 6.3, 5, 7.1))


def test_a_single_ended_speaker_output() -> None:
    plan = box("1 2", kinds.SpeakerOutput(plus="A-1", minus="A-2", bridged=False))
    assert resistance(plan, "BOX#0 -")[:2] == (node(plan, "BOX-2"), plan.network.ground)
    assert ohms(plan, "BOX#0 -") == LIMITS["speaker_output_ohms"]
    assert ohms(plan, "BOX#0 +") == LIMITS["load_off_ohms"]


@pytest.mark.parametrize("kind", [kinds.Fuse, kinds.Breaker])
def test_a_fuse_and_a_breaker(kind: type[kinds.Fuse | kinds.Breaker]) -> None:
    plan = box("1 2", kind(a="A-1", b="A-2", amps=10.0))
    found = device(plan, "BOX#0", net.Fuse)
    assert (found.a, found.b, found.amps) == (node(plan, "BOX-1"), node(plan, "BOX-2"), 10.0)
    # About a tenth of a volt is lost at its rating: common practice.
    assert found.ohms == pytest.approx(0.01)
    assert device(box("1 2", kind(a="A-1", b="A-2", amps=10, ohms=0.02)), "BOX#0", net.Fuse).ohms == 0.02


def test_a_switch() -> None:
    plan = box("1 2", kinds.SwitchContact(a="A-1", b="A-2", closed=RUN))
    found = device(plan, "BOX#0", net.GatedSwitch)
    assert (found.a, found.b, found.ohms) == (
        node(plan, "BOX-1"),
        node(plan, "BOX-2"),
        LIMITS["switch_ohms"],
    )
    assert (found.gate, plan.network.conditions[found.when]) == (None, RUN)


def test_a_relay() -> None:
    ends = {"coil_plus": "A-86", "coil_minus": "A-85", "common": "A-30"}
    relay = kinds.Relay.model_validate(ends | {"make": "A-87", "rest": "A-87a", "clamp": "diode"})
    plan = box("30 85 86 87 87a", relay)
    found = device(plan, "BOX#0", net.Relay)
    nodes = (found.coil_plus, found.coil_minus, found.common, found.make, found.rest)
    assert nodes == tuple(node(plan, f"BOX-{pin}") for pin in ("86", "85", "30", "87", "87a"))
    # 85 ohm, pulls in at 7.2 V, drops out at 1.8 V, for a relay of 12 V: common practice.
    assert (found.coil_ohms, found.pull_in_volts, found.drop_out_volts) == pytest.approx((85, 7.2, 1.8))
    assert found.clamp_drop == 0.7
    half = kinds.Relay.model_validate(ends | {"make": "A-87", "clamp": "resistor"})
    plan = box("30 85 86 87 87a", half, system_volts=24)
    found = device(plan, "BOX#0", net.Relay)
    # As many watts from twice the volts take four times the ohms.
    assert (found.coil_ohms, found.pull_in_volts) == pytest.approx((340, 14.4))
    assert (found.rest, found.clamp_drop) == (None, None)
    assert ohms(plan, "BOX#0 clamp") == 4 * 680
    assert between(plan, "BOX#0 clamp") == (node(plan, "BOX-86"), node(plan, "BOX-85"))


def test_a_diode() -> None:
    plan = box("1 2", kinds.Diode(anode="A-1", cathode="A-2", drop_volts=0.4))
    found = device(plan, "BOX#0", net.Diode)
    assert (found.anode, found.cathode, found.drop_volts, found.ohms) == (
        node(plan, "BOX-1"),
        node(plan, "BOX-2"),
        0.4,
        LIMITS["diode_ohms"],
    )


def test_a_resistor() -> None:
    plan = box("1 2", kinds.Resistor(a="A-1", b="A-2", ohms=330.0))
    assert resistance(plan, "BOX#0") == (node(plan, "BOX-1"), node(plan, "BOX-2"), 330.0, ALWAYS)


def test_a_link() -> None:
    plan = box("1 2", kinds.Link(a="A-1", b="A-2"))
    assert node(plan, "BOX-1") == node(plan, "BOX-2")
    assert "BOX#0" not in plan.rows


def test_a_shield() -> None:
    plan = box("1 2", kinds.Shield(a="A-1", touches="A-2"))
    assert between(plan, "BOX#0") == (node(plan, "BOX-1"), node(plan, "BOX-2"))
    assert ohms(plan, "BOX#0") == LIMITS["shield_ohms"]
    assert "BOX#0" not in box("1", kinds.Shield(a="A-1")).rows


def test_a_case() -> None:
    plan = box("1", kinds.Case(a="A-1", touches_body=True, ohms=0.01))
    assert resistance(plan, "BOX#0") == (node(plan, "BOX-1"), plan.network.ground, 0.01, ALWAYS)
    assert "BOX#0" not in box("1", kinds.Case(a="A-1")).rows
