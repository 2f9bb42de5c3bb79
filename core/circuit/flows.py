"""The way of the amps that a reading hangs on: which conductors lie before and behind its two points."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from core.circuit.kernel.solution import Solution
from core.circuit.network import (
    Device,
    Diode,
    Fuse,
    GatedSwitch,
    Lamp,
    Load,
    Network,
    Regulator,
    Relay,
    Source,
)

LEAST_AMPS = 1e-8
"""Less is rounding."""
SAME_SHARE = 1e-3
"""Amps that differ by no more are the same amps."""


@dataclass(frozen=True, slots=True)
class Flow:
    """Amps above 0 in one resistance or device, from `start` to `end`. `onward`: a row's own direction."""

    start: int
    end: int
    amps: float
    row: int = -1
    onward: bool = True


def flows(network: Network, solution: Solution) -> Iterator[Flow]:
    """Everything that carries amps, the sources left out: there the way begins and ends."""
    resistors = network.resistors
    ends = zip(resistors.a.tolist(), resistors.b.tolist(), solution.resistor_amps.tolist(), strict=True)
    for row, (a, b, amps) in enumerate(ends):
        if abs(amps) > LEAST_AMPS:
            yield Flow(a, b, amps, row) if amps > 0 else Flow(b, a, -amps, row, False)
    for device in network.devices:
        for a, b, amps in _through(device, solution):
            if abs(amps) > LEAST_AMPS:
                yield Flow(a, b, amps) if amps > 0 else Flow(b, a, -amps)


def _through(device: Device, solution: Solution) -> Iterator[tuple[int, int, float]]:
    amps = solution.device_amps
    name = device.name
    match device:
        case Source():
            pass
        case Load():
            yield device.plus, device.minus, amps[name]
        case Lamp() | Fuse() | GatedSwitch():
            yield device.a, device.b, amps[name]
        case Diode():
            yield device.anode, device.cathode, amps[name]
        case Relay():
            yield device.coil_plus, device.coil_minus, amps[f"{name} coil"]
            contact = device.make if solution.states[name] == "pulled" else device.rest
            if contact is not None:
                yield device.common, contact, amps[name]
        case Regulator():
            yield device.input, device.output, amps[name]
            yield device.input, device.common, amps[f"{name} in"] - amps[name]


def before_and_behind(found: Iterable[Flow], points: Iterable[int]) -> list[Flow]:
    """What flows to the points, and what flows on from them, the nearest first."""
    into: dict[int, list[Flow]] = {}
    out: dict[int, list[Flow]] = {}
    for flow in found:
        into.setdefault(flow.end, []).append(flow)
        out.setdefault(flow.start, []).append(flow)
    kept: dict[Flow, None] = {}
    for ways, onward in ((into, False), (out, True)):
        seen = set(points)
        queue = deque(seen)
        while queue:
            for flow in ways.get(queue.popleft(), ()):
                kept[flow] = None
                node = flow.end if onward else flow.start
                if node not in seen:
                    seen.add(node)
                    queue.append(node)
    return list(kept)


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
