"""The laws of two-terminal devices without memory, as tables of regions along the volts across them.

Every curve has four regions, low to high, each a straight piece `siemens x volts + amps`; a load of constant
watts and a hot lamp follow their own law in theirs. Amps are from a to b.
"""

from __future__ import annotations

import numpy as np

from core.circuit.kernel.solution import Flags
from core.circuit.network import Diode, Floats, Ints, Lamp, Load, Network, Regulator, Relay, Source

LAMP_POWER = 0.45
REVERSED_VOLTS, REVERSED_OHMS = 0.7, 0.01
"""Of the diode that leads where a load is reversed."""
CLAMP_OHMS = 0.01
TIE_VOLTS, LEAD_VOLTS = 1e-7, 1e-11
"""A load at no volts still ties its nodes together; a diode does so that far beyond its drop."""
LEAST_VOLTS = 0.1
"""Below it every load is ohmic, whatever its least working volts."""
IDLE_LEAST_VOLTS = 1.0
"""The idle amps of a regulator are ohmic below its least volts, and below this in any case."""
IDLE_LEAST_AMPS = 1e-6
"""Every regulator takes that much: one that has lost its common floats up to its input and gives nothing."""
LEAST_OHMS = 0.001
"""Every battery, supply and output has at least this."""


class Curves:
    """The curves of a network: arrays of one length, in the order limited sources, loads, lamps, diodes,
    clamps, back diodes, idle draws.
    """

    def __init__(self, network: Network) -> None:
        devices = network.devices
        self.sources = [d for d in devices if isinstance(d, Source) and d.limit_amps is not None]
        self.loads = [d for d in devices if isinstance(d, Load)]
        self.lamps = [d for d in devices if isinstance(d, Lamp)]
        self.diodes = [d for d in devices if isinstance(d, Diode)]
        self.clamped = [d for d in devices if isinstance(d, Relay) and d.clamp_drop is not None]
        regulators = [d for d in devices if isinstance(d, Regulator)]
        self.backed = [d for d in regulators if d.back_drop_volts is not None]
        self.idling = regulators
        pairs = [
            *((d.plus, d.minus) for d in self.sources),
            *((d.plus, d.minus) for d in self.loads),
            *((d.a, d.b) for d in self.lamps),
            *((d.anode, d.cathode) for d in self.diodes),
            *((d.coil_minus, d.coil_plus) for d in self.clamped),
            *((d.output, d.input) for d in self.backed),
            *((d.input, d.common) for d in self.idling),
        ]
        self.names = [
            device.name
            for part in (
                self.sources,
                self.loads,
                self.lamps,
                self.diodes,
                self.clamped,
                self.backed,
                self.idling,
            )
            for device in part
        ]
        nodes = np.array(pairs, np.int64).reshape(-1, 2)
        self.a: Ints = nodes[:, 0]
        self.b: Ints = nodes[:, 1]
        sizes = [
            len(part)
            for part in (
                self.sources,
                self.loads,
                self.lamps,
                self.diodes,
                self.clamped,
                self.backed,
                self.idling,
            )
        ]
        ends = np.cumsum([0, *sizes])
        (
            self.source_at,
            self.load_at,
            self.lamp_at,
            self.diode_at,
            self.clamp_at,
            self.back_at,
            self.idle_at,
        ) = (slice(int(ends[k]), int(ends[k + 1])) for k in range(len(sizes)))
        self.count = int(ends[-1])
        self._write_regions()

    def move(self, place: Ints) -> None:
        """To other numbers of the nodes."""
        self.a, self.b = place[self.a], place[self.b]

    def _write_regions(self) -> None:
        count = self.count
        # region r of a curve reaches from bound[r] to bound[r + 1]
        self.bounds = np.tile(np.array([-np.inf, -np.inf, 0.0, np.inf, np.inf])[:, None], (1, count))
        self.siemens = np.zeros((4, count))
        self.amps = np.zeros((4, count))
        self.watts = np.zeros(count)
        self.hot = np.zeros(count)
        self.first = np.full(count, 2)
        self.drawing = np.zeros(count, np.bool_)
        for k, source in enumerate(self.sources, self.source_at.start):
            ohms = max(source.ohms, LEAST_OHMS)
            self.siemens[2, k] = 1 / ohms
            self.amps[1, k] = -(source.limit_amps or 0.0)
        for k, load in enumerate(self.loads, self.load_at.start):
            least = max(load.least_volts, LEAST_VOLTS)
            if load.reversed:
                self.bounds[1, k] = -REVERSED_VOLTS
                self.siemens[0, k] = 1 / REVERSED_OHMS
                self.amps[0, k] = REVERSED_VOLTS / REVERSED_OHMS
            match load.law:
                case "ohms":
                    self.siemens[2, k] = 1 / load.value
                case "amps":
                    self._draw(k, load.value, least)
                case "watts":
                    self._draw(k, load.value / least, least)
                    self.watts[k] = load.value
        for k, lamp in enumerate(self.lamps, self.lamp_at.start):
            hot_ohms = lamp.volts**2 / lamp.watts
            cold = min(lamp.cold_ohms, hot_ohms)
            edge = lamp.volts * (cold / hot_ohms) ** (1 / LAMP_POWER)
            self.bounds[2, k], self.bounds[3, k] = -edge, edge
            self.siemens[2, k] = 1 / cold
            self.hot[k] = lamp.volts**LAMP_POWER / hot_ohms
            self.first[k] = 3
        for k, diode in enumerate(self.diodes, self.diode_at.start):
            self._lead(k, diode.drop_volts, diode.ohms)
        for k, relay in enumerate(self.clamped, self.clamp_at.start):
            self._lead(k, relay.clamp_drop or 0.0, CLAMP_OHMS)
        for k, back in enumerate(self.backed, self.back_at.start):
            self._lead(k, back.back_drop_volts or 0.0, max(back.ohms, LEAST_OHMS))
        for k, idle in enumerate(self.idling, self.idle_at.start):
            self._draw(k, max(idle.idle_amps, IDLE_LEAST_AMPS), max(idle.least_volts, IDLE_LEAST_VOLTS))
        self.idle_siemens = np.array([0 if d.idle_ohms is None else 1 / d.idle_ohms for d in self.loads])

    def _draw(self, k: int, amps: float, least: float) -> None:
        self.bounds[3, k] = least
        self.siemens[2, k] = amps / least
        self.amps[3, k] = amps
        self.drawing[k] = True

    def _lead(self, k: int, drop: float, ohms: float) -> None:
        self.bounds[2, k] = drop
        self.siemens[2, k] = 1 / ohms
        self.amps[2, k] = -drop / ohms
        self.first[k] = 1


