"""Regulators: what they hold at their output, pass on, or limit, and what that takes from their input.

The target of the output is a straight piece over the input's volts: nothing, input minus drop-out, or what
it is set to. A linear one passes from input to output alone: it needs no nothing, for it never leads back.
A step-up below its least volts gives in proportion, so that it is ohmic to its feed there. In drop-out as
everywhere a switching one takes the output's watts over its efficiency: no step at the border.
"""

from __future__ import annotations

import numpy as np

from core.circuit.kernel.curves import LEAST_OHMS
from core.circuit.kernel.solution import Flags
from core.circuit.network import Floats, Ints, Network, Regulator

NOTHING, THROUGH, SET = 0, 1, 2
BLOCKED, FREE, LIMITING = 0, 1, 2
LEAST_INPUT_VOLTS = 1e-12
DEAD_VOLTS, DEAD_AMPS = 1e-9, 1e-9
LEAST_STEP_UP_VOLTS = 0.05
"""A step-up is ohmic below its least volts, and below this in any case."""

_NONE, _NO_SLOPES = np.zeros(0), np.zeros((2, 3, 0))


class Regulators:
    """The regulators of a network as arrays."""

    def __init__(self, network: Network) -> None:
        self.devices = devices = [d for d in network.devices if isinstance(d, Regulator)]
        self.count = len(devices)
        nodes = np.array([(d.input, d.output, d.common) for d in devices], np.int64).reshape(-1, 3)
        self.input: Ints = nodes[:, 0]
        self.output: Ints = nodes[:, 1]
        self.common: Ints = nodes[:, 2]
        self.siemens = np.array([1 / max(d.ohms, LEAST_OHMS) for d in devices])
        self.switching = np.array([d.switching or d.steps_up for d in devices], np.bool_)
        self.efficiency = np.array([d.efficiency for d in devices])
        self.sinks = np.array([d.sinks for d in devices], np.bool_)
        limits = [np.inf if d.limit_amps is None else d.limit_amps for d in devices]
        self.limit = np.array(limits)
        self.floor = np.where(self.sinks, -self.limit, 0.0)
        self.from_volts = np.zeros(self.count)
        self.to_volts = np.zeros(self.count)
        # target = base + slope x input, by region
        self.base = np.zeros((3, self.count))
        self.slope = np.zeros((3, self.count))
        for k, device in enumerate(devices):
            self._write_target(k, device)

    def _write_target(self, k: int, device: Regulator) -> None:
        ratio, volts = device.ratio, device.volts_out
        if ratio is not None:
            self.slope[SET, k] = ratio
        else:
            self.base[SET, k] = volts or 0.0
        if device.steps_up:
            least = max(device.least_volts, LEAST_STEP_UP_VOLTS)
            held = self.base[SET, k] + self.slope[SET, k] * least
            self.slope[THROUGH, k] = held / least
            self.to_volts[k] = least
            return
        drop = device.drop_out_volts
        self.base[THROUGH, k], self.slope[THROUGH, k] = -drop, 1.0
        self.from_volts[k] = drop if device.switching or device.sinks else -np.inf
        if ratio is None:
            self.to_volts[k] = self.base[SET, k] + drop
        elif ratio < 1:
            self.to_volts[k] = drop / (1 - ratio)
        else:
            self.to_volts[k] = np.inf if drop > 0 else 0.0

    def move(self, place: Ints) -> None:
        """To other numbers of the nodes."""
        self.input, self.output, self.common = place[self.input], place[self.output], place[self.common]

    def nodes(self) -> Ints:
        """Input, output and common of each, a row each."""
        return np.vstack((self.input, self.output, self.common))


