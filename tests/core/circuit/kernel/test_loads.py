"""Loads and lamps: closed forms worked by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.circuit.network import Lamp, Load
from core.job.internals import LiveIn
from tests.core.circuit.kernel.nets import network, solved, source


@given(st.floats(6, 30), st.floats(0.01, 2), st.floats(0.01, 0.97))
def test_constant_watts_on_a_weak_feed(volts: float, ohms: float, share: float) -> None:
    """The upper root of v² - V v + P R = 0, as long as it is above the least volts (half of V at P most)."""
    watts = share * volts**2 / (4 * ohms)
    net = network(2, [], source(1, 0, volts, ohms), Load("load", 1, 0, "watts", watts, volts / 2.2))
    found = solved(net).after
    expected = (volts + math.sqrt(volts**2 - 4 * watts * ohms)) / 2
    assert found.volts[1] == pytest.approx(expected, rel=1e-10)
    assert found.states["load"] == "law"
    assert not found.cannot_hold


@given(st.floats(6, 30), st.floats(0.01, 2), st.floats(1.03, 20))
def test_a_feed_that_cannot_hold_says_what_it_gives(volts: float, ohms: float, share: float) -> None:
    most = volts**2 / (4 * ohms)
    least = volts / 3
    net = network(2, [], source(1, 0, volts, ohms), Load("load", 1, 0, "watts", share * most, least))
    found = solved(net).after
    load_ohms = least**2 / (share * most)
    if volts * load_ohms / (load_ohms + ohms) >= least:  # it holds by its ohms' edge
        return
    assert found.volts[1] == pytest.approx(volts * load_ohms / (load_ohms + ohms), rel=1e-9)
    assert found.states["load"] == "ohmic"
    (cannot,) = found.cannot_hold
    assert cannot.name == "load"
    assert cannot.needs_watts == share * most
    assert cannot.most_watts == pytest.approx(most, rel=1e-9)
    assert cannot.least_volts_watts == pytest.approx((volts - least) / ohms * least, rel=1e-9)


def test_close_to_the_edge_it_still_holds() -> None:
    """99.99 % of what the feed gives at most."""
    watts = 0.9999 * 36
    net = network(2, [], source(1, 0, 12.0, 1.0), Load("load", 1, 0, "watts", watts, 5.0))
    found = solved(net).after
    assert found.volts[1] == pytest.approx(6 + math.sqrt(36 - watts), rel=1e-9)


def test_the_upper_of_two_balances_is_taken() -> None:
    """Ohmic below 1.9 V (0.1 ohm) it would also stand at 12 V x 0.1 / (0.9 + 0.1) = 1.2 V."""
    load = Load("load", 1, 0, "watts", 1.9**2 / 0.1, 1.9)
    found = solved(network(2, [], source(1, 0, 12.0, 0.9), load)).after
    assert found.volts[1] == pytest.approx(6 + math.sqrt(36 - 36.1 * 0.9), rel=1e-9)


def test_two_loads_that_one_feed_cannot_hold_both() -> None:
    """Either alone would hold; together they fall."""
    loads = [Load(name, 1, 0, "watts", 20, 8.0) for name in ("one", "two")]
    alone = solved(network(2, [], source(1, 0, 12.0, 1.2), loads[0])).after
    assert not alone.cannot_hold
    both = solved(network(2, [], source(1, 0, 12.0, 1.2), *loads)).after
    assert {it.name for it in both.cannot_hold} == {"one", "two"}
    ohms = 8.0**2 / 20 / 2
    assert both.volts[1] == pytest.approx(12 * ohms / (ohms + 1.2), rel=1e-9)


@pytest.mark.parametrize(
    ("law", "value", "volts", "amps"),
    [
        ("amps", 2.0, 12.0, 2.0),
        ("amps", 2.0, 9.0, 2.0),
        ("amps", 2.0, 4.5, 1.0),  # ohmic to 9 V: 4.5 ohm
        ("watts", 18.0, 12.0, 1.5),
        ("watts", 18.0, 9.0, 2.0),
        ("watts", 18.0, 4.5, 1.0),
        ("ohms", 6.0, 12.0, 2.0),
        ("ohms", 6.0, 3.0, 0.5),
        ("amps", 2.0, -12.0, 0.0),
        ("watts", 18.0, -12.0, 0.0),
        ("ohms", 6.0, -12.0, 0.0),
        ("amps", 2.0, 0.0, 0.0),
    ],
)
def test_the_law_by_region(law: str, value: float, volts: float, amps: float) -> None:
    load = Load("load", 1, 0, law, value, 9.0)  # type: ignore[arg-type]
    found = solved(network(2, [], source(1, 0, volts, 0.001), load)).after
    assert found.device_amps["load"] == pytest.approx(amps, rel=1e-3, abs=1e-9)
    assert not found.cannot_hold or volts >= 9


def test_a_load_wrong_way_round_may_be_a_short() -> None:
    load = Load("load", 0, 1, "watts", 18.0, 9.0, reversed=True)
    found = solved(network(2, [], source(1, 0, 12.0, 0.09), load)).after
    assert found.states["load"] == "reversed"
    assert found.device_amps["load"] == pytest.approx(-(12 - 0.7) / 0.1, rel=1e-9)


def test_a_load_that_lost_its_ground_stands_at_its_feed() -> None:
    load = Load("load", 1, 2, "watts", 40.0, 9.0)
    found = solved(network(4, [(2, 3, 0.1)], source(1, 0, 12.0), load)).after
    assert found.volts == pytest.approx([0, 12, 12, 12])
    assert not found.floating.any()


def test_a_lost_common_ground_lets_current_sneak() -> None:
    """12 V through one load, backwards through a resistor on a dead feed."""
    load = Load("load", 1, 2, "ohms", 5.0, 9.0)
    found = solved(network(4, [(3, 2, 5.0), (3, 0, 2.0)], source(1, 0, 12.0), load)).after
    assert found.device_amps["load"] == pytest.approx(12 / 12.001)


@pytest.mark.parametrize("volts", [0.2, 1.0, 6.0, 12.0, 13.5, -12.0])
def test_a_lamp_follows_its_law(volts: float) -> None:
    lamp = Lamp("lamp", 1, 0, 12.0, 21.0, 0.55)
    found = solved(network(2, [], source(1, 0, volts), lamp)).after
    ohms = max(0.55, 144 / 21 * (abs(volts) / 12) ** 0.45)
    assert found.device_amps["lamp"] == pytest.approx(volts / ohms, rel=3e-3)


def test_a_lamp_behind_a_resistor() -> None:
    """v + R v / (k v^0.45) = V, solved by halving."""
    lamp = Lamp("lamp", 1, 0, 12.0, 21.0, 0.55)
    found = solved(network(2, [], source(1, 0, 12.0, 4.0), lamp)).after
    low, high = 0.0, 12.0
    for _ in range(100):
        mid = (low + high) / 2
        amps = mid / max(0.55, 144 / 21 * (mid / 12) ** 0.45)
        low, high = (mid, high) if mid + 4 * amps < 12 else (low, mid)
    assert found.volts[1] == pytest.approx(low, rel=1e-11)


def test_off_it_draws_by_its_idle_ohms() -> None:
    off = Load("load", 1, 0, "watts", 40.0, 9.0, idle_ohms=1000.0, when=0)
    from_now = network(2, [], source(1, 0, 12.0), off, conditions=(LiveIn(keys=("start",)),))
    found = solved(from_now).after
    assert found.device_amps["load"] == pytest.approx(0.012, rel=1e-5)
