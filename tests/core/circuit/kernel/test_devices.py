"""Diodes, supplies with a limit, step-downs and step-ups in all their regions, ohms with the power off."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.circuit.kernel.circuit import Circuit
from core.circuit.network import Diode, Fuse, GatedSwitch, Lamp, Load, Regulator, Relay
from core.circuit.positions import Position
from core.job.internals import LiveIn
from tests.core.circuit.kernel.nets import RUN, network, solved, source

FIVE = Regulator(
    name="five",
    input=1,
    output=2,
    common=0,
    volts_out=5.0,
    ratio=None,
    ohms=0.01,
    switching=False,
    efficiency=0.85,
    idle_amps=0.01,
    drop_out_volts=1.5,
    least_volts=6.5,
    limit_amps=3.0,
)
SWITCHING = replace(FIVE, switching=True)


def test_the_higher_of_two_feeds_goes_through_its_diode() -> None:
    diodes = (Diode("one", 1, 3, 0.7, 0.01), Diode("two", 2, 3, 0.7, 0.01))
    sources = (source(1, 0, 12.0), source(2, 0, 13.0, name="second"))
    found = solved(network(4, [(3, 0, 10.0)], *sources, *diodes)).after
    assert found.volts[3] == pytest.approx((13 - 0.7) * 10 / 10.011, rel=1e-12)
    assert found.device_amps["one"] == 0
    equal = (source(1, 0, 12.0), source(2, 0, 12.0, name="second"))
    found = solved(network(4, [(3, 0, 10.0)], *equal, *diodes)).after
    assert found.device_amps["one"] == pytest.approx(found.device_amps["two"], rel=1e-9)


def test_two_diodes_in_series_and_one_against() -> None:
    row = [Diode("one", 1, 2, 0.7, 0.01), Diode("two", 2, 3, 0.7, 0.01)]
    found = solved(network(4, [(3, 0, 10.0)], source(1, 0, 12.0), *row)).after
    assert found.volts[3] == pytest.approx((12 - 1.4) * 10 / 10.021, rel=1e-12)
    against = [row[0], Diode("two", 3, 2, 0.7, 0.01)]
    found = solved(network(4, [(3, 0, 10.0)], source(1, 0, 12.0), *against)).after
    assert found.device_amps["one"] == pytest.approx(0, abs=1e-12)
    assert found.device_amps["two"] == 0
    assert found.floating.tolist() == [False, False, True, False]


@pytest.mark.parametrize("ohms", [100.0, 10.0, 4.0, 3.9, 1.0, 0.01])
def test_a_supply_gives_no_more_than_its_limit(ohms: float) -> None:
    found = solved(network(2, [(1, 0, ohms)], source(1, 0, 12.0, 0.01, limit_amps=3.0))).after
    free = 12 / (ohms + 0.01)
    assert found.device_amps["battery"] == pytest.approx(min(free, 3.0), rel=1e-9)
    assert found.volts[1] == pytest.approx(min(free, 3.0) * ohms, rel=1e-9)
    assert found.limiting == (("battery",) if free > 3 else ())


def test_a_supply_with_a_limit_takes_none_back() -> None:
    supplies = (source(1, 0, 12.0, limit_amps=3.0), source(1, 0, 14.0, name="second"))
    found = solved(network(2, [(1, 0, 10.0)], *supplies)).after
    assert found.device_amps["battery"] == 0
    assert found.states["battery"] == "blocked"
    idle = solved(network(2, [], source(1, 0, 12.0, limit_amps=3.0))).after
    assert idle.volts[1] == pytest.approx(12)
    assert not idle.floating[1]


def test_a_bench_supply_that_limits_into_constant_watts() -> None:
    """40 W at 12 V are more than 3 A: the volts fall until the load is ohmic and takes just the limit."""
    load = Load("load", 1, 0, "watts", 40.0, 9.0)
    found = solved(network(2, [], source(1, 0, 12.0, 0.01, limit_amps=3.0), load)).after
    assert found.device_amps["battery"] == pytest.approx(3.0)
    assert found.volts[1] == pytest.approx(3 * 81 / 40)
    assert [it.name for it in found.cannot_hold] == ["load"]


def test_a_linear_step_down_regulates() -> None:
    found = solved(network(3, [(2, 0, 5.0)], source(1, 0, 12.0, 0.001), FIVE)).after
    out = 5 / 5.01
    assert found.device_amps["five"] == pytest.approx(out, rel=1e-9)
    assert found.device_amps["five in"] == pytest.approx(out + 0.01, rel=1e-9)
    assert found.states["five"] == "regulating"
    assert not found.dropped_out
    assert not found.limiting


def test_a_switching_step_down_takes_the_watts() -> None:
    found = solved(network(3, [(2, 0, 5.0)], source(1, 0, 12.0, 0.001), SWITCHING)).after
    out = 5 / 5.01
    watts = out**2 * 5
    taken = (found.device_amps["five in"] - 0.01) * found.volts[1]
    assert taken == pytest.approx(watts / 0.85, rel=1e-9)


@pytest.mark.parametrize("device", [FIVE, SWITCHING])
def test_below_its_head_room_it_passes_input_minus_drop_out(device: Regulator) -> None:
    found = solved(network(3, [(2, 0, 5.0)], source(1, 0, 6.0, 0.001), device)).after
    out = (found.volts[1] - 1.5) / 5.01
    assert found.device_amps["five"] == pytest.approx(out, rel=1e-9)
    assert found.dropped_out == ("five",)
    dead = solved(network(3, [(2, 0, 5.0)], source(1, 0, 1.0, 0.001), device)).after
    assert dead.device_amps["five"] == pytest.approx(0, abs=1e-12)
    assert not dead.dropped_out


@pytest.mark.parametrize("device", [FIVE, SWITCHING])
def test_its_draw_is_continuous_where_it_drops_out(device: Regulator) -> None:
    taken = [
        solved(network(3, [(2, 0, 5.0)], source(1, 0, 6.5 + d, 0.001), device)).after.device_amps["five in"]
        for d in (-0.002, 0.0, 0.002)
    ]
    assert taken[0] == pytest.approx(taken[1], rel=2e-3)
    assert taken[2] == pytest.approx(taken[1], rel=2e-3)


@pytest.mark.parametrize("device", [FIVE, SWITCHING])
def test_above_its_amps_it_limits(device: Regulator) -> None:
    found = solved(network(3, [(2, 0, 0.5)], source(1, 0, 12.0, 0.001), device)).after
    assert found.device_amps["five"] == pytest.approx(3.0)
    assert found.volts[2] == pytest.approx(1.5)
    assert found.limiting == ("five",)
    assert found.states["five"] == "limiting"


def test_fed_backwards_it_leads_through_its_body_diode() -> None:
    device = replace(FIVE, back_drop_volts=0.7)
    found = solved(network(3, [(1, 0, 10.0)], source(2, 0, 12.0, 0.001), device)).after
    assert found.volts[1] == pytest.approx(12 - 0.7, rel=0.01)
    assert found.states["five"].endswith("+back")
    blocked = solved(network(3, [(1, 0, 10.0)], source(2, 0, 12.0, 0.001), FIVE)).after
    assert blocked.volts[1] == pytest.approx(0, abs=1e-9)


def test_off_it_gives_and_takes_nothing() -> None:
    device = replace(FIVE, when=0)
    net = network(3, [(2, 0, 5.0)], source(1, 0, 12.0), device, conditions=(LiveIn(keys=("start",)),))
    found = solved(net).after
    assert found.device_amps["five"] == found.device_amps["five in"] == 0


def test_a_linear_one_without_its_common_passes_its_input() -> None:
    """It has nothing to hold its output to, and its pass element stays open wide."""
    found = solved(network(4, [(2, 0, 5.0)], source(1, 0, 12.0), replace(FIVE, common=3))).after
    assert found.volts[2] == pytest.approx(12 - 1.5, abs=0.1)


def test_a_switching_one_without_its_common_gives_no_more_than_its_idle_amps() -> None:
    found = solved(network(4, [(2, 0, 5.0)], source(1, 0, 12.0), replace(SWITCHING, common=3))).after
    assert abs(found.volts[2]) < 0.1


def test_a_step_up_gives_more_volts_than_it_gets() -> None:
    up = replace(SWITCHING, volts_out=12.0, steps_up=True, least_volts=3.0)
    found = solved(network(3, [(2, 0, 12.0)], source(1, 0, 5.0, 0.001), up)).after
    assert found.volts[2] == pytest.approx(12, rel=1e-3)
    taken = (found.device_amps["five in"] - 0.01) * found.volts[1]
    assert taken == pytest.approx(found.volts[2] * found.device_amps["five"] / 0.85, rel=1e-9)
    low = solved(network(3, [(2, 0, 12.0)], source(1, 0, 1.5, 0.001), up)).after
    assert low.volts[2] == pytest.approx(6, rel=0.01)
    assert low.dropped_out == ("five",)


def test_a_step_up_on_a_weak_feed_finds_its_balance() -> None:
    up = replace(SWITCHING, volts_out=12.0, steps_up=True, least_volts=3.0, limit_amps=None)
    found = solved(network(3, [(2, 0, 12.0)], source(1, 0, 5.0, 1.0), up)).after
    assert found.dropped_out == ("five",)  # 14 W asked, 6.25 W there
    assert 0 < found.volts[1] < 3


def test_half_a_bridge_sinks() -> None:
    """A speaker between two leads at half the supply carries nothing; a lead pulled up is held down."""
    half = replace(
        FIVE,
        volts_out=None,
        ratio=0.5,
        drop_out_volts=0.0,
        limit_amps=None,
        idle_amps=0.0,
        sinks=True,
        ohms=0.05,
    )
    other = replace(half, name="other", output=3)
    net = network(5, [(2, 3, 4.0), (2, 1, 10.0)], source(1, 0, 14.0, 0.001), half, other)
    found = solved(net).after
    assert found.volts[2] == pytest.approx(7, rel=0.01)
    assert found.volts[3] == pytest.approx(7, rel=0.01)
    assert found.device_amps["five"] < 0


def test_a_pulsed_feed_at_its_average() -> None:
    """A duty of 60 % as a transformer for direct current: 0.6 of the volts, 0.6 of the amps."""
    pulsed = replace(
        SWITCHING,
        volts_out=None,
        ratio=0.6,
        efficiency=1.0,
        drop_out_volts=0.0,
        limit_amps=None,
        idle_amps=0.0,
    )
    found = solved(network(3, [(2, 0, 10.0)], source(1, 0, 14.0, 0.1), pulsed)).after
    ideal = 14 / (0.1 + (10 + 0.01) / 0.36)
    assert found.device_amps["five in"] == pytest.approx(ideal, rel=1e-3)
    assert found.volts[2] == pytest.approx(0.6 * found.volts[1] * 10 / 10.01, rel=1e-6)


def test_ohms_with_the_power_off() -> None:
    conditions = (LiveIn(keys=("run",)),)
    net = network(
        9,
        [(1, 2, 100.0), (2, 0, 50.0, 0), (7, 8, 1.0)],
        source(1, 0, 12.0),
        Lamp("lamp", 1, 3, 12.0, 21.0, 0.55),
        Diode("diode", 3, 4, 0.7, 0.01),
        Load("load", 3, 5, "watts", 40.0, 9.0, idle_ohms=2000.0),
        Load("other", 3, 6, "watts", 40.0, 9.0),
        Relay("relay", 5, 6, 85.0, 7.2, 1.8, 4, 7, 6, 0.01),
        GatedSwitch("output", 1, 7, 0.1),
        Fuse("fuse", 7, 8, 10.0, 1.0),
        conditions=conditions,
    )
    circuit = Circuit(net)
    assert circuit.ohms(1, 0, RUN) == pytest.approx(150)
    assert circuit.ohms(1, 0, Position("off")) is None
    assert circuit.ohms(1, 2, RUN, lifted=frozenset({0})) is None
    assert circuit.ohms(1, 3, RUN) == pytest.approx(0.55)
    assert circuit.ohms(3, 5, RUN) == pytest.approx(2000)
    assert circuit.ohms(5, 6, RUN) == pytest.approx(85)
    assert circuit.ohms(4, 6, RUN) == pytest.approx(0.01)
    assert circuit.ohms(1, 7, RUN) is None
    assert circuit.ohms(3, 4, RUN) == pytest.approx(2085.01)  # round by load, coil and contact: no diode
    assert circuit.ohms(7, 8, RUN) == pytest.approx(0.5)
    assert circuit.ohms(7, 7, RUN) == 0
