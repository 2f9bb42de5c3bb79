"""Straight networks: against a dense solve of the same equations, superposition, islands, lifted rows."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.circuit.kernel.circuit import Circuit
from core.circuit.network import Network
from core.circuit.positions import Position
from core.job.internals import LiveIn
from tests.core.circuit.kernel.nets import RUN, Row, network, solved, source


def ladder(seed: int, nodes: int) -> tuple[list[Row], np.random.Generator]:
    rng = np.random.default_rng(seed)
    rows: list[Row] = [
        (k, int(rng.integers(max(0, k - 20), k)), float(10 ** rng.uniform(-2.5, 1))) for k in range(2, nodes)
    ]
    rows += [(int(rng.integers(2, nodes)), 0, float(10 ** rng.uniform(0, 5))) for _ in range(1 + nodes // 5)]
    rows.append((nodes - 1, 1, 0.1))
    return rows, rng


def dense(net: Network, volts: list[float]) -> np.ndarray:  # type: ignore[type-arg]
    """Volts of all nodes, by numpy alone. `volts` of the sources at nodes 1, 2 and on, behind 10 mohm."""
    matrix = np.zeros((net.nodes, net.nodes))
    right = np.zeros(net.nodes)
    r = net.resistors
    for a, b, ohms in zip(r.a, r.b, r.ohms, strict=True):
        matrix[a, a] += 1 / ohms
        matrix[b, b] += 1 / ohms
        matrix[a, b] -= 1 / ohms
        matrix[b, a] -= 1 / ohms
    for node, emf in enumerate(volts, 1):
        matrix[node, node] += 100
        right[node] += 100 * emf
    answer = np.zeros(net.nodes)
    answer[1:] = np.linalg.solve(matrix[1:, 1:], right[1:])
    return answer


@settings(max_examples=30)
@given(st.integers(0, 2**32), st.integers(4, 300))
def test_a_dense_solve_says_the_same(seed: int, nodes: int) -> None:
    rows, _ = ladder(seed, nodes)
    net = network(nodes, rows, source(1, 0, 12.6, 0.01), source(2, 0, 13.1, 0.01, name="second"))
    found = solved(net).after
    expected = dense(net, [12.6, 13.1])
    assert found.volts == pytest.approx(expected, rel=1e-10, abs=1e-11)


@settings(max_examples=30)
@given(st.integers(0, 2**32), st.integers(4, 100), st.floats(-24, 24), st.floats(-24, 24))
def test_what_two_sources_do_is_the_sum_of_what_each_does(
    seed: int, nodes: int, one: float, two: float
) -> None:
    rows, _ = ladder(seed, nodes)

    def volts(first: float, second: float) -> np.ndarray:  # type: ignore[type-arg]
        net = network(nodes, rows, source(1, 0, first, 0.01), source(2, 0, second, 0.01, name="second"))
        return solved(net).after.volts

    assert volts(one, two) == pytest.approx(volts(one, 0) + volts(0, two), rel=1e-10, abs=1e-10)


def test_a_closed_form_to_twelve_digits() -> None:
    """A divider with 1 mohm beside 10 Mohm."""
    net = network(4, [(1, 2, 0.001), (2, 3, 1e7), (3, 0, 1e7)], source(1, 0, 12.0))
    found = solved(net).after
    assert found.volts[3] == pytest.approx(12 * 1e7 / (2e7 + 0.002), rel=1e-12)


def test_a_lead_that_is_lifted_carries_nothing() -> None:
    net = network(3, [(1, 2, 1.0), (1, 2, 1.0), (2, 0, 1.0)], source(1, 0, 12.0, 0.5))
    whole = solved(net).after
    lifted = solved(net, lifted=frozenset({0})).after
    assert whole.resistor_amps == pytest.approx([3, 3, 6])
    assert lifted.resistor_amps == pytest.approx([0, 4.8, 4.8])
    cut = solved(net, lifted=frozenset({0, 1})).after
    assert cut.resistor_amps == pytest.approx([0, 0, 0])
    assert not cut.floating[2]  # at ground by the third


def test_what_hangs_on_nothing_floats() -> None:
    net = network(6, [(1, 0, 10.0), (3, 4, 5.0)], source(1, 0, 12.0), source(3, 4, 12.6, name="second"))
    found = solved(net).after
    assert found.floating.tolist() == [False, False, True, True, True, True]
    assert found.volts.tolist()[2:] == [0, 0, 0, 0]
    # a second battery on its own still gives its amps, and its volts are there between its own poles
    assert found.device_amps["second"] == pytest.approx(12.6 / 5.001)
    assert found.island_volts[3] - found.island_volts[4] == pytest.approx(12.6 * 5 / 5.001)
    assert found.island[3] == found.island[4] != found.island[2]


def test_two_batteries_in_parallel_share() -> None:
    """Millman: the node stands at the mean of both, weighted by siemens."""
    net = network(2, [(1, 0, 20.0)], source(1, 0, 12.0, 0.1), source(1, 0, 13.0, 0.2, name="second"))
    found = solved(net).after
    volts = (12 / 0.1 + 13 / 0.2) / (1 / 0.1 + 1 / 0.2 + 1 / 20)
    assert found.volts[1] == pytest.approx(volts, rel=1e-12)
    assert found.device_amps["battery"] == pytest.approx((12 - volts) / 0.1, rel=1e-9)
    assert found.watts["battery"] > 0 > found.watts["second"]  # the first is charged


def test_the_plus_pole_may_be_on_the_body() -> None:
    """Positive ground: the reference is still the battery's minus."""
    net = network(4, [(1, 2, 0.01), (2, 3, 2.0), (3, 0, 0.5)], source(1, 0, 6.0, 0.01), ground=2)
    found = solved(net).after
    amps = 6 / 2.52
    assert found.volts == pytest.approx([0, 6 - 0.01 * amps, 6 - 0.02 * amps, 0.5 * amps], rel=1e-12)


def test_rows_are_there_when_their_condition_holds() -> None:
    conditions = (LiveIn(keys=("run", "running")), LiveIn(keys=("run",), unless="lights"))
    net = network(2, [(1, 0, 10.0, 0), (1, 0, 10.0, 1)], source(1, 0, 12.0, 1.0), conditions=conditions)
    circuit = Circuit(net)
    lit = Position("run", ("lights",))
    amps = [circuit.solve(p).after.device_amps["battery"] for p in (RUN, lit, Position("off"))]
    assert amps == pytest.approx([12 / 6, 12 / 11, 0])


def test_a_network_without_anything() -> None:
    found = solved(network(1, [])).after
    assert found.volts.tolist() == [0]
    found = solved(network(3, [(1, 2, 1.0)])).after
    assert found.floating.tolist() == [False, True, True]
    assert found.power_given_watts == found.power_taken_watts == 0
