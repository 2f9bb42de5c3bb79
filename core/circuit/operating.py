"""The operating point of a job in one position, asked by the ids of the job."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

import numpy as np

from core.circuit.conducting import Conducting
from core.circuit.kernel.solution import CannotHold, Solution
from core.circuit.network import Floats, Network
from core.circuit.places import Places
from core.circuit.positions import DEAD_FRACTION, Position
from core.circuit.shorts import Short, shorts
from core.job.internals import Internal

State = Literal["driven", "ground", "floating"]


@dataclass(frozen=True, slots=True)
class Burning:
    """A conductor with more amps than it carries for good."""

    ref: str
    amps: float
    bears_amps: float


@dataclass(frozen=True, eq=False)
class OperatingPoint:
    """Volts, amps and watts in one position; volts are to the minus of the car's battery.

    `reached_from`: the position whose states it started with. `opened`: the fuses that opened, in order;
    `moment` is the balance before they did, this one where none did. `full`: where a feed is pulsed, the same
    position at the feeds' full volts; else this one.
    """

    position: Position
    reached_from: str | None
    places: Places = field(repr=False)
    network: Network = field(repr=False)
    solution: Solution = field(repr=False)
    opened: tuple[str, ...] = ()
    before: Solution | None = field(default=None, repr=False)
    twin: OperatingPoint | None = field(default=None, repr=False)

    # -- places ----------------------------------------------------------------------------------

    def volts(self, ref: str) -> float | None:
        """At a terminal, joint, wire end, pole or the body. None where it floats, and in airbag circuits."""
        node = self.places.node(ref)
        if node is None or self.solution.floating[node]:
            return None
        return float(self.solution.volts[node])

    @property
    def body_volts(self) -> float:
        """The body's; 0.0 where nothing ties it to the battery."""
        return float(self.solution.volts[self.network.ground])

    def state(self, ref: str) -> State | None:
        """`ground`: joined to the body, or to the pole that the body is on, by nothing but wire, and not
        live. `floating`: tied to nothing. None where there is no such place, and in airbag circuits.
        """
        node = self.places.node(ref)
        if node is None:
            return None
        if self.solution.floating[node]:
            return "floating"
        return "ground" if self._grounded(node) else "driven"

    def _grounded(self, node: int) -> bool:
        dead = DEAD_FRACTION * self.places.job.settings.system_volts
        volts = self.solution.volts
        return any(
            self.conducting.joined(node, ground) and abs(volts[node] - volts[ground]) < dead
            for ground in self.places.grounds
        )

    @cached_property
    def conducting(self) -> Conducting:
        """What conducts like wire as things stand."""
        return Conducting(self.network, self.position, self.solution, self.places.wiring)

    # -- conductors ------------------------------------------------------------------------------

    def amps(self, ref: str) -> float | None:
        """Of a wire or conductor from its end a to its end b, of a terminal's lead from the cavity to the
        joint. None where there is none, where both ends are one node, and in airbag circuits.
        """
        row = self.places.row(ref)
        return None if row is None else float(self.solution.resistor_amps[row])

    def drop_volts(self, ref: str) -> float | None:
        """What a wire, conductor or lead loses, with the sign of its amps."""
        row = self.places.row(ref)
        if row is None:
            return None
        return float(self.solution.resistor_amps[row] * self.network.resistors.ohms[row])

    def contact_amps(self, terminal: str) -> float | None:
        """Through a terminal's mated contact, from it to the other half's."""
        found = self.places.contact(terminal)
        if found is None:
            return None
        row, sign = found
        return sign * float(self.solution.resistor_amps[row])

    @cached_property
    def burning(self) -> tuple[Burning, ...]:
        """The wires, conductors and leads with more amps than they carry for good, the worst first."""
        amps, bears = np.abs(self.solution.resistor_amps), self.places.bears
        share: Floats = amps / bears
        worst = sorted(np.flatnonzero(share > 1.0).tolist(), key=lambda row: -share[row])
        return tuple(Burning(self.places.names[row][0], float(amps[row]), float(bears[row])) for row in worst)

    # -- devices ---------------------------------------------------------------------------------

    def device(self, name: str) -> Internal | None:
        """What a device is, where it is an internal of a part."""
        known = self.places.plan.devices.get(name)
        return known[1] if known else None

    def device_amps(self, name: str) -> float | None:
        """Through a device, as its kind counts them; a relay's coil is NAME coil."""
        found = self.solution.device_amps.get(name)
        row = self.places.plan.rows.get(name) if found is None else None
        return found if row is None else float(self.solution.resistor_amps[row])

    def part_watts(self, tag: str) -> float:
        """What a part takes; what it gives is counted below 0."""
        return self._part_watts.get(tag, 0.0)

    @cached_property
    def _part_watts(self) -> Mapping[str, float]:
        plan, found = self.places.plan, dict[str, float]()
        for name, watts in self.solution.watts.items():
            known = plan.devices.get(name.partition(" ")[0])
            if known is not None:
                found[known[0]] = found.get(known[0], 0.0) + watts
        heat = self.solution.resistor_amps**2 * self.network.resistors.ohms
        for tag, row in plan.plain:
            found[tag] = found.get(tag, 0.0) + float(heat[row])
        return found

    # -- the whole -------------------------------------------------------------------------------

    @cached_property
    def moment(self) -> OperatingPoint:
        """The balance before any fuse opened; itself where none did."""
        if self.before is None:
            return self
        return OperatingPoint(self.position, self.reached_from, self.places, self.network, self.before)

    @property
    def full(self) -> OperatingPoint:
        """The twin at the full volts of pulsed feeds; itself where none is pulsed."""
        return self.twin or self

    @cached_property
    def shorts(self) -> tuple[Short, ...]:
        """The loops that short a source, at the moment of the fault."""
        moment = self.moment
        if moment.unsolved:
            return ()
        return tuple(shorts(self.places, moment.conducting, self.position, self.opened))

    @property
    def overloaded(self) -> tuple[tuple[str, float], ...]:
        """Fuses between their rating and what opens them, with the share of their rating."""
        return self.solution.overloaded

    @property
    def cannot_hold(self) -> tuple[CannotHold, ...]:
        return self.solution.cannot_hold

    @property
    def limiting(self) -> tuple[str, ...]:
        return self.solution.limiting

    @property
    def dropped_out(self) -> tuple[str, ...]:
        return self.solution.dropped_out

    @property
    def chatter(self) -> tuple[str, ...]:
        return self.solution.chatter

    @property
    def unsolved(self) -> str:
        return self.solution.unsolved

    @property
    def residual_amps(self) -> float:
        return self.solution.residual_amps

    @property
    def balance_watts(self) -> float:
        """Watts given less watts taken: nothing but rounding."""
        return self.solution.power_given_watts - self.solution.power_taken_watts
