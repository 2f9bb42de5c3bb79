"""Small networks for the solver's tests."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from core.circuit.kernel.circuit import Circuit
from core.circuit.kernel.solution import Solved
from core.circuit.network import Device, Network, Resistors, Source
from core.circuit.positions import Position
from core.job.internals import LiveIn
from tests.core.circuit.balance import check

RUN = Position("run")
Row = tuple[int, int, float] | tuple[int, int, float, int]


def resistors(rows: Sequence[Row]) -> Resistors:
    whole = [row if len(row) == 4 else (*row, -1) for row in rows]
    columns = list(zip(*whole, strict=True)) if whole else [(), (), (), ()]
    return Resistors(
        np.array(columns[0], np.int64),
        np.array(columns[1], np.int64),
        np.array(columns[2], np.float64),
        np.array(columns[3], np.int64),
    )


def network(
    nodes: int, rows: Sequence[Row], *devices: Device, conditions: tuple[LiveIn, ...] = (), ground: int = 0
) -> Network:
    return Network(nodes, ground, resistors(rows), devices, conditions)


def source(
    plus: int,
    minus: int,
    volts: float,
    ohms: float = 0.001,
    *,
    name: str = "battery",
    limit_amps: float | None = None,
) -> Source:
    return Source(name, plus, minus, (volts,) * 5, ohms, limit_amps=limit_amps)


def solved(net: Network, position: Position = RUN, **more: object) -> Solved:
    """Solved and balanced."""
    found = Circuit(net).solve(position, **more)  # type: ignore[arg-type]
    lifted = more.get("lifted", frozenset())
    assert isinstance(lifted, frozenset)
    check(net, position, found.moment, lifted)
    check(net, position, found.after, lifted)
    return found
