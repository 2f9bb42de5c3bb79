"""A position that begins where another came to rest, beside the same from nothing."""

from __future__ import annotations

import numpy as np

from core.circuit.kernel.circuit import Circuit
from core.circuit.kernel.solution import Rest, Solved, States
from core.circuit.network import Network
from core.circuit.positions import Position
from tests.core.circuit.kernel.mixed import mixed

POSITIONS = (
    Position("off"),
    Position("run"),
    Position("start"),
    Position("running"),
    Position("running", ("lights",)),
)


def chain(net: Network, *, near: bool) -> list[Solved]:
    circuit = Circuit(net)
    states: States | None = None
    rest: Rest | None = None
    found = []
    for position in POSITIONS:
        solved = circuit.solve(position, states, near=rest)
        states, rest = solved.after.states, solved.rest if near else None
        found.append(solved)
    return found


def apart(one: Solved, two: Solved) -> bool:
    """Whether two answers differ by more than rounding."""
    a, b = one.after, two.after
    both = ~(a.floating | b.floating)
    close = np.allclose(a.volts[both], b.volts[both], rtol=1e-7, atol=1e-6)
    return not close or one.opened != two.opened or a.chatter != b.chatter


def test_it_comes_to_the_same_balance() -> None:
    """Hardly any of a few hundred: loads that hold or fall by a hair, converters that feed each other."""
    differ = 0
    for seed in range(60):
        net = mixed(seed, 40)
        pairs = zip(chain(net, near=False), chain(net, near=True), strict=True)
        differ += any(apart(one, two) for one, two in pairs)
    assert differ <= 1
