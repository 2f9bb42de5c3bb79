"""The balance of a network in one set of states: Newton's method over the regions of its laws.

First all that draws constant amps or watts is left out: open-circuit volts. From there the volts come down
to the first balance. A factor is kept while it serves. Where a load seems to fall below its least volts the
way down is walked again by steps that cannot pass a balance: constant watts as constant amps.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from core.circuit.kernel.curves import Regions
from core.circuit.kernel.islands import pins
from core.circuit.kernel.matrix import Solve
from core.circuit.kernel.regulators import Holding
from core.circuit.kernel.solution import Flags, Laws, Rest
from core.circuit.kernel.table import Table
from core.circuit.network import Floats

FLOOR_SIEMENS = 1e-9
"""In the matrix alone, never in the amps: keeps a node behind a blocked diode from being lost."""
CLOSE, NEAR = 1e-13, 1e-5
"""The last step of every volt as a share of it, or of the largest source: of a balance, of open volts."""
UNLOADED_SHARE = 1e-3
"""Likewise at first of a load's ohmic siemens: one that has lost its ground stands at its feed's volts."""
ROUNDING = 1e-14
"""What is lost at a node, as a share of the largest amps: up to this it is nothing but rounding, once the
steps have not become half as long for so many."""
IDLE_STEPS = 25
EDGE_VOLTS = 1e-12
MOST_STEPS, MOST_MOVES, CAREFUL_STEPS = 300, 30, 150
CREEPS, LONGEST_CREEP_VOLTS, MOST_HELD = 300, 2.0, 1e4
"""Where the regions go round in a circle: steps as if every node had a capacitor, ever smaller."""
CHORD_STEPS = 6
"""A factor is made anew where the old one would need more steps than that."""
LONGEST_STEP_VOLTS = 1e5
NO_ANSWER = "the nodal equations have no single answer"


@dataclass(frozen=True, slots=True)
class Balance:
    """Volts of every node, amps of every branch; `open_volts` of the curves; `why` there is none, or ''."""

    volts: Floats
    amps: Floats
    into: Floats
    out: Floats
    open_volts: Floats
    factor: Solve | None
    rest: Rest
    why: str


class Settler:
    """Works towards the balance of a table in one set of states."""

    def __init__(
        self,
        table: Table,
        on: Flags,
        source_amps: Floats,
        size: float,
        regions: Regions,
        holding: Holding,
    ) -> None:
        """`on`: straight branches that conduct; `source_amps`: theirs at no volts, a to b; `size`: volts of
        the largest source.
        """
        self._table = table
        self._regions = regions
        self._holding = holding
        self._siemens = np.where(on, table.siemens, 0.0)
        self._source_amps = source_amps
        self._pins = self._find_pins(on)
        self._size = size
        self._factor: Solve | None = None
        self._volts = np.zeros(table.nodes)
        self._tangent = True
        self._moves = 0
        self._fresh = True
        self._moved = np.zeros(table.regulators.count + table.curves.count, np.bool_)

    def _find_pins(self, on: Flags) -> Floats:
        table = self._table
        work = self._holding.on
        return pins(table.islands.of(np.concatenate((on, self._regions.there, work, work))))

    def balance(self, near: Rest | None) -> Balance:
        """The first balance met coming down from open-circuit volts. `near`: where one much like it is."""
        regions, holding = self._regions, self._holding
        loaded = bool(regions.drawing.any()) or bool(holding.on.any())
        regions.unloaded = holding.unloaded = loaded
        first = self._laws()
        why = self._walk_from(near.open if near else first, NEAR if loaded else CLOSE)
        if why and near:
            self._volts = np.zeros_like(self._volts)
            why = self._walk_from(first, NEAR if loaded else CLOSE)
        start, open_volts, at_open = self._volts, self._across(), self._laws()
        if loaded:
            regions.load(open_volts)
            holding.unloaded = False
        if loaded and not why:
            drawn = self._laws()
            ways = [(drawn, False), (drawn, True)]
            if near:
                laws = near.loaded.unless(near.open, at_open)
                ways.insert(0, (replace(laws, region=regions.beside(laws.region)), False))
            for laws, careful in ways:
                self._volts = start
                why = self._walk_from(laws, CLOSE, careful)
                if not why and not regions.fallen(open_volts).any():
                    break
            if not why and holding.shut(self._volts):
                self._factor = None
                why = self._walk(CLOSE, careful=False)
        for volts in (start, np.zeros_like(start)):
            if why:
                self._volts = volts
                why = self._creep()
        if why:
            self._volts = np.zeros_like(start)
        amps, into, out, _, _ = self._flow()
        if why:
            amps, into, out = np.zeros_like(amps), np.zeros_like(into), np.zeros_like(out)
        rest = Rest(at_open, self._laws())
        return Balance(self._volts, amps, into, out, open_volts, self._factor, rest, why)

    def _laws(self) -> Laws:
        return Laws(self._regions.region, self._holding.target, self._holding.clip)

    def _walk_from(self, laws: Laws, close: float, careful: bool = False) -> str:
        self._regions.region, self._holding.target, self._holding.clip = laws.region, laws.target, laws.clip
        self._factor = None
        return self._walk(close, careful)

    def _across(self) -> Floats:
        curves = self._table.curves
        return self._volts[curves.a] - self._volts[curves.b]

    def _flow(self) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        """Amps of every branch, into and out of regulators; siemens and slopes to go on with."""
        table, volts = self._table, self._volts
        across = volts[table.a] - volts[table.b]
        straight = self._siemens * across[: table.straight] + self._source_amps
        bent, siemens = self._regions.read(across[table.straight :], self._tangent)
        into, out, slopes = self._holding.amps(volts, self._tangent)
        return (
            np.concatenate((straight, bent)),
            into,
            out,
            np.concatenate((self._siemens, siemens)),
            slopes,
        )

    def _walk(self, close: float, careful: bool) -> str:
        """Steps until no region moves and the last step is small enough; why that was not to be, or ''."""
        table = self._table
        self._tangent, self._moves = not careful, 0
        before, best, idle = np.inf, np.inf, 0
        for count in range(MOST_STEPS):
            if careful and count == CAREFUL_STEPS:
                self._tangent, self._factor = True, None
            amps, into, out, siemens, slopes = self._flow()
            if self._factor is None:
                self._factor = self._make_factor(siemens, slopes)
                before = np.inf
                if self._factor is None:
                    return NO_ANSWER
            lost = table.sums(amps, into, out)
            change = self._factor(lost)
            most = float(np.abs(change).max())
            if not np.isfinite(most):
                return NO_ANSWER
            if most > LONGEST_STEP_VOLTS:
                change *= LONGEST_STEP_VOLTS / most
            self._volts = self._volts - change
            step = float((np.abs(change) / np.maximum(self._size, np.abs(self._volts))).max())
            if self._move():
                self._factor = None
                self._moves += 1
                if self._moves == MOST_MOVES:
                    break
                continue
            if step <= close:
                return ""
            # What hangs on a hundred kilohms turns the rounding of hundreds of amps into steps without end.
            best, idle = (step, 0) if step < best / 2 else (best, idle + 1)
            if idle >= IDLE_STEPS and np.abs(lost).max() <= ROUNDING * np.abs(amps).max(initial=0.0):
                return ""
            if step < before and before < np.inf:
                left = np.log(close / step) / np.log(step / before)
                if left > CHORD_STEPS:
                    self._factor = None
            elif before < np.inf:
                self._factor = None
            before = step
        return f"the volts do not settle: {', '.join(self._moving())}"

    def _creep(self) -> str:
        """Steps as time would take them, with a capacitor at every node; then a walk from where they end."""
        table = self._table
        self._tangent = True
        held, before = 1.0, np.inf
        for _ in range(CREEPS):
            self._regions.place(self._across())
            self._holding.place(self._volts)
            amps, into, out, siemens, slopes = self._flow()
            sums = table.sums(amps, into, out)
            factor = self._make_factor(siemens, slopes, held)
            if factor is None:
                return NO_ANSWER
            change = factor(sums)
            if not np.isfinite(change).all():
                return NO_ANSWER
            step = float(np.abs(change).max())
            if step > LONGEST_CREEP_VOLTS:
                if held < MOST_HELD:
                    held *= 3
                    continue
                change *= LONGEST_CREEP_VOLTS / step
            self._volts = self._volts - change
            if held < 1e-6 and step < NEAR:
                break
            held *= 0.6 if step < max(before, 0.1 * LONGEST_CREEP_VOLTS) else 1.5
            before = step
        self._factor = None
        return self._walk(CLOSE, careful=False)

    def _moving(self) -> list[str]:
        """Names of the devices that were the last to leave their region."""
        table = self._table
        turned = self._moved[table.regulators.count :]
        held = self._moved[: table.regulators.count]
        names = [table.regulators.devices[k].name for k in np.flatnonzero(held)]
        names += [table.curves.names[k] for k in np.flatnonzero(turned)]
        return sorted(set(names))

    def _make_factor(self, siemens: Floats, slopes: Floats, held: float = 0.0) -> Solve | None:
        """`held`: siemens at every node beside."""
        table = self._table
        regions = self._regions
        bent = siemens[table.straight :]
        bent[regions.there & (bent == 0)] = FLOOR_SIEMENS
        if regions.unloaded:
            share = UNLOADED_SHARE if self._fresh else 0.0
            bent[regions.drawing] = share * regions.siemens[2, regions.drawing] + FLOOR_SIEMENS
        self._fresh = False
        work = self._holding.on
        if work.any():
            slopes[0, 0, work] += FLOOR_SIEMENS
            slopes[0, 2, work] -= FLOOR_SIEMENS
            slopes[1, 1, work] -= FLOOR_SIEMENS
            slopes[1, 2, work] += FLOOR_SIEMENS
        return table.pattern.factor(table.values(siemens, slopes), self._pins + held)

    def _move(self) -> bool:
        """Takes what lies outside its region to the next one; whether there was any."""
        regions, holding = self._regions, self._holding
        across = self._across()
        outside = regions.outside(across, EDGE_VOLTS)
        moved = outside
        if outside.any():
            regions.move(outside, across)
        if len(holding.on):
            target, clip = holding.step(self._volts, EDGE_VOLTS)
            holding.target = holding.target + target
            holding.clip = holding.clip + clip
            moved = np.concatenate(((target | clip) != 0, outside))
        if not moved.any():
            return False
        self._moved = moved
        return True
