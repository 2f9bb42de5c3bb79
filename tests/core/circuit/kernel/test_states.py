"""Relays, gates, fuses and chatter: cases worked by hand."""

from __future__ import annotations

import pytest

from core.circuit.kernel.circuit import Circuit
from core.circuit.network import Fuse, Gate, GatedSwitch, Load, Network, Relay, Source
from core.circuit.positions import KEYS, Position
from core.job.internals import LiveIn
from tests.core.circuit.balance import check
from tests.core.circuit.kernel.nets import RUN, network, solved, source

CAR = (12.6, 12.6, 12.6, 10.0, 14.2)


def relay(
    plus: int, minus: int, common: int, make: int | None, rest: int | None = None, **more: float
) -> Relay:
    return Relay("relay", plus, minus, 85.0, 7.2, 1.8, common, make, rest, 0.01, **more)


def test_a_relay_pulls_in_and_feeds_its_load() -> None:
    found = solved(network(3, [(2, 0, 6.0)], source(1, 0, 12.0, 0.001), relay(1, 0, 1, 2))).after
    assert found.states["relay"] == "pulled"
    assert found.device_amps["relay"] == pytest.approx(2.0, rel=0.005)
    assert found.device_amps["relay coil"] == pytest.approx(12 / 85, rel=0.001)


def test_a_relay_at_rest_feeds_its_other_contact() -> None:
    found = solved(network(4, [(2, 0, 6.0)], source(1, 0, 6.0, 0.001), relay(1, 0, 1, 3, 2))).after
    assert found.states["relay"] == "rest"
    assert found.device_amps["relay"] == pytest.approx(1.0, rel=0.005)
    assert found.floating.tolist() == [False, False, False, True]


def self_holding() -> Network:
    """The coil is pulled by a start button (a switch), then held by its own contact while the key is on."""
    conditions = (
        LiveIn(keys=("start",)),
        LiveIn(keys=("run", "start", "running")),
    )
    return network(
        4,
        [(3, 0, 50.0)],
        Source("battery", 1, 0, CAR, 0.01),
        GatedSwitch("ignition", 1, 2, 0.01, when=1),
        GatedSwitch("button", 2, 3, 0.01, when=0),
        relay(3, 0, 2, 3),
        conditions=conditions,
    )


def test_a_relay_holds_itself() -> None:
    net = self_holding()
    circuit = Circuit(net)
    states = None
    words = []
    for key in (*KEYS, "run", "off", "run"):
        position = Position(key)  # type: ignore[arg-type]
        found = circuit.solve(position, states).after
        check(net, position, found)
        states = found.states
        words.append(found.states["relay"])
    assert words == ["rest", "rest", "rest", "pulled", "pulled", "pulled", "rest", "rest"]


@pytest.mark.parametrize(
    ("volts", "word"), [(2.5, "pulled"), (1.5, "rest"), (7.1, "pulled"), (7.3, "pulled")]
)
def test_a_pulled_relay_falls_at_its_drop_out_volts(volts: float, word: str) -> None:
    net = network(3, [(2, 0, 6.0)], source(1, 0, volts, 0.001), relay(1, 0, 1, 2))
    assert solved(net, start={"relay": "pulled"}).after.states["relay"] == word
    fresh = "pulled" if volts > 7.2 else "rest"
    assert solved(net).after.states["relay"] == fresh


def test_a_relay_that_falls_through_crank_comes_back() -> None:
    """A coil behind a long thin wire: 1.7 V are left of 5 V in the first moment of cranking."""
    net = network(
        3,
        [(1, 2, 165.0)],
        Source("battery", 1, 0, (12.6, 12.6, 22.0, 5.0, 24.0), 0.01),
        relay(2, 0, 1, None, 0),
    )
    # its rest contact would short the battery: only while it has fallen
    circuit = Circuit(net)
    run = circuit.solve(RUN, {"relay": "pulled"})
    assert run.after.states["relay"] == "pulled"
    crank = circuit.solve(Position("start"), run.after.states)
    check(net, Position("start"), crank.after)
    assert crank.after.states["relay"] == "rest"
    assert crank.after.device_amps["relay"] == pytest.approx(5 / 0.02, rel=0.01)


def test_a_coil_works_either_way_round_unless_a_clamp_shorts_it() -> None:
    turned = solved(network(3, [(2, 0, 6.0)], source(1, 0, 12.0, 0.09), relay(0, 1, 1, 2))).after
    assert turned.states["relay"] == "pulled"
    shorted = solved(network(3, [(2, 0, 6.0)], source(1, 0, 12.0, 0.09), relay(0, 1, 1, 2, clamp_drop=0.7)))
    assert shorted.after.states["relay"] == "rest"
    assert shorted.after.device_amps["relay clamp"] == pytest.approx((12 - 0.7) / 0.1, rel=0.02)


def test_a_rest_contact_that_feeds_its_own_coil_chatters() -> None:
    net = network(3, [(2, 0, 1000.0)], source(1, 0, 12.0), relay(2, 0, 1, None, 2))
    found = solved(net).after
    assert found.chatter == ("relay",)
    assert not found.unsolved