class Regions:
    """The curves in one set of states: which of them are there, and the region each of them is in."""

    def __init__(self, curves: Curves, volts: Floats, there: Flags, load_on: Flags, idle_on: Flags) -> None:
        """`volts`: of the limited sources in this position; `there`: which of them there are."""
        self.curves = curves
        at, loads = curves.source_at, curves.load_at
        self.bounds = curves.bounds.copy()
        self.siemens = curves.siemens.copy()
        self.amps = curves.amps.copy()
        self.there = np.ones(curves.count, np.bool_)
        self.there[at] = there
        self.there[curves.idle_at] = idle_on
        self.drawing = curves.drawing & self.there
        self.drawing[loads] &= load_on
        if len(volts):
            self.bounds[2, at] = volts + curves.amps[1, at] / curves.siemens[2, at]
            self.bounds[3, at] = volts
            self.amps[2, at] = -volts * curves.siemens[2, at]
        off = np.zeros(curves.count, np.bool_)
        off[loads] = ~load_on
        if off.any():
            self.bounds[3, off] = np.inf
            self.siemens[2, off] = curves.idle_siemens[off[loads]]
        self._each = np.arange(curves.count)
        self.watts = (curves.watts > 0) & self.drawing
        self._any_watts = bool(self.watts.any())
        lamps = curves.lamp_at
        self._lamps = np.arange(lamps.start, lamps.stop)
        self.region = curves.first.copy()
        self.unloaded = True
        """While it is so, what draws constant amps or watts draws nothing: open-circuit volts."""

    def table(self) -> tuple[Floats, Floats]:
        """Siemens and amps of the straight piece each curve is in."""
        siemens = self.siemens[self.region, self._each]
        amps = self.amps[self.region, self._each]
        gone = ~self.there
        if self.unloaded:
            gone |= self.drawing
        siemens[gone] = 0.0
        amps[gone] = 0.0
        return siemens, amps

    def read(self, volts: Floats, tangent: bool) -> tuple[Floats, Floats]:
        """Amps through every curve at these volts across it, and the siemens to go on with.

        `tangent`: constant watts with their falling slope; else as constant amps.
        """
        siemens, amps = self.table()
        amps += siemens * volts
        if self._any_watts and not self.unloaded:
            law = np.flatnonzero(self.watts & (self.region == 3))
            least = self.bounds[3, law]
            across = np.maximum(volts[law], least)
            drawn = self.curves.watts[law] / across
            amps[law] = drawn
            if tangent:
                siemens[law] = -drawn / across
        if len(self._lamps):
            law = self._lamps[self.region[self._lamps] != 2]
            across = volts[law]
            # away from 0, where the slope has no end
            size = np.maximum(np.abs(across), self.bounds[3, law])
            per_volt = self.curves.hot[law] * size**-LAMP_POWER
            amps[law] = per_volt * across
            siemens[law] = (1 - LAMP_POWER) * per_volt
        return amps, siemens

    def load(self, volts: Floats) -> None:
        """Ends `unloaded`: what draws goes straight to the region of these volts across it."""
        self.unloaded = False
        found = (volts + TIE_VOLTS > self.bounds[1:4]).sum(axis=0)
        self.region = np.where(self.drawing, found, self.region)

    def beside(self, region: Ints) -> Ints:
        """These regions, but in the law of a load or out of it as it is now."""
        by_law = self.curves.drawing & ((self.region == 3) | (region == 3))
        return np.where(by_law, self.region, region)

    def place(self, volts: Floats) -> None:
        """Every curve goes straight to the region of these volts across it."""
        self.region = (volts > self.bounds[1:4]).sum(axis=0)

    def fallen(self, open_volts: Floats) -> Flags:
        """Loads that have left their law although there are volts enough before they draw."""
        found: Flags = self.drawing & (self.region < 3) & (open_volts >= self.bounds[3])
        found[self.curves.idle_at] = False
        return found

    def conduct(self, volts: Floats) -> Flags:
        """Which curves tie their nodes to each other at these volts, be it with no amps at all just now."""
        curves = self.curves
        near = volts + TIE_VOLTS
        near[curves.source_at] = volts[curves.source_at] - TIE_VOLTS
        leads = slice(curves.diode_at.start, curves.back_at.stop)
        near[leads] = volts[leads] - LEAD_VOLTS
        region = (near > self.bounds[1:4]).sum(axis=0)
        ties = (self.siemens[region, self._each] != 0) | (self.amps[region, self._each] != 0)
        ties[curves.lamp_at] = True
        found: Flags = ties & self.there
        return found

    def outside(self, volts: Floats, settled: float) -> Flags:
        """Which curves lie outside their region by more than `settled` volts."""
        low = self.bounds[self.region, self._each]
        high = self.bounds[self.region + 1, self._each]
        found: Flags = ((volts < low - settled) | (volts > high + settled)) & self.there
        return found & ~self.drawing if self.unloaded else found

    def move(self, which: Flags, volts: Floats) -> None:
        """These curves go to the next region on the side their volts lie."""
        down = volts < self.bounds[self.region, self._each]
        self.region = np.where(which, self.region + np.where(down, -1, 1), self.region)
