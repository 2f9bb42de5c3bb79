"""Random networks with every kind of device mixed in: an answer in balance, or said to be none."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.circuit.kernel.circuit import Circuit
from core.circuit.kernel.solution import Solved, States
from core.circuit.network import Network
from core.circuit.positions import Position
from tests.core.circuit.balance import check
from tests.core.circuit.kernel.mixed import mixed

POSITIONS = (Position("off"), Position("run"), Position("start"), Position("running", ("lights",)))


def points(net: Network) -> list[tuple[Position, Solved]]:
    circuit = Circuit(net)
    states: States | None = None
    found = []
    for position in POSITIONS:
        solved = circuit.solve(position, states)
        states = solved.after.states
        found.append((position, solved))
    return found


def balanced(net: Network) -> int:
    """Every answer is in balance; how many there are none of."""
    none = 0
    for position, solved in points(net):
        for found in (solved.moment, solved.after):
            assert np.isfinite(found.island_volts).all()
            if found.unsolved:
                none += 1
                assert found.floating[1:].all()
            else:
                check(net, position, found)
        assert len(set(solved.opened)) == len(solved.opened)
        shares = dict(solved.after.overloaded)
        assert all(1 < share <= 1.35 * (1 + 1e-8) for share in shares.values())
    return none


@settings(max_examples=60)
@given(st.integers(0, 2**32), st.integers(3, 60), st.booleans())
def test_every_answer_is_in_balance(seed: int, nodes: int, wild: bool) -> None:
    balanced(mixed(seed, nodes, wild))


@settings(max_examples=4)
@given(st.integers(0, 2**32), st.integers(300, 2000))
def test_large_networks_are_in_balance(seed: int, nodes: int) -> None:
    balanced(mixed(seed, nodes, density=0.1))


def test_hardly_any_has_no_answer() -> None:
    assert sum(balanced(mixed(seed, 25)) for seed in range(60)) <= 4


@pytest.mark.parametrize("seed", range(5))
def test_the_same_twice(seed: int) -> None:
    net = mixed(seed, 40)
    for (_, one), (_, two) in zip(points(net), points(net), strict=True):
        assert np.array_equal(one.after.island_volts, two.after.island_volts)
        assert one.after.device_amps == two.after.device_amps
        assert one.opened == two.opened
