"""The amps that a reading hangs on, and which of their ways lie in series."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from core.circuit.kernel.solution import Solution
from core.circuit.network import Ints, Network

LEAST_AMPS = 1e-8
"""Less is rounding."""
SAME_SHARE = 1e-3
"""Amps that differ by no more are the same amps."""


@dataclass(frozen=True, slots=True)
class Flow:
    """Amps above 0 from `start` to `end`, in a row of resistance or else in a device. `onward`: they go the
    way the row counts.
    """

    start: int
    end: int
    amps: float
    row: int = -1
    onward: bool = True


def flows(network: Network, solution: Solution, rows: Ints) -> Iterator[Flow]:
    """Those of these rows that carry amps."""
    resistors = network.resistors
    for row in rows.tolist():
        a, b = int(resistors.a[row]), int(resistors.b[row])
        amps = float(solution.resistor_amps[row])
        if abs(amps) > LEAST_AMPS:
            yield Flow(a, b, amps, row) if amps > 0 else Flow(b, a, -amps, row, False)


def in_series(found: Iterable[Flow], apart: frozenset[int]) -> Iterator[list[Flow]]:
    """Runs of flows that follow each other with the same amps, each in the order of its amps. No run leads
    past a node of `apart`.
    """
    flows_left = list(found)
    out: dict[int, list[Flow]] = {}
    into: dict[int, list[Flow]] = {}
    for flow in flows_left:
        out.setdefault(flow.start, []).append(flow)
        into.setdefault(flow.end, []).append(flow)

    def next_to(flow: Flow, ways: dict[int, list[Flow]], node: int) -> Flow | None:
        same = [one for one in ways.get(node, ()) if abs(one.amps - flow.amps) <= SAME_SHARE * flow.amps]
        return same[0] if len(same) == 1 and node not in apart else None

    done: set[Flow] = set()
    for flow in flows_left:
        if flow in done:
            continue
        run = deque([flow])
        while (one := next_to(run[0], into, run[0].start)) is not None and one not in run:
            run.appendleft(one)
        while (one := next_to(run[-1], out, run[-1].end)) is not None and one not in run:
            run.append(one)
        done.update(run)
        yield list(run)
