"""Every branch of a network, in one order: straight ones first, then curves; regulators apart."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from core.circuit.kernel.condense import Condensed
from core.circuit.kernel.curves import LEAST_OHMS, Curves
from core.circuit.kernel.islands import Islands
from core.circuit.kernel.matrix import Pattern, summed
from core.circuit.kernel.regulators import Regulators
from core.circuit.network import (
    Floats,
    Fuse,
    Gate,
    GatedSwitch,
    Ints,
    Load,
    Network,
    Regulator,
    Relay,
    Source,
)

KEYS = ("off", "accessory", "run", "start", "running")


class Gates:
    """The gates of some devices as arrays. A device without one counts as always on."""

    def __init__(self, gates: Sequence[Gate | None]) -> None:
        self.has = np.array([gate is not None for gate in gates], np.bool_)
        found = [gate or Gate(0, 0, -1.0, -1.0) for gate in gates]
        self.node = np.array([gate.node for gate in found], np.int64)
        self.reference = np.array([gate.reference for gate in found], np.int64)
        self.on_volts = np.array([gate.on_volts for gate in found])
        self.off_volts = np.array([gate.off_volts for gate in found])

    def move(self, place: Ints) -> None:
        """To other numbers of the nodes."""
        self.node, self.reference = place[self.node], place[self.reference]


class Table:
    """A network made ready: condensed, arrays by kind, and the pattern of its matrix."""

    def __init__(self, network: Network) -> None:
        self.network = network
        devices = network.devices
        self.sources = [d for d in devices if isinstance(d, Source) and d.limit_amps is None]
        self.fuses = [d for d in devices if isinstance(d, Fuse)]
        self.relays = [d for d in devices if isinstance(d, Relay)]
        self.switches = [d for d in devices if isinstance(d, GatedSwitch)]
        self.making = np.flatnonzero([d.make is not None for d in self.relays])
        self.resting = np.flatnonzero([d.rest is not None for d in self.relays])
        made = [self.relays[k] for k in self.making]
        rested = [self.relays[k] for k in self.resting]
        pairs = [
            *((d.plus, d.minus) for d in self.sources),
            *((d.a, d.b) for d in self.fuses),
            *((d.coil_plus, d.coil_minus) for d in self.relays),
            *((d.common, d.make or 0) for d in made),
            *((d.common, d.rest or 0) for d in rested),
            *((d.a, d.b) for d in self.switches),
        ]
        ohms = [
            *(max(d.ohms, LEAST_OHMS) for d in self.sources),
            *(d.ohms for d in self.fuses),
            *(d.coil_ohms for d in self.relays),
            *(d.contact_ohms for d in made),
            *(d.contact_ohms for d in rested),
            *(d.ohms for d in self.switches),
        ]
        nodes = np.array(pairs, np.int64).reshape(-1, 2)
        self.curves = curves = Curves(network)
        self.regulators = Regulators(network)
        loads: list[Load] = curves.loads
        regulators: list[Regulator] = self.regulators.devices
        self.gated: list[GatedSwitch | Load | Regulator] = [*self.switches, *loads, *regulators]
        self.gates = Gates([d.gate for d in self.gated])
        touched = np.zeros(network.nodes, np.bool_)
        for used in (
            nodes,
            curves.a,
            curves.b,
            self.regulators.nodes(),
            self.gates.node,
            self.gates.reference,
        ):
            touched[used] = True
        self.condensed = Condensed(network, touched)
        place = self.condensed.place
        self.nodes = len(self.condensed.kept)
        curves.move(place)
        self.regulators.move(place)
        self.gates.move(place)
        resistors = self.condensed.resistors
        sizes = (
            len(resistors.ohms),
            len(self.sources),
            len(self.fuses),
            len(self.relays),
            len(made),
            len(rested),
            len(self.switches),
        )
        ends = np.cumsum((0, *sizes))
        (
            self.resistor_at,
            self.source_at,
            self.fuse_at,
            self.coil_at,
            self.make_at,
            self.rest_at,
            self.switch_at,
        ) = (slice(int(ends[k]), int(ends[k + 1])) for k in range(len(sizes)))
        self.straight = int(ends[-1])
        self.a: Ints = np.concatenate((resistors.a, place[nodes[:, 0]], curves.a))
        self.b: Ints = np.concatenate((resistors.b, place[nodes[:, 1]], curves.b))
        self.siemens: Floats = 1 / np.concatenate((resistors.ohms, np.array(ohms, np.float64)))
        self.when: Ints = np.concatenate((resistors.when, np.full(self.straight - len(resistors.when), -1)))
        self.when[self.source_at] = [d.when for d in self.sources]
        self.when[self.switch_at] = [d.when for d in self.switches]
        self.gated_when = np.array([d.when for d in self.gated], np.int64)
        self.limited_when = np.array([d.when for d in self.curves.sources], np.int64)
        volts = [d.volts for d in self.sources]
        self.source_volts = np.array(volts, np.float64).reshape(-1, len(KEYS)).T
        limited = [d.volts for d in self.curves.sources]
        self.limited_volts = np.array(limited, np.float64).reshape(-1, len(KEYS)).T
        self.pull_in = np.array([d.pull_in_volts for d in self.relays])
        self.drop_out = np.array([d.drop_out_volts for d in self.relays])
        self.fuse_amps = np.array([d.amps for d in self.fuses])
        r = self.regulators
        self.islands = Islands(
            self.nodes,
            np.concatenate((self.a, r.input, r.output)),
            np.concatenate((self.b, r.common, r.common)),
        )
        self.pattern = Pattern(self.nodes, *self._places())
        self.ends = np.concatenate((self.a, self.b))

    def _places(self) -> tuple[Ints, Ints]:
        """Row and column of every value of the matrix: see `Table.values`."""
        a, b, three = self.a, self.b, self.regulators.nodes()
        rows = [a, b, a, b]
        columns = [a, b, b, a]
        for row in range(3):
            rows += [three[row]] * 3
            columns += list(three)
        return np.concatenate(rows), np.concatenate(columns)

    def values(self, siemens: Floats, slopes: Floats) -> Floats:
        """The values of the matrix in the pattern's order. `slopes`: see Holding.amps."""
        into, out = slopes
        turned = -siemens
        return np.concatenate(
            (siemens, siemens, turned, turned, into.ravel(), -out.ravel(), (out - into).ravel())
        )

    def sums(self, amps: Floats, into: Floats, out: Floats) -> Floats:
        """What leaves every node through its branches, in amps: zero in a balance."""
        nodes = self.nodes
        sums = summed(self.ends, np.concatenate((amps, -amps)), nodes)
        r = self.regulators
        if r.count:
            sums += summed(r.input, into, nodes) - summed(r.output, out, nodes)
            sums += summed(r.common, out - into, nodes)
        return sums
