"""What a meter should show: the circuit with the meter in it, worked out anew."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cached_property

import numpy as np

from core.circuit.kernel.circuit import Circuit
from core.circuit.kernel.solution import Solution, Solved, States
from core.circuit.network import ALWAYS, GatedSwitch, Lamp, Load, Network, Resistors
from core.circuit.places import Places
from core.circuit.positions import Position
from core.circuit.probe import (
    AIRBAG,
    FLOATING,
    NO_CONDUCTOR,
    NOT_STATED,
    NOT_THERE,
    NOTHING_LIFTED,
    OPEN,
    UNSOLVED,
    MeterShows,
    Probe,
)
from core.ids import kind_of, owner_of_end
from core.job import internals as kinds
from core.job.document import Job
from core.job.internals import Internal

Rows = frozenset[int]
NONE: Rows = frozenset()
SWITCHES = (kinds.SwitchContact, kinds.SwitchToGround)


class Chain:
    """The balances of one circuit, each position starting with the states of the one before it."""

    def __init__(self, network: Network, lifted: Rows = NONE) -> None:
        self.network = network
        self.lifted = lifted
        self._solved: dict[Position, Solved] = {}

    @cached_property
    def circuit(self) -> Circuit:
        return Circuit(self.network)

    def solved(self, position: Position) -> Solved:
        """The balance of a position; those on the way to it are worked out first."""
        known = self._solved.get(position)
        if known is None:
            before = position.before
            start = None if before is None else self.solved(before).after.states
            known = self.circuit.solve(position, start, self.lifted)
            self._solved[position] = known
        return known


class Meter:
    """Holds a meter to the circuit of one plan. `main` is the chain of that circuit as it is."""

    def __init__(self, places: Places, main: Chain) -> None:
        self._places = places
        self._chains: dict[tuple[Rows, bool], Chain] = {(NONE, True): main}

    def shows(
        self, probe: Probe, position: Position, added_ohms: Mapping[int, float] | None = None
    ) -> MeterShows:
        """What the meter shows. `added_ohms`: more ohms in rows of the network than the job says."""
        for point in (probe.red, probe.black):
            if self._places.hidden(point):
                return MeterShows(None, AIRBAG)
            if not self._places.exists(point):
                return MeterShows(None, NOT_THERE)
        lifted = NONE
        if probe.lifted is not None:
            row = self._places.lifted_row(probe.lifted)
            if row is None:
                return MeterShows(None, NOTHING_LIFTED)
            lifted = frozenset((row,))
        match probe.quantity:
            case "volts":
                return self._volts(probe, position, lifted, added_ohms)
            case "ohms":
                return self._ohms(probe, position, lifted, added_ohms)
            case _:
                return self._amps(probe, position, lifted, added_ohms)

    # -- volts, ohms, amps -----------------------------------------------------------------------

    def _volts(
        self, probe: Probe, position: Position, lifted: Rows, added: Mapping[int, float] | None
    ) -> MeterShows:
        red, black = self._tips(probe)
        chain = self._chain(lifted, probe.loaded, added)
        alone = chain.solved(position).after
        if alone.unsolved:
            return MeterShows(None, UNSOLVED)
        if alone.island[red] != alone.island[black]:
            return MeterShows(None, FLOATING)
        if red == black:
            return MeterShows(0.0)
        ohms = self._places.library.limits["meter_ohms"]
        metered = _solve(with_row(chain.network, red, black, ohms), position, alone.states, chain.lifted)
        if metered.unsolved:
            return MeterShows(None, UNSOLVED)
        return MeterShows(float(metered.island_volts[red] - metered.island_volts[black]))

    def _amps(
        self, probe: Probe, position: Position, lifted: Rows, added: Mapping[int, float] | None
    ) -> MeterShows:
        chain = self._chain(NONE, probe.loaded, added)
        alone = chain.solved(position).after
        if alone.unsolved:
            return MeterShows(None, UNSOLVED)
        if not lifted:
            found = self._between(probe)
            if found is None:
                return MeterShows(None, NO_CONDUCTOR)
            row, sign = found
            return MeterShows(sign * float(alone.resistor_amps[row]))
        red, black = self._tips(probe)
        if red == black:
            return MeterShows(None, NO_CONDUCTOR)
        # The meter stands in series with what was lifted, whose own ohms stay.
        (row,) = lifted
        ohms = float(chain.network.resistors.ohms[row])
        network = with_row(chain.network, red, black, ohms)
        metered = _solve(network, position, alone.states, chain.lifted | lifted)
        if metered.unsolved:
            return MeterShows(None, UNSOLVED)
        return MeterShows(float(metered.resistor_amps[-1]))

    def _ohms(
        self, probe: Probe, position: Position, lifted: Rows, added: Mapping[int, float] | None
    ) -> MeterShows:
        red, black = self._tips(probe)
        chain = self._chain(lifted, probe.loaded, added)
        network = self._at_rest(chain.network)
        stated = Circuit(self._stated(network))
        known = stated.ohms(red, black, position, chain.lifted | self._not_stated)
        if known is not None:
            return MeterShows(known)
        guessed = Circuit(network).ohms(red, black, position, chain.lifted)
        return MeterShows(None, OPEN if guessed is None else NOT_STATED)

    def _tips(self, probe: Probe) -> tuple[int, int]:
        red = self._places.meter_node(probe.red, probe.lifted)
        black = self._places.meter_node(probe.black, probe.lifted)
        assert red is not None
        assert black is not None
        return red, black

    def _between(self, probe: Probe) -> tuple[int, int] | None:
        """The one conductor between the two points, and 1 where red is at the end it counts from."""
        red, black = probe.red, probe.black
        if kind_of(red) == kind_of(black) == "wire end" and owner_of_end(red) == owner_of_end(black):
            row = self._places.row(owner_of_end(red))
            return None if row is None else (row, 1 if red.endswith("a") else -1)
        tips = self._tips(probe)
        resistors = self._places.plan.network.resistors
        found = [
            (row, 1 if resistors.a[row] == tips[0] else -1)
            for row in self._places.names
            if tips in ((resistors.a[row], resistors.b[row]), (resistors.b[row], resistors.a[row]))
        ]
        return found[0] if len(found) == 1 else None

    # -- circuits --------------------------------------------------------------------------------

    def _chain(self, lifted: Rows, loaded: bool, added: Mapping[int, float] | None) -> Chain:
        key = (lifted, loaded)
        chain = self._chains.get(key)
        if chain is None:
            network = self._places.plan.network if loaded else self._unplugged
            chain = self._chains[key] = Chain(network, lifted if loaded else lifted | self._load_rows)
        if not added:
            return chain
        return Chain(with_ohms(chain.network, added), chain.lifted)

    @cached_property
    def _unplugged(self) -> Network:
        """Without the loads and lamps of the equipment."""
        network = self._places.plan.network
        kept = (d for d in network.devices if not (isinstance(d, Load | Lamp) and self._equipment(d.name)))
        return replace(network, devices=tuple(kept))

    @cached_property
    def _load_rows(self) -> Rows:
        return self._rows_of(lambda name, it: isinstance(it, kinds.Load) and self._equipment(name))

    @cached_property
    def _not_stated(self) -> Rows:
        """The rows of which nobody knows the ohms: loads that are off, what else hangs on a feed."""
        return self._rows_of(
            lambda _, it: isinstance(it, kinds.Feed) or (isinstance(it, kinds.Load) and not it.idle_amps)
        )

    def _stated(self, network: Network) -> Network:
        """The network with loads of which nobody knows what they are while off left out then."""
        devices = self._places.plan.devices
        known = (
            replace(d, idle_ohms=None)
            if isinstance(d, Load) and not getattr(devices[d.name][1], "idle_amps", None)
            else d
            for d in network.devices
        )
        return replace(network, devices=tuple(known))

    def _at_rest(self, network: Network) -> Network:
        """With the car's and the job's own switches as resistances: they conduct without power too."""
        devices = self._places.plan.devices
        for device in network.devices:
            if isinstance(device, GatedSwitch) and isinstance(devices[device.name][1], SWITCHES):
                network = with_row(network, device.a, device.b, device.ohms, device.when)
        return network

    def _rows_of(self, wanted: Callable[[str, Internal], bool]) -> Rows:
        devices = self._places.plan.devices
        return frozenset(
            row
            for row, name in self._places.plan.names.items()
            if isinstance(name, str) and name in devices and wanted(name, devices[name][1])
        )

    def _equipment(self, name: str) -> bool:
        known = self._places.plan.devices.get(name)
        job: Job = self._places.job
        return known is not None and job.parts[known[0]].state != "on the car"


def _solve(network: Network, position: Position, start: States, lifted: Rows) -> Solution:
    return Circuit(network).solve(position, start, lifted).after


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
