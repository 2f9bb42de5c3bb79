"""What the solver is measured against: the same circuit as one bare matrix, and as a deck for ngspice.

Written from the Network and from volts that were solved, by code of its own: each device as the resistance or
the source that it was at that operating point.
"""

from __future__ import annotations

import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import scipy.sparse as sp
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import splu

from core.circuit.network import (
    ALWAYS,
    Diode,
    Floats,
    Fuse,
    Gate,
    GatedSwitch,
    Ints,
    Lamp,
    Load,
    Network,
    Regulator,
    Relay,
    Source,
)
from core.circuit.positions import KEYS, Position


@dataclass(frozen=True)
class Bare:
    """A linear circuit: conductances between nodes and amps into nodes, all reached from node 0."""

    nodes: int
    a: Ints
    b: Ints
    siemens: Floats
    into: Floats

    def matrix(self) -> sp.csc_matrix:
        """The nodal matrix, node 0 left out."""
        a, b, g = self.a, self.b, self.siemens
        rows = np.concatenate((a, b, a, b)) - 1
        columns = np.concatenate((a, b, b, a)) - 1
        values = np.concatenate((g, g, -g, -g))
        kept = (rows >= 0) & (columns >= 0)
        size = self.nodes - 1
        return sp.csc_matrix((values[kept], (rows[kept], columns[kept])), shape=(size, size))


class _Linear:
    def __init__(self, network: Network, position: Position, volts: Floats) -> None:
        self.network, self.position, self.volts = network, position, volts
        self.ends: list[tuple[int, int, float]] = []
        self.into = np.zeros(network.nodes)

    def _on(self, when: int, gate: Gate | None = None) -> bool:
        if when != ALWAYS and not self.position.has(self.network.conditions[when]):
            return False
        # Where volts stand between on and off the states are not known here; no job of the bench has such.
        return gate is None or self._across(gate.node, gate.reference) >= gate.on_volts

    def _across(self, a: int, b: int) -> float:
        return float(self.volts[a] - self.volts[b])

    def _draw(self, plus: int, minus: int, amps: float) -> None:
        self.into[plus] -= amps
        self.into[minus] += amps

    def take(self) -> Bare:
        rows = self.network.resistors
        live = np.array([self._on(int(when)) for when in rows.when], dtype=bool)
        for device in self.network.devices:
            self._device(device)
        extra = np.array(self.ends).reshape(-1, 3)
        a = np.concatenate((rows.a[live], extra[:, 0].astype(np.int64)))
        b = np.concatenate((rows.b[live], extra[:, 1].astype(np.int64)))
        siemens = np.concatenate((1 / rows.ohms[live], extra[:, 2]))
        count = self.network.nodes
        links = sp.coo_matrix((np.ones(len(a)), (a, b)), shape=(count, count))
        _, island = connected_components(links, directed=False)
        kept = island == island[0]
        number = np.cumsum(kept) - 1
        inside = kept[a]
        return Bare(
            int(kept.sum()), number[a[inside]], number[b[inside]], siemens[inside], self.into[kept].copy()
        )

    def _device(self, device: object) -> None:
        match device:
            case Source() if self._on(device.when):
                volts = device.volts[KEYS.index(self.position.key)]
                self.ends.append((device.plus, device.minus, 1 / device.ohms))
                self._draw(device.plus, device.minus, -volts / device.ohms)
            case Load():
                self._load(device)
            case Lamp():
                hot = device.volts**2 / device.watts
                share = abs(self._across(device.a, device.b)) / device.volts
                self.ends.append((device.a, device.b, 1 / max(device.cold_ohms, hot * share**0.45)))
            case Fuse():
                self.ends.append((device.a, device.b, 1 / device.ohms))
            case Relay():
                self.ends.append((device.coil_plus, device.coil_minus, 1 / device.coil_ohms))
                pulled = self._across(device.coil_plus, device.coil_minus) >= device.pull_in_volts
                contact = device.make if pulled else device.rest
                if contact is not None:
                    self.ends.append((device.common, contact, 1 / device.contact_ohms))
            case Diode():
                over = self._across(device.anode, device.cathode) - device.drop_volts
                if over > 0:
                    self.ends.append((device.anode, device.cathode, 1 / device.ohms))
                    self._draw(device.anode, device.cathode, -device.drop_volts / device.ohms)
            case GatedSwitch() if self._on(device.when, device.gate):
                self.ends.append((device.a, device.b, 1 / device.ohms))
            case Regulator() if self._on(device.when, device.gate):
                self._regulator(device)

    def _load(self, device: Load) -> None:
        across = self._across(device.plus, device.minus)
        if not self._on(device.when, device.gate):
            if device.idle_ohms is not None:
                self.ends.append((device.plus, device.minus, 1 / device.idle_ohms))
            return
        if across <= 0:
            return
        law_volts = max(across, device.least_volts)
        match device.law:
            case "ohms":
                siemens = 1 / device.value
            case "amps":
                siemens = device.value / law_volts
            case "watts":
                siemens = device.value / law_volts**2
        self.ends.append((device.plus, device.minus, siemens))

    def _regulator(self, device: Regulator) -> None:
        given = self._across(device.input, device.common)
        wanted = device.volts_out if device.volts_out is not None else (device.ratio or 0.0) * given
        volts = min(wanted, max(0.0, given - device.drop_out_volts))
        amps = (volts - self._across(device.output, device.common)) / device.ohms
        self.ends.append((device.output, device.common, 1 / device.ohms))
        self._draw(device.output, device.common, -volts / device.ohms)
        taken = amps * volts / device.efficiency / given if device.switching and given > 0 else amps
        self._draw(device.input, device.common, taken + device.idle_amps)


def bare(network: Network, position: Position, volts: Floats) -> Bare:
    """The circuit as it stands at these volts in this position."""
    return _Linear(network, position, volts).take()


def factored(matrix: sp.csc_matrix, into: Floats) -> Floats:
    """One bare factorisation and one solve."""
    lu = splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0, options={"SymmetricMode": True})
    return lu.solve(into)


def deck(circuit: Bare) -> str:
    """Plain resistors and current sources, and the operating point of node 1 printed."""
    lines = ["bench"]
    ends = zip(circuit.a.tolist(), circuit.b.tolist(), circuit.siemens.tolist(), strict=True)
    lines += [f"R{n} {a} {b} {1 / g!r}" for n, (a, b, g) in enumerate(ends) if a != b]
    lines += [f"I{n} 0 {n} {amps!r}" for n, amps in enumerate(circuit.into.tolist()) if n and amps]
    lines += [".options reltol=1e-6 vntol=1e-9 abstol=1e-15", ".control", "op", "print v(1)", ".endc", ".end"]
    return "\n".join(lines) + "\n"


def run_ngspice(text: str, seconds: float) -> str | None:
    """What a whole process of ngspice prints; None where it takes longer."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bench.cir"
        path.write_text(text, encoding="utf-8")
        try:
            done = subprocess.run(
                ["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=seconds, check=False
            )
        except subprocess.TimeoutExpired:
            return None
        return done.stdout
