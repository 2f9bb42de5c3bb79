"""Ohms with the power off: what conducts then, and what nobody stated."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cached_property

import numpy as np

from core.circuit.conducting import Branch, rows_on, shortest
from core.circuit.flows import Flow
from core.circuit.kernel.circuit import Circuit
from core.circuit.network import ALWAYS, Fuse, GatedSwitch, Lamp, Load, Network, Relay, Resistors
from core.circuit.places import Places
from core.circuit.positions import Position
from core.circuit.probe import NOT_STATED, OPEN, MeterShows
from core.job import internals as kinds
from core.job.internals import Internal

Rows = frozenset[int]
SWITCHES = (kinds.SwitchContact, kinds.SwitchToGround)


class AtRest:
    """The circuit of one plan with the power off."""

    def __init__(self, places: Places) -> None:
        self._places = places

    def shows(self, network: Network, lifted: Rows, red: int, black: int, position: Position) -> MeterShows:
        """The ohms of what is stated; `not stated` where only what nobody stated lies between."""
        whole = self._switched(network)
        known = self._stated(whole)
        ohms = Circuit(known).ohms(red, black, position, lifted | self._not_stated)
        if ohms is not None:
            return MeterShows(ohms)
        guessed = Circuit(whole).ohms(red, black, position, lifted)
        return MeterShows(None, OPEN if guessed is None else NOT_STATED)

    def way(self, network: Network, lifted: Rows, red: int, black: int, position: Position) -> list[Flow]:
        """The way of least ohms from red to black, as flows of 1 A."""
        known = self._stated(self._switched(network))
        ways: dict[int, list[Branch]] = {}
        resistors, gone = known.resistors, lifted | self._not_stated
        for row in np.flatnonzero(rows_on(known, position)).tolist():
            if row not in gone:
                a, b = int(resistors.a[row]), int(resistors.b[row])
                _put(ways, Branch(a, b, float(resistors.ohms[row]), 0.0, row))
        for device in known.devices:
            match device:
                case Fuse():
                    _put(ways, Branch(device.a, device.b, device.ohms, 0.0, name=device.name))
                case Lamp():
                    _put(ways, Branch(device.a, device.b, device.cold_ohms, 0.0, name=device.name))
                case Load() if device.idle_ohms is not None:
                    _put(ways, Branch(device.plus, device.minus, device.idle_ohms, 0.0, name=device.name))
                case Relay():
                    coil = (device.coil_plus, device.coil_minus, device.coil_ohms)
                    _put(ways, Branch(*coil, 0.0, name=f"{device.name} coil"))
                    if device.rest is not None:
                        contact = (device.common, device.rest, device.contact_ohms)
                        _put(ways, Branch(*contact, 0.0, name=device.name))
        node = red
        found = []
        for branch in shortest(ways, red, black):
            onward = branch.a == node
            after = branch.b if onward else branch.a
            found.append(Flow(node, after, 1.0, branch.row, onward))
            node = after
        return found

    @cached_property
    def _not_stated(self) -> Rows:
        """The rows of which nobody knows the ohms: loads that are off, what else hangs on a feed."""
        return rows_of(
            self._places,
            lambda _, it: isinstance(it, kinds.Feed) or (isinstance(it, kinds.Load) and not it.idle_amps),
        )

    def _stated(self, network: Network) -> Network:
        """Without the loads of which nobody knows what they are while they are off."""
        devices = self._places.plan.devices

        def known(load: Load) -> bool:
            internal = devices[load.name][1]
            return isinstance(internal, kinds.Load) and bool(internal.idle_amps)

        kept = (
            replace(d, idle_ohms=None) if isinstance(d, Load) and not known(d) else d for d in network.devices
        )
        return replace(network, devices=tuple(kept))

    def _switched(self, network: Network) -> Network:
        """With the car's and the job's own switches as resistances: they conduct without power too."""
        devices = self._places.plan.devices
        for device in network.devices:
            if isinstance(device, GatedSwitch) and isinstance(devices[device.name][1], SWITCHES):
                network = with_row(network, device.a, device.b, device.ohms, device.when)
        return network


def _put(ways: dict[int, list[Branch]], branch: Branch) -> None:
    ways.setdefault(branch.a, []).append(branch)
    ways.setdefault(branch.b, []).append(branch)


def rows_of(places: Places, wanted: Callable[[str, Internal], bool]) -> Rows:
    """The rows of devices that are plain resistances, by the device's name and what it is."""
    devices = places.plan.devices
    return frozenset(
        row
        for row, name in places.plan.names.items()
        if isinstance(name, str) and name in devices and wanted(name, devices[name][1])
    )


def with_row(network: Network, a: int, b: int, ohms: float, when: int = ALWAYS) -> Network:
    """A network with one more resistance, its last."""
    old = network.resistors
    return replace(
        network,
        resistors=Resistors(
            np.append(old.a, a), np.append(old.b, b), np.append(old.ohms, ohms), np.append(old.when, when)
        ),
    )


def with_ohms(network: Network, added: Mapping[int, float]) -> Network:
    """A network with more ohms in some of its resistances."""
    ohms = network.resistors.ohms.copy()
    for row, more in added.items():
        ohms[row] += more
    return replace(network, resistors=replace(network.resistors, ohms=ohms))