class Holding:
    """The regulators in one set of states: which are on, and the region of target and amps of each."""

    def __init__(self, regulators: Regulators, on: Flags) -> None:
        self.all = regulators
        self.on = on
        count = regulators.count
        self._each = np.arange(count)
        self.target = np.full(count, SET)
        self.clip = np.full(count, FREE)
        self.unloaded = True
        """While it is so, nothing is taken from the input."""

    def amps(self, volts: Floats, tangent: bool) -> tuple[Floats, Floats, Floats]:
        """Amps into each input and out of each output, and the siemens: d(in, out) / d(input, output, common)
        as an array of 2 x 3 x count. `tangent`: with the falling slope of a switching input.
        """
        r, each = self.all, self._each
        if not r.count:
            return _NONE, _NONE, _NO_SLOPES
        common = volts[r.common]
        fed, held = volts[r.input] - common, volts[r.output] - common
        base, slope = r.base[self.target, each], r.slope[self.target, each]
        free = self.on & (self.clip == FREE)
        out = r.siemens * (base + slope * fed - held)
        out_fed, out_held = r.siemens * slope, -r.siemens
        out = np.where(free, out, np.where(self.clip == LIMITING, r.limit, r.floor))
        out[~self.on] = 0.0
        out_fed, out_held = np.where(free, out_fed, 0.0), np.where(free, out_held, 0.0)
        if self.unloaded:
            into, into_fed, into_held = np.zeros((3, r.count))
        else:
            # what holds at no volts leads to its common, whichever way
            given = (out > 0) & (self.target != NOTHING)
            into, into_fed, into_held = (np.where(given, x, 0.0) for x in (out, out_fed, out_held))
            edge = np.where(self.target == SET, r.to_volts, r.from_volts)
            pull = np.maximum(fed, np.maximum(edge, LEAST_INPUT_VOLTS))
            share = np.maximum(held, 0.0) / (r.efficiency * pull)
            taken = out * share
            by = r.switching
            into = np.where(by & given, taken, into)
            falling = np.where(tangent & (fed >= pull), -taken / pull, 0.0)
            into_fed = np.where(by & given, out_fed * share + falling, into_fed)
            rising = np.where(held > 0, out / (r.efficiency * pull), 0.0)
            into_held = np.where(by & given, out_held * share + rising, into_held)
        slopes = np.array(
            (
                (into_fed, into_held, -into_fed - into_held),
                (out_fed, out_held, -out_fed - out_held),
            )
        )
        return into, out, slopes

    def place(self, volts: Floats) -> None:
        """Every target and clip as these volts have it."""
        r, each = self.all, self._each
        common = volts[r.common]
        fed, held = volts[r.input] - common, volts[r.output] - common
        self.target = (fed > r.from_volts).astype(np.int64) + (fed > r.to_volts)
        out = r.siemens * (r.base[self.target, each] + r.slope[self.target, each] * fed - held)
        self.clip = (out > r.floor).astype(np.int64) + (out > r.limit)

    def shut(self, volts: Floats) -> bool:
        """Blocks those that hold next to nothing and give next to nothing; whether there were any."""
        r, each = self.all, self._each
        fed, held = volts[r.input] - volts[r.common], volts[r.output] - volts[r.common]
        target = r.base[self.target, each] + r.slope[self.target, each] * fed
        out = r.siemens * (target - held)
        dead = self.on & (self.clip == FREE) & ~r.sinks & (target <= DEAD_VOLTS) & (np.abs(out) <= DEAD_AMPS)
        if not dead.any():
            return False
        self.clip = np.where(dead, BLOCKED, self.clip)
        return True

    def step(self, volts: Floats, settled: float) -> tuple[Ints, Ints]:
        """The way target and clip of each would go: -1, 0 or 1; a target as far as it has to."""
        r, each = self.all, self._each
        common = volts[r.common]
        fed, held = volts[r.input] - common, volts[r.output] - common
        low = np.where(
            self.target == SET, r.to_volts, np.where(self.target == THROUGH, r.from_volts, -np.inf)
        )
        high = np.where(
            self.target == NOTHING, r.from_volts, np.where(self.target == THROUGH, r.to_volts, np.inf)
        )
        there = (fed > r.from_volts).astype(np.int64) + (fed > r.to_volts)
        target = np.where((fed > high + settled) | (fed < low - settled), there - self.target, 0)
        base, slope = r.base[self.target, each], r.slope[self.target, each]
        out = r.siemens * (base + slope * fed - held)
        slack = settled * r.siemens
        most = np.where(self.clip == BLOCKED, r.floor, np.where(self.clip == FREE, r.limit, np.inf))
        least = np.where(self.clip == LIMITING, r.limit, np.where(self.clip == FREE, r.floor, -np.inf))
        clip = (out > most + slack).astype(np.int64) - (out < least - slack)
        target[~self.on] = 0
        clip[~self.on] = 0
        return target, clip
