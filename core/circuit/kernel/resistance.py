"""Ohms with the power off, as a meter of 0.5 V sees them."""

from __future__ import annotations

import numpy as np

from core.circuit.kernel.islands import islands, pins
from core.circuit.kernel.matrix import Pattern, summed
from core.circuit.network import Floats, Fuse, Ints, Lamp, Load, Network, Relay
from core.circuit.positions import Position

METER_VOLTS = 0.5


class Meter:
    """A network at rest: no source, diodes below their drop, lamps cold, loads by their idle ohms, relays at
    rest, fuses whole, switched outputs and regulators open.
    """

    def __init__(self, network: Network) -> None:
        found: list[tuple[int, int, float]] = []
        for device in network.devices:
            match device:
                case Fuse():
                    found.append((device.a, device.b, device.ohms))
                case Lamp():
                    hot_ohms = device.volts**2 / device.watts
                    found.append((device.a, device.b, min(device.cold_ohms, hot_ohms)))
                case Load() if device.idle_ohms is not None:
                    found.append((device.plus, device.minus, device.idle_ohms))
                case Relay():
                    found.append((device.coil_plus, device.coil_minus, device.coil_ohms))
                    if device.rest is not None:
                        found.append((device.common, device.rest, device.contact_ohms))
        resistors = network.resistors
        ends = np.array([(a, b) for a, b, _ in found], np.int64).reshape(-1, 2)
        self._nodes = network.nodes
        self._conditions = network.conditions
        self._rows = len(resistors.ohms)
        self._a: Ints = np.concatenate((resistors.a, ends[:, 0]))
        self._b: Ints = np.concatenate((resistors.b, ends[:, 1]))
        self._siemens: Floats = 1 / np.concatenate((resistors.ohms, np.array([o for _, _, o in found])))
        self._when = np.concatenate((resistors.when, np.full(len(found), -1)))
        a, b = self._a, self._b
        self._pattern = Pattern(self._nodes, np.concatenate((a, b, a, b)), np.concatenate((a, b, b, a)))

    def ohms(self, a: int, b: int, position: Position, lifted: frozenset[int]) -> float | None:
        """Ohms from a to b; None where nothing joins them."""
        if a == b:
            return 0.0
        on = np.array([*(position.has(live) for live in self._conditions), True], np.bool_)[self._when]
        on[list(lifted)] = False
        label = islands(self._nodes, self._a[on], self._b[on])
        if label[a] != label[b]:
            return None
        siemens = np.where(on, self._siemens, 0.0)
        solve = self._pattern.factor(np.concatenate((siemens, siemens, -siemens, -siemens)), pins(label))
        if solve is None:
            return None
        wanted = np.zeros(self._nodes)
        wanted[a], wanted[b] = 1.0, -1.0
        volts = solve(wanted)
        # once more with what is missing: a wire's milliohms beside megohms
        amps = siemens * (volts[self._a] - volts[self._b])
        flows = summed(self._a, amps, self._nodes) - summed(self._b, amps, self._nodes)
        volts += solve(wanted - flows)
        return float(volts[a] - volts[b])
