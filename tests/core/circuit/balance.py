"""Checks an operating point on its own terms: Kirchhoff's laws and the text of every law, written a second
time. From the volts and the words of the states alone it works out what every branch must carry; what flows
into every node must be nothing, what is given must be taken, and what the solver tells must be that.

Shares no code with the solver. Plain Python, one device at a time.
"""

from __future__ import annotations

import math
from collections import defaultdict

from core.circuit.kernel.solution import Solution
from core.circuit.network import (
    Diode,
    Fuse,
    Gate,
    GatedSwitch,
    Lamp,
    Load,
    Network,
    Regulator,
    Relay,
    Source,
)
from core.circuit.positions import KEYS, Position

ROUNDING = 2.0**-50
"""A volt is told to so much of itself; through a milliohm that is amps."""
SHARE = 1e-10
EDGE_VOLTS = 2e-12
"""So near the border of two regions of a law either may be told."""


class Check:
    """One operating point against its network. `lifted`: rows of resistors that are open."""

    def __init__(
        self, network: Network, position: Position, found: Solution, lifted: frozenset[int] = frozenset()
    ) -> None:
        self.network, self.position, self.found, self.lifted = network, position, found, lifted
        self.volts = [float(v) for v in found.island_volts]
        self.into: dict[int, list[float]] = defaultdict(list)
        self.unsure: dict[int, float] = defaultdict(float)
        self.watts: dict[str, float] = defaultdict(float)
        self.told: dict[str, float] = {}
        self.heat = 0.0

    def holds(self, when: int) -> bool:
        return when < 0 or self.position.has(self.network.conditions[when])

    def across(self, a: int, b: int) -> float:
        return self.volts[a] - self.volts[b]

    def flow(self, a: int, b: int, amps: float, siemens: float, name: str = "") -> None:
        """Amps from a to b through a branch; `siemens`: how much a volt's rounding counts there."""
        self.into[a].append(-amps)
        self.into[b].append(amps)
        unsure = siemens * (ROUNDING * (abs(self.volts[a]) + abs(self.volts[b])) + EDGE_VOLTS)
        self.unsure[a] += unsure
        self.unsure[b] += unsure
        if name:
            self.watts[name] += amps * self.across(a, b)

    def run(self) -> None:
        assert not self.found.unsolved
        assert all(math.isfinite(v) for v in self.volts)
        rows = self.network.resistors
        for row, (a, b, ohms, when) in enumerate(
            zip(rows.a.tolist(), rows.b.tolist(), rows.ohms.tolist(), rows.when.tolist(), strict=True)
        ):
            there = self.holds(when) and row not in self.lifted
            amps = self.across(a, b) / ohms if there else 0.0
            self.flow(a, b, amps, 1 / ohms)
            self.heat += amps * self.across(a, b)
            told = float(self.found.resistor_amps[row])
            assert abs(told - amps) <= self.slack(a, b, amps), (row, told, amps)
        for device in self.network.devices:
            match device:
                case Source():
                    self.source(device)
                case Load():
                    self.load(device)
                case Lamp():
                    self.lamp(device)
                case Fuse():
                    whole = self.found.states[device.name] == "closed"
                    amps = self.across(device.a, device.b) / device.ohms if whole else 0.0
                    self.flow(device.a, device.b, amps, 1 / device.ohms, device.name)
                    self.told[device.name] = amps
                case Relay():
                    self.relay(device)
                case Diode():
                    amps = max(
                        0.0, (self.across(device.anode, device.cathode) - device.drop_volts) / device.ohms
                    )
                    self.flow(device.anode, device.cathode, amps, 1 / device.ohms, device.name)
                    self.told[device.name] = amps
                case GatedSwitch():
                    on = self.on(device.name, device.gate) and self.holds(device.when)
                    amps = self.across(device.a, device.b) / device.ohms if on else 0.0
                    self.flow(device.a, device.b, amps, 1 / device.ohms, device.name)
                    self.told[device.name] = amps
                case Regulator():
                    self.regulator(device)
        self.compare()

    def on(self, name: str, gate: Gate | None) -> bool:
        """By its word, which must be one its gate allows."""
        on = not self.found.states[name].startswith("off")
        if gate is None:
            assert on
        elif name not in self.found.chatter and not self.found.chatter:
            stands = self.across(gate.node, gate.reference)
            if on:
                assert stands >= gate.off_volts - 1e-9, name
            else:
                assert stands < gate.on_volts + 1e-9, name
        return on

    def source(self, it: Source) -> None:
        ohms = max(it.ohms, 0.001)
        volts = it.volts[KEYS.index(self.position.key)]
        given = (volts - self.across(it.plus, it.minus)) / ohms if self.holds(it.when) else 0.0
        if it.limit_amps is not None:
            given = min(max(given, 0.0), it.limit_amps)
        self.flow(it.plus, it.minus, -given, 1 / ohms, it.name)
        self.told[it.name] = given

    def load(self, it: Load) -> None:
        on = self.on(it.name, it.gate) and self.holds(it.when)
        volts = self.across(it.plus, it.minus)
        least = max(it.least_volts, 0.1)
        steep = 0.0
        if volts <= 0:
            past = -0.7 - volts
            amps = -past / 0.01 if it.reversed and past > 0 else 0.0
            steep = 100.0
        elif not on:
            amps = volts / it.idle_ohms if it.idle_ohms is not None else 0.0
        elif it.law == "ohms":
            amps = volts / it.value
            steep = 1 / it.value
        else:
            full = it.value if it.law == "amps" else it.value / max(volts, least)
            amps = full if volts >= least else full * volts / least
            steep = full / least
        self.flow(it.plus, it.minus, amps, steep, it.name)
        self.told[it.name] = amps

    def lamp(self, it: Lamp) -> None:
        volts = self.across(it.a, it.b)
        hot = it.volts**2 / it.watts
        ohms = max(min(it.cold_ohms, hot), hot * (abs(volts) / it.volts) ** 0.45)
        self.flow(it.a, it.b, volts / ohms, 1 / ohms, it.name)
        self.told[it.name] = volts / ohms

    def relay(self, it: Relay) -> None:
        volts = self.across(it.coil_plus, it.coil_minus)
        pulled = self.found.states[it.name] == "pulled"
        if not self.found.chatter:
            assert abs(volts) < it.pull_in_volts + 1e-9 or pulled, it.name
            assert abs(volts) > it.drop_out_volts - 1e-9 or not pulled, it.name
        coil = volts / it.coil_ohms
        self.flow(it.coil_plus, it.coil_minus, coil, 1 / it.coil_ohms, it.name)
        self.told[f"{it.name} coil"] = coil
        if it.clamp_drop is not None:
            clamp = max(0.0, (-volts - it.clamp_drop) / 0.01)
            self.flow(it.coil_minus, it.coil_plus, clamp, 100.0, it.name)
            self.told[f"{it.name} clamp"] = clamp
        to = it.make if pulled else it.rest
        amps = 0.0
        if to is not None:
            amps = self.across(it.common, to) / it.contact_ohms
            self.flow(it.common, to, amps, 1 / it.contact_ohms, it.name)
        self.told[it.name] = amps

    def regulator(self, it: Regulator) -> None:
        on = self.on(it.name, it.gate) and self.holds(it.when)
        fed, held = self.across(it.input, it.common), self.across(it.output, it.common)
        out = into = idle = 0.0
        steep = 1 / max(it.ohms, 0.001)
        if on:
            wanted = it.volts_out if it.ratio is None else it.ratio * fed
            assert wanted is not None
            if it.steps_up:
                least = max(it.least_volts, 0.05)
                full = it.volts_out if it.ratio is None else it.ratio * least
                assert full is not None
                target = wanted if fed >= least else full * max(fed, 0.0) / least
            else:
                target = min(wanted, fed - it.drop_out_volts)
                if it.switching or it.sinks:
                    target = max(0.0, target)
            limit = math.inf if it.limit_amps is None else it.limit_amps
            out = min(max((target - held) * steep, -limit if it.sinks else 0.0), limit)
            if out > 0 and (fed > it.drop_out_volts or not it.sinks):
                into = out
                if it.switching or it.steps_up:
                    into = held * out / (it.efficiency * fed) if held > 0 and fed > 0 else 0.0
            least = max(it.least_volts, 1.0)
            idle = max(it.idle_amps, 1e-6) * min(1.0, max(0.0, fed) / least)
        slope = 4 * steep * (1 + abs(held) / max(it.efficiency * fed, 0.05))
        self.flow(it.input, it.common, into + idle, slope, it.name)
        self.flow(it.common, it.output, out, slope, it.name)
        back = 0.0
        if it.back_drop_volts is not None:
            back = max(0.0, (-self.across(it.input, it.output) - it.back_drop_volts) * steep)
            self.flow(it.output, it.input, back, steep, it.name)
        self.told[it.name] = out - back
        self.told[f"{it.name} in"] = into + idle - back

    def slack(self, a: int, b: int, amps: float) -> float:
        return SHARE * abs(amps) + self.unsure[a] + self.unsure[b] + 1e-12

    def compare(self) -> None:
        """Nothing piles up at a node; what is told is what the laws say; power given is power taken."""
        most = max((max(map(abs, amps)) for amps in self.into.values()), default=0.0)
        for node, amps in self.into.items():
            allowed = SHARE * max(map(abs, amps)) + self.unsure[node] + 1e-12
            assert abs(math.fsum(amps)) <= allowed, (node, amps)
        ends = {device.name: device for device in self.network.devices}
        rounding = max(self.unsure.values(), default=0.0)
        assert set(self.told) == set(self.found.device_amps)
        for name, amps in self.told.items():
            assert abs(self.found.device_amps[name] - amps) <= SHARE * abs(amps) + rounding + 1e-12, name
        assert set(self.watts) == set(self.found.watts) == set(ends)
        size = max(map(abs, self.volts)) + 1
        loose = size * (SHARE * most + 2 * math.fsum(self.unsure.values()) + 1e-12)
        for name, watts in self.watts.items():
            assert abs(self.found.watts[name] - watts) <= loose + SHARE * abs(watts), name
        given = -math.fsum(w for w in self.watts.values() if w < 0)
        taken = math.fsum(w for w in self.watts.values() if w > 0) + self.heat
        assert abs(given - taken) <= loose + SHARE * max(given, taken)
        assert abs(self.found.power_given_watts - given) <= loose + SHARE * given
        assert abs(self.found.power_taken_watts - taken) <= loose + SHARE * taken
        assert self.found.residual_amps <= SHARE * most + rounding + 1e-12
        for node, floats in enumerate(self.found.floating.tolist()):
            assert self.found.volts[node] == (0.0 if floats else self.volts[node])
        assert self.volts[0] == 0.0
        assert not self.found.floating[0]


def check(
    network: Network, position: Position, found: Solution, lifted: frozenset[int] = frozenset()
) -> None:
    """Raises AssertionError where the operating point breaks Kirchhoff's laws or a device's law."""
    Check(network, position, found, lifted).run()
