"""What conducts in one balance like a piece of wire: the ways on which nothing limits the amps.

Conductors and contacts always do; a resistance inside a part where it is small; fuses, contacts and outputs
while they are closed; a diode while it conducts.
"""

from __future__ import annotations

import heapq
from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import connected_components

from core.circuit.kernel.solution import Solution, States
from core.circuit.network import ALWAYS, Device, Diode, Fuse, GatedSwitch, Ints, Network, Relay
from core.circuit.positions import Position

SMALL_OHMS = 1.0
"""A resistance up to this limits nothing in a car: what is fed through it alone is shorted (assumed)."""


@dataclass(frozen=True, slots=True)
class Branch:
    """One way between two nodes; `amps` from a to b. `row` of the network's resistors, or a device's name."""

    a: int
    b: int
    ohms: float
    amps: float
    row: int = -1
    name: str = ""


def rows_on(network: Network, position: Position) -> npt.NDArray[np.bool_]:
    """Which resistors are there in a position."""
    if not network.conditions:
        return np.ones(len(network.resistors.ohms), np.bool_)
    holds = np.array([*(position.has(live) for live in network.conditions), True])
    return np.asarray(holds[network.resistors.when], np.bool_)  # ALWAYS, -1, is the last


def there(device: Device, position: Position, network: Network) -> bool:
    """Whether a device is there in a position, whatever its state."""
    when = getattr(device, "when", ALWAYS)
    return when == ALWAYS or position.has(network.conditions[when])


def closed(device: Device, states: States) -> tuple[int, int, float] | None:
    """The two nodes that a device joins as it stands, and its ohms; None where it joins none. What is on
    behind many ohms, such as a pull-up, joins nothing.
    """
    state = states.get(device.name, "")
    match device:
        case Fuse() if state != "open":
            return device.a, device.b, device.ohms
        case GatedSwitch() if state == "on" and device.ohms <= SMALL_OHMS:
            return device.a, device.b, device.ohms
        case Diode() if state == "on":
            return device.anode, device.cathode, device.ohms
        case Relay():
            contact = device.make if state == "pulled" else device.rest
            return None if contact is None else (device.common, contact, device.contact_ohms)
        case _:
            return None


class Conducting:
    """The ways of one balance. `wiring`: which resistors are conductors and contacts, whatever their ohms."""

    def __init__(
        self, network: Network, position: Position, solution: Solution, wiring: npt.NDArray[np.bool_]
    ) -> None:
        self.network = network
        self.solution = solution
        small = wiring | (network.resistors.ohms <= SMALL_OHMS)
        self.rows: Ints = np.flatnonzero(small & rows_on(network, position))
        self.ways = [
            (device, way)
            for device in network.devices
            if there(device, position, network) and (way := closed(device, solution.states)) is not None
        ]
        resistors = network.resistors
        a = np.concatenate([resistors.a[self.rows], np.array([way[0] for _, way in self.ways], np.int64)])
        b = np.concatenate([resistors.b[self.rows], np.array([way[1] for _, way in self.ways], np.int64)])
        ones = np.ones(len(a), np.int8)
        graph = csr_matrix((ones, (a, b)), (network.nodes, network.nodes))
        self.label: Ints = connected_components(graph, directed=False)[1].astype(np.int64)

    def joined(self, a: int, b: int) -> bool:
        """Whether such ways lead from one node to another."""
        return bool(self.label[a] == self.label[b])

    def of(self, node: int) -> dict[int, list[Branch]]:
        """The ways about everything that is joined to a node, by node."""
        found: dict[int, list[Branch]] = {}
        resistors, amps = self.network.resistors, self.solution.resistor_amps
        label = self.label[node]
        for row in self.rows[self.label[resistors.a[self.rows]] == label].tolist():
            branch = Branch(
                int(resistors.a[row]),
                int(resistors.b[row]),
                float(resistors.ohms[row]),
                float(amps[row]),
                row,
            )
            found.setdefault(branch.a, []).append(branch)
            found.setdefault(branch.b, []).append(branch)
        for device, (a, b, ohms) in self.ways:
            if self.label[a] == label:
                flows = self.solution.device_amps.get(device.name, 0.0)
                branch = Branch(a, b, ohms, flows, name=device.name)
                found.setdefault(a, []).append(branch)
                found.setdefault(b, []).append(branch)
        return found


def shortest(
    ways: Mapping[int, list[Branch]], start: int, goal: int, without: Container[Branch] = ()
) -> list[Branch]:
    """The ways of least ohms from one node to another, in order; empty where none leads there."""
    best: dict[int, float] = {start: 0.0}
    came: dict[int, tuple[int, Branch]] = {}
    queue = [(0.0, start)]
    while queue:
        far, node = heapq.heappop(queue)
        if node == goal:
            return list(_back(came, start, goal))[::-1]
        if far > best[node]:
            continue
        for branch in ways.get(node, ()):
            other = branch.b if branch.a == node else branch.a
            further = far + branch.ohms
            if branch not in without and further < best.get(other, np.inf):
                best[other] = further
                came[other] = (node, branch)
                heapq.heappush(queue, (further, other))
    return []


def _back(came: Mapping[int, tuple[int, Branch]], start: int, goal: int) -> Iterator[Branch]:
    node = goal
    while node != start:
        node, branch = came[node]
        yield branch