def test_only_those_that_chatter_are_told() -> None:
    still = Relay("still", 1, 0, 85.0, 7.2, 1.8, 1, None, None, 0.01)
    net = network(3, [(2, 0, 1000.0)], source(1, 0, 12.0), relay(2, 0, 1, None, 2), still)
    found = solved(net).after
    assert found.chatter == ("relay",)
    assert found.states["still"] == "pulled"


def test_all_states_change_together_once_per_round() -> None:
    """Two relays, each fed over the other's rest contact: both pull, both fall, both pull."""
    one = Relay("one", 2, 0, 85.0, 7.2, 1.8, 1, None, 3, 0.01)
    two = Relay("two", 3, 0, 85.0, 7.2, 1.8, 1, None, 2, 0.01)
    found = solved(network(4, [], source(1, 0, 12.0), one, two)).after
    assert found.chatter == ("one", "two")
    # with one of them pulled before it is a latch
    latched = solved(network(4, [], source(1, 0, 12.0), one, two), start={"one": "pulled"}).after
    assert not latched.chatter
    assert latched.states["one"] == "pulled"
    assert latched.states["two"] == "rest"


def gated(volts: float) -> Network:
    gate = Gate(2, 0, 7.2, 3.6)
    return network(
        4,
        [(3, 0, 6.0)],
        source(1, 0, 12.0, 0.001),
        source(2, 0, volts, 0.001, name="remote"),
        GatedSwitch("output", 1, 3, 0.1, gate),
        Load("radio", 1, 0, "amps", 3.0, 9.0, gate=gate),
    )


@pytest.mark.parametrize(
    ("volts", "was", "word"),
    [(8, "off", "on"), (5, "off", "off"), (5, "on", "on"), (3, "on", "off"), (3.6, "on", "on")],
)
def test_a_gate_has_two_thresholds(volts: float, was: str, word: str) -> None:
    # a hair above, for what the source's own ohms lose
    found = solved(gated(volts + 1e-6), start={"output": was, "radio": was}).after
    assert found.states["output"] == word
    assert (found.device_amps["radio"] > 0) == (word == "on")
    assert (found.device_amps["output"] > 1) == (word == "on")


def test_of_two_fuses_in_series_the_smaller_opens() -> None:
    fuses = (Fuse("large", 1, 2, 30.0, 0.003), Fuse("small", 2, 3, 10.0, 0.008))
    found = solved(network(4, [(3, 0, 0.05)], source(1, 0, 12.6, 0.01), *fuses))
    assert found.opened == ("small",)
    amps = 12.6 / 0.071
    assert found.moment.device_amps["small"] == pytest.approx(amps)
    assert found.moment.device_amps["large"] == pytest.approx(amps)
    assert dict(found.moment.overloaded).keys() == {"large", "small"}
    assert dict(found.moment.overloaded)["small"] == pytest.approx(amps / 10)
    assert found.after.device_amps["large"] == pytest.approx(0, abs=1e-9)
    assert found.after.states["small"] == "open"
    assert found.after.states["large"] == "closed"
    assert not found.after.overloaded


def test_of_two_equal_fuses_in_series_one_opens() -> None:
    fuses = (Fuse("one", 1, 2, 10.0, 0.008), Fuse("two", 2, 3, 10.0, 0.008))
    found = solved(network(4, [(3, 0, 0.05)], source(1, 0, 12.6, 0.01), *fuses))
    assert len(found.opened) == 1


@pytest.mark.parametrize(("share", "opens", "over"), [(0.99, 0, 0), (1.2, 0, 1), (1.34, 0, 1), (1.36, 1, 0)])
def test_a_fuse_opens_above_its_share(share: float, opens: int, over: int) -> None:
    fuse = Fuse("fuse", 1, 2, 10.0, 0.01)
    found = solved(network(3, [(2, 0, 1.19 / share - 0.01)], source(1, 0, 12.0, 0.01), fuse))
    assert len(found.opened) == opens
    assert len(found.after.overloaded) == over
    if over:
        assert found.after.overloaded[0] == ("fuse", pytest.approx(share * 12 / 11.9 / 1, rel=0.02))


def test_one_fuse_after_the_other() -> None:
    """Two side by side share a short; the weaker goes, then all goes through the other."""
    fuses = (Fuse("ten", 1, 2, 10.0, 0.01), Fuse("twenty", 1, 2, 20.0, 0.01))
    found = solved(network(3, [(2, 0, 0.3)], source(1, 0, 12.0, 0.01), *fuses))
    assert found.opened == ("ten", "twenty")
    assert found.after.volts[2] == 0
    assert not found.after.floating[2]


def test_a_relay_whose_fuse_opens_falls() -> None:
    net = network(
        5,
        [(4, 0, 0.1)],
        source(1, 0, 12.0, 0.01),
        Fuse("fuse", 1, 2, 10.0, 0.008),
        relay(2, 0, 2, 4),
    )
    found = solved(net)
    assert found.moment.states["relay"] == "pulled"
    assert found.opened == ("fuse",)
    assert found.after.states["relay"] == "rest"
