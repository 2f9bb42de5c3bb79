"""Random networks with every kind of device mixed in, by seed."""

from __future__ import annotations

import numpy as np

from core.circuit.network import (
    Device,
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
from core.job.internals import LiveIn
from tests.core.circuit.kernel.nets import Row, network

CONDITIONS = (
    LiveIn(keys=("run", "start", "running")),
    LiveIn(keys=("running",), switch="lights"),
    LiveIn(keys=("off", "accessory", "run", "start", "running"), unless="lights"),
)


class Maker:
    """Builds one; `wild`: devices between any two nodes, else mostly from feeds to ground."""

    def __init__(self, seed: int, nodes: int, wild: bool) -> None:
        self.rng = np.random.default_rng(seed)
        self.nodes, self.wild = nodes, wild

    def node(self) -> int:
        return int(self.rng.integers(0, self.nodes))

    def other(self, node: int) -> int:
        """A node that is not this one: the reference or the body as a rule, where it is not wild."""
        if not self.wild and self.rng.random() < 0.8:
            near = int(self.rng.integers(0, min(3, self.nodes)))
            if near != node:
                return near
        return (node + int(self.rng.integers(1, self.nodes))) % self.nodes

    def between(self, low: float, high: float) -> float:
        """Evenly over the decades."""
        return float(np.exp(self.rng.uniform(np.log(low), np.log(high))))

    def maybe(self, share: float) -> bool:
        return bool(self.rng.random() < share)

    def when(self) -> int:
        return int(self.rng.integers(0, len(CONDITIONS))) if self.maybe(0.3) else -1

    def gate(self) -> Gate | None:
        if self.maybe(0.6):
            return None
        node = self.node()
        return Gate(node, self.other(node), 7.2, 3.6)

    def source(self, name: str, main: bool) -> Source:
        plus = 1 if main else self.node()
        minus = 0 if main else self.other(plus)
        volts = self.rng.choice([5.0, 6.0, 12.0, 13.8])
        limit = self.between(0.5, 30) if not main and self.maybe(0.5) else None
        keys = (12.6, 12.6, 12.6, 10.0, 14.2) if main else (volts,) * 5
        return Source(name, plus, minus, keys, self.between(0.001, 1), -1 if main else self.when(), limit)

    def load(self, name: str) -> Load:
        plus = self.node()
        law = self.rng.choice(["amps", "ohms", "watts"])
        value = {"amps": self.between(0.01, 10), "ohms": self.between(0.5, 1e4)}.get(
            law, self.between(0.1, 100)
        )
        idle = self.between(100, 1e6) if self.maybe(0.5) else None
        return Load(
            name,
            plus,
            self.other(plus),
            law,
            value,
            float(self.rng.uniform(0, 10)),
            idle,
            self.maybe(0.2),
            self.gate(),
            self.when(),
        )

    def relay(self, name: str) -> Relay:
        plus, common = self.node(), self.node()
        make = self.other(common) if self.maybe(0.8) else None
        rest = self.other(common) if make is None or self.maybe(0.5) else None
        return Relay(
            name,
            plus,
            self.other(plus),
            85.0,
            7.2,
            1.8,
            common,
            make,
            rest,
            0.01,
            0.7 if self.maybe(0.5) else None,
        )

    def regulator(self, name: str) -> Regulator:
        fed = self.node()
        common = self.other(fed)
        output = self.node()
        while output in (fed, common):
            output = self.node()
        ratio = float(self.rng.choice([0.25, 0.5, 1.0])) if self.maybe(0.3) else None
        up = ratio is None and self.maybe(0.3)
        return Regulator(
            name=name,
            input=fed,
            output=output,
            common=common,
            volts_out=None if ratio else float(self.rng.choice([5.0, 9.0, 24.0] if up else [3.3, 5.0, 9.0])),
            ratio=ratio,
            ohms=self.between(0.001, 0.1),
            switching=up or self.maybe(0.5),
            efficiency=float(self.rng.uniform(0.7, 1)),
            idle_amps=self.between(1e-4, 0.1) if self.maybe(0.5) else 0.0,
            drop_out_volts=0.0 if ratio or self.maybe(0.2) else float(self.rng.uniform(0.1, 2)),
            least_volts=float(self.rng.uniform(0, 8)),
            limit_amps=self.between(0.1, 10) if self.maybe(0.6) else None,
            sinks=ratio == 0.5 and self.maybe(0.5),
            back_drop_volts=0.7 if not up and self.maybe(0.4) else None,
            steps_up=up,
            gate=self.gate(),
            when=self.when(),
        )

    def device(self, kind: int, name: str) -> Device:
        a = self.node()
        b = self.other(a)
        match kind:
            case 0 | 1:
                return self.load(name)
            case 2:
                return Lamp(name, a, b, 12.0, self.between(1, 60), self.between(0.05, 1))
            case 3:
                return Fuse(name, a, self.other(a), float(self.rng.choice([1, 3, 10, 30])), 0.005)
            case 4:
                return self.relay(name)
            case 5:
                return Diode(name, a, b, float(self.rng.uniform(0.2, 1)), self.between(0.005, 1))
            case 6:
                return GatedSwitch(name, a, b, self.between(0.005, 1), self.gate(), self.when())
            case 7:
                return self.regulator(name)
            case _:
                return self.source(name, main=False)

    def make(self, density: float) -> Network:
        rng, nodes = self.rng, self.nodes
        rows: list[Row] = []
        for node in range(2, nodes):
            if self.maybe(0.9):  # the rest are left to devices, or float
                back = node - int(rng.integers(1, min(node, 12) + 1))
                rows.append((node, back, self.between(0.002, 0.2), self.when()))
        for _ in range(nodes // 10):
            a = self.node()
            rows.append((a, self.other(a), self.between(0.01, 1e6), self.when()))
        count = max(3, int(nodes * density))
        # supplies are fewer than what hangs on them
        kinds = rng.choice(9, count, p=[0.2, 0.2, 0.1, 0.1, 0.1, 0.1, 0.08, 0.07, 0.05])
        devices = [self.device(int(kind), f"D{k}") for k, kind in enumerate(kinds)]
        return network(nodes, rows, self.source("battery", main=True), *devices, conditions=CONDITIONS)


def mixed(seed: int, nodes: int, wild: bool = False, density: float = 0.3) -> Network:
    return Maker(seed, nodes, wild).make(density)
