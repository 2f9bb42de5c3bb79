"""What is taken out of a network and put back: volts, islands and amps are those of the whole network."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.circuit.kernel.condense import Condensed
from core.circuit.network import Fuse
from tests.core.circuit.kernel.nets import Row, network, solved, source


def test_wires_in_a_row_become_one_and_dead_ends_fall_away() -> None:
    rows: list[Row] = [(1, 2, 1.0), (2, 3, 2.0), (4, 3, 3.0), (4, 0, 6.0), (3, 5, 1.0), (5, 6, 1.0)]
    net = network(7, rows, source(1, 0, 12.0, 0.001))
    touched = np.zeros(7, np.bool_)
    touched[[0, 1]] = True
    condensed = Condensed(net, touched)
    assert condensed.kept.tolist() == [0, 1]
    assert condensed.resistors.ohms.tolist() == [12.0]
    found = solved(net).after
    amps = 12 / 12.001
    assert found.resistor_amps == pytest.approx([amps, amps, -amps, amps, 0, 0])
    assert found.volts == pytest.approx([0, 12 * amps, 11 * amps, 9 * amps, 6 * amps, 9 * amps, 9 * amps])


def test_a_ring_that_hangs_on_nothing_floats() -> None:
    rows: list[Row] = [(2, 3, 1.0), (3, 4, 1.0), (4, 2, 1.0), (1, 0, 5.0), (5, 6, 1.0)]
    found = solved(network(7, rows, source(1, 0, 12.0))).after
    assert found.floating.tolist() == [False, False, True, True, True, True, True]
    assert found.island[2] == found.island[3] == found.island[4] != found.island[5] == found.island[6]


def test_a_loop_from_a_node_back_to_it_carries_nothing() -> None:
    rows: list[Row] = [(1, 2, 1.0), (2, 3, 1.0), (3, 1, 1.0), (1, 0, 5.0)]
    found = solved(network(4, rows, source(1, 0, 12.0))).after
    assert found.resistor_amps[:3] == pytest.approx([0, 0, 0])
    assert found.volts[2] == pytest.approx(found.volts[1])


def test_what_lies_between_two_lifted_leads_floats() -> None:
    rows: list[Row] = [(1, 2, 1.0), (2, 3, 1.0), (3, 4, 1.0), (4, 5, 1.0), (5, 0, 1.0)]
    net = network(6, rows, source(1, 0, 12.0))
    found = solved(net, lifted=frozenset({1, 3})).after
    assert found.floating.tolist() == [False, False, False, True, True, False]
    assert found.island[3] == found.island[4]
    assert found.volts.tolist() == [0, 12, 12, 0, 0, 0]
    assert found.resistor_amps.tolist() == [0, 0, 0, 0, 0]


def test_a_lifted_dead_end_floats_with_all_behind_it() -> None:
    rows: list[Row] = [(1, 0, 1.0), (1, 2, 1.0), (2, 3, 1.0)]
    found = solved(network(4, rows, source(1, 0, 12.0)), lifted=frozenset({1})).after
    assert found.floating.tolist() == [False, False, True, True]
    assert found.island[2] == found.island[3]


@settings(max_examples=60)
@given(st.integers(0, 2**32), st.integers(3, 40), st.integers(0, 4))
def test_nothing_else_comes_of_keeping_every_node(seed: int, nodes: int, lifts: int) -> None:
    """The same network where fuses that carry nothing touch every node, so that nothing is taken out."""
    rng = np.random.default_rng(seed)
    rows: list[Row] = [
        (k, int(rng.integers(max(0, k - 3), k)), float(rng.uniform(0.1, 2))) for k in range(1, nodes)
    ]
    for _ in range(nodes // 8):
        a, b = rng.choice(nodes, 2, replace=False).tolist()
        rows.append((a, b, 1.0))
    lifted = frozenset(rng.choice(len(rows), min(lifts, len(rows)), replace=False).tolist())
    supply = source(1, 0, 12.0, 0.5)
    small = solved(network(nodes, rows, supply), lifted=lifted).after
    touching = [Fuse(f"stub {k}", k, nodes + k, 30.0, 1.0) for k in range(nodes)]
    whole = network(2 * nodes, rows, supply, *touching)
    large = solved(whole, lifted=lifted).after
    assert small.volts == pytest.approx(large.volts[:nodes], abs=1e-9)
    assert small.resistor_amps == pytest.approx(large.resistor_amps, abs=1e-9)
    assert small.floating.tolist() == large.floating[:nodes].tolist()
    same = small.island[:, None] == small.island[None, :]
    there = large.island[:nodes]
    assert (same == (there[:, None] == there[None, :])).all()
