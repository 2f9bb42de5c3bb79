"""What a meter should show: the circuit with the meter in it, worked out anew."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from core.circuit.at_rest import AtRest, Rows, rows_of, with_ohms, with_row
from core.circuit.conducting import Conducting
from core.circuit.flows import LEAST_AMPS, Flow, flows
from core.circuit.kernel.circuit import Circuit
from core.circuit.kernel.solution import Solution, Solved, States
from core.circuit.network import Lamp, Load, Network
from core.circuit.places import Places
from core.circuit.positions import Position
from core.circuit.probe import (
    AIRBAG,
    FLOATING,
    NO_CONDUCTOR,
    NOT_THERE,
    NOTHING_LIFTED,
    UNSOLVED,
    MeterShows,
    Probe,
)
from core.ids import kind_of, owner_of_end
from core.job import internals as kinds

NONE: Rows = frozenset()
Ohms = Mapping[int, float]
"""More ohms in rows of a network than the job says."""
AS_IT_IS: Ohms = {}
NUDGE_OHMS, NUDGE_SERIES_OHMS = 100_000.0, 0.01
"""A meter that draws a little more than it should, on volts and on amps."""
FELT_SHARE = 0.02


class Chain:
    """The balances of one circuit, each position starting with the states of the one before it."""

    def __init__(self, network: Network, lifted: Rows = NONE) -> None:
        self.network = network
        self.lifted = lifted
        self._solved: dict[Position, Solved] = {}

    @cached_property
    def circuit(self) -> Circuit:
        return Circuit(self.network)

    def start(self, position: Position) -> States | None:
        """The states that a position starts with."""
        before = position.before
        return None if before is None else self.solved(before).after.states

    def solved(self, position: Position) -> Solved:
        """The balance of a position; those on the way to it are worked out first."""
        known = self._solved.get(position)
        if known is None:
            before = position.before
            near = None if before is None else self.solved(before).rest
            known = self.circuit.solve(position, self.start(position), self.lifted, near)
            self._solved[position] = known
        return known


@dataclass(frozen=True, slots=True)
class Held:
    """The circuit with the meter in it, and its balance. `row`: what the meter is, or looks at; `sign`: 1
    where amps count from red to black, else -1. `lifted`: the rows that are open.
    """

    network: Network
    solution: Solution
    row: int
    sign: int
    lifted: Rows


class Meter:
    """Holds a meter to the circuit of one plan. `main` is the chain of that circuit as it is."""

    def __init__(self, places: Places, main: Chain) -> None:
        self._places = places
        self._chains: dict[tuple[Rows, bool], Chain] = {(NONE, True): main}
        self._at_rest = AtRest(places)
        self._conducting: dict[Position, Conducting] = {}

    def shows(self, probe: Probe, position: Position, added_ohms: Ohms = AS_IT_IS) -> MeterShows:
        """What the meter shows. `added_ohms`: more of them in rows of the network than the job says."""
        for point in (probe.red, probe.black):
            if self._places.hidden(point):
                return MeterShows(None, AIRBAG)
            if not self._places.exists(point):
                return MeterShows(None, NOT_THERE)
        lifted = self._lifted(probe)
        if lifted is None:
            return MeterShows(None, NOTHING_LIFTED)
        red, black = self._tips(probe)
        if probe.quantity == "ohms":
            chain = self._chain(lifted, probe.loaded)
            network = with_ohms(chain.network, added_ohms)
            return self._at_rest.shows(network, chain.lifted, red, black, position)
        if probe.quantity == "volts" and not lifted and probe.loaded and not added_ohms:
            stiff = self._between_stiff(red, black, position)
            if stiff is not None:
                return MeterShows(stiff)
        held = self._held(probe, position, lifted, added_ohms)
        if isinstance(held, str):
            return MeterShows(None, held)
        solution = held.solution
        if solution.unsolved:
            return MeterShows(None, UNSOLVED)
        if probe.quantity == "amps":
            return MeterShows(held.sign * float(solution.resistor_amps[held.row]))
        return MeterShows(float(solution.island_volts[red] - solution.island_volts[black]))

    def way(self, probe: Probe, position: Position) -> tuple[list[Flow], frozenset[int]]:
        """The resistances that the reading hangs on, with their amps, and the nodes at which its way parts.
        Only where the meter shows something.

        The meter is made to draw a little more: where a share of that flows, more ohms would be felt.
        """
        lifted = self._lifted(probe) or NONE
        red, black = self._tips(probe)
        if red == black:
            return [], NONE
        if probe.quantity == "ohms":
            chain = self._chain(lifted, probe.loaded)
            return self._at_rest.way(chain.network, chain.lifted, red, black, position), NONE
        held = self._held(probe, position, lifted, AS_IT_IS)
        if isinstance(held, str):
            return [], NONE
        resistors = held.network.resistors
        if probe.quantity == "volts":
            nudged = with_ohms(held.network, {held.row: NUDGE_OHMS - float(resistors.ohms[held.row])})
            apart = frozenset((red, black))
        else:
            nudged, apart = with_ohms(held.network, {held.row: NUDGE_SERIES_OHMS}), NONE
        after = Circuit(nudged).solve(position, held.solution.states, held.lifted).after
        moved = np.abs(after.resistor_amps - held.solution.resistor_amps)
        felt = moved >= FELT_SHARE * max(float(moved[held.row]), LEAST_AMPS)
        felt[len(self._places.plan.network.resistors.ohms) :] = False
        return list(flows(held.network, held.solution, np.flatnonzero(felt))), apart

    def _between_stiff(self, red: int, black: int, position: Position) -> float | None:
        """Volts between points that are both joined to a pole or to the body by nothing but wire: what a
        meter of 10 Mohm draws there changes less than it shows. None where one of them is not.
        """
        chain = self._chain(NONE, True)
        solution = chain.solved(position).after
        if solution.unsolved or solution.chatter:
            return None
        known = self._conducting.get(position)
        if known is None:
            known = Conducting(chain.network, position, solution, self._places.wiring)
            self._conducting[position] = known
        label = known.label
        stiff = {int(label[node]) for node in self._places.poles}
        if not stiff.issuperset((int(label[red]), int(label[black]))):
            return None
        if solution.island[red] != solution.island[black]:
            return None
        return float(solution.island_volts[red] - solution.island_volts[black])

    # -- the circuit with the meter in it --------------------------------------------------------

    def _held(self, probe: Probe, position: Position, lifted: Rows, added: Ohms) -> Held | str:
        """The meter held to its points; words where nothing is to be read."""
        red, black = self._tips(probe)
        in_series = probe.quantity == "amps"
        chain = self._chain(NONE if in_series else lifted, probe.loaded)
        alone = chain.solved(position).after
        if alone.unsolved:
            return UNSOLVED
        network, opened, sign = with_ohms(chain.network, added), chain.lifted, 1
        row = len(network.resistors.ohms)
        if in_series and not lifted:
            found = self._between(probe)
            if found is None:
                return NO_CONDUCTOR
            row, sign = found
            if not added:
                return Held(network, alone, row, sign, opened)
        elif red == black:
            if in_series:
                return NO_CONDUCTOR
            return Held(network, alone, 0, 1, opened)
        elif in_series:
            # The meter stands in series with what was lifted, whose own ohms stay.
            (gone,) = lifted
            network = with_row(network, red, black, float(network.resistors.ohms[gone]))
            opened |= lifted
        elif alone.island[red] != alone.island[black]:
            return FLOATING
        else:
            network = with_row(network, red, black, self._places.limits["meter_ohms"])
        start = chain.start(position) if added else alone.states
        return Held(network, Circuit(network).solve(position, start, opened).after, row, sign, opened)

    def _lifted(self, probe: Probe) -> Rows | None:
        """The rows that a probe's lifted end opens; None where there is nothing to lift."""
        if probe.lifted is None:
            return NONE
        row = self._places.lifted_row(probe.lifted)
        return None if row is None else frozenset((row,))

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

    def _chain(self, lifted: Rows, loaded: bool) -> Chain:
        key = (lifted, loaded)
        chain = self._chains.get(key)
        if chain is None:
            network = self._places.plan.network if loaded else self._unplugged
            chain = self._chains[key] = Chain(network, lifted if loaded else lifted | self._load_rows)
        return chain

    @cached_property
    def _unplugged(self) -> Network:
        """Without the loads and lamps of the equipment."""
        network = self._places.plan.network
        kept = (d for d in network.devices if not (isinstance(d, Load | Lamp) and self._equipment(d.name)))
        return replace(network, devices=tuple(kept))

    @cached_property
    def _load_rows(self) -> Rows:
        return rows_of(self._places, lambda name, it: isinstance(it, kinds.Load) and self._equipment(name))

    def _equipment(self, name: str) -> bool:
        known = self._places.plan.devices.get(name)
        return known is not None and self._places.job.parts[known[0]].state != "on the car"
