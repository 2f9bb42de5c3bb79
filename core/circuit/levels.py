"""What rules ask of a document's positions: what stands where, from which source, by which way.

Volts come from the operating points, at the moment of a fault, with pulsed feeds at their full volts: what a
part must stand. They are against the body: in a car with positive ground its feeds are negative. Who feeds
whom comes from the trace of each balance.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

from core.circuit.drives import Drive
from core.circuit.elements import Elements, StepDownPart
from core.circuit.engine import Engine
from core.circuit.operating import OperatingPoint
from core.circuit.positions import LIVE_FRACTION, Position
from core.circuit.tracing import NO_DRIVES, Drives, Tracer, best, feeding
from core.net.graph import ConductorGraph, Net


class Levels:
    """The answers for a job's positions. `steps` works them out; ask only when it is exhausted."""

    def __init__(self, engine: Engine, elements: Elements) -> None:
        self.engine = engine
        self.graph: ConductorGraph = engine.graph
        self.elements = elements
        self.unsettled: dict[str, tuple[str, ...]] = {}
        self._tracer = Tracer(engine.graph, elements, engine.job.settings)
        self._drives: dict[Position, Mapping[Net, Drives]] = {}

    @property
    def positions(self) -> tuple[Position, ...]:
        return self.engine.positions

    # -- questions ---------------------------------------------------------------------------------

    def point(self, position: Position) -> OperatingPoint:
        """The balance that conflicts speak of: before any fuse opened, pulsed feeds at their full volts."""
        return self.engine.point(position).full.moment

    def drives(self, ref: str, position: Position) -> Drives:
        """What reaches a terminal, joint or wire end, by the source's terminal."""
        net = self.graph.net_of(ref)
        return NO_DRIVES if net is None else self._drives[position].get(net, NO_DRIVES)

    def feeds(self, ref: str, position: Position) -> tuple[Drive, ...]:
        """What reaches `ref` except ground, the strongest first."""
        found = feeding(self.drives(ref, position))
        return tuple(sorted(found, key=lambda d: (-abs(d.volts), d.source.terminal)))

    def ground(self, ref: str, position: Position) -> Drive | None:
        """The way to ground from `ref`, a reliable one where there is one."""
        found = self.drives(ref, position)
        return found.get("reliable") or found.get("unreliable")

    def ever_grounded(self, ref: str) -> tuple[Position, ...]:
        """The positions in which `ref` reaches ground by any way."""
        if self.graph.net_of(ref) not in self._grounded_nets:
            return ()
        return tuple(p for p in self.positions if self.ground(ref, p) is not None)

    @cached_property
    def _grounded_nets(self) -> frozenset[Net]:
        return frozenset(
            net
            for nets in self._drives.values()
            for net, found in nets.items()
            if "reliable" in found or "unreliable" in found
        )

    @cached_property
    def _fed_nets(self) -> frozenset[Net]:
        return frozenset(
            net
            for nets in self._drives.values()
            for net, found in nets.items()
            if any(True for _ in feeding(found))
        )

    def returns(self, ref: str, position: Position) -> bool:
        """Whether `ref` reaches ground by a way that may carry a load's amps."""
        return "reliable" in self.drives(ref, position)

    def shorted(self, ref: str, position: Position) -> bool:
        """Whether both ground and another source reach `ref`."""
        found = self.drives(ref, position)
        grounds = [d for d in found.values() if d.source.kind == "ground"]
        return bool(grounds) and len(grounds) < len(found)

    def volts(self, ref: str, position: Position) -> float | None:
        """Volts at `ref` against the body; None where it floats or is shorted, and in airbag circuits."""
        if self.shorted(ref, position):
            return None
        point = self.point(position)
        volts = point.volts(ref)
        return None if volts is None else volts - point.body_volts

    def live(self, ref: str, position: Position) -> bool:
        """Whether a source drives `ref` to most of what it gives, or into a short."""
        strongest = max((abs(d.volts) for d in feeding(self.drives(ref, position))), default=None)
        if strongest is None:
            return False
        volts = self.volts(ref, position)
        return volts is None or abs(volts) >= LIVE_FRACTION * strongest

    def ever_live(self, ref: str) -> tuple[Position, ...]:
        """The positions in which `ref` is live."""
        if self.graph.net_of(ref) not in self._fed_nets:
            return ()
        return tuple(p for p in self.positions if self.live(ref, p))

    def steps_down(self, step_down: StepDownPart) -> bool:
        """Whether a step-down ever does what it is for."""
        return any(step_down.output in self.drives(step_down.output, p) for p in self.positions)

    def fed_backwards(self, step_down: StepDownPart, position: Position) -> Drive | None:
        """What feeds a step-down at its output while nothing else feeds its input."""
        drives = self._drives[position]
        into = best(self.graph, drives, step_down.input, passing_by=step_down)
        return None if into else best(self.graph, drives, step_down.output, passing_by=step_down)

    def path(self, drive: Drive, ref: str) -> tuple[str, ...]:
        """Ids from the source to `ref`, through whatever lies between."""
        ids: list[str] = []
        if drive.behind is not None:
            step_down = next(s for s in self.elements.step_downs if s.output == drive.source.terminal)
            ids += self.path(drive.behind, step_down.input)
        at = drive.source.terminal
        for start, end in drive.hops:
            ids += self.graph.path(at, start)
            at = end
        ids += self.graph.path(at, ref)
        return tuple(dict.fromkeys(ids))

    # -- working out -------------------------------------------------------------------------------

    def steps(self) -> Iterator[None]:
        """Work out every position, in steps of a few milliseconds."""
        yield from self.engine.steps()
        for position in self.positions:
            self.solve(position)
            yield

    def solve(self, position: Position) -> None:
        """Work out one more position; ask when `steps` is exhausted."""
        if position in self._drives:
            return
        point = self.point(position)
        if point.chatter:
            self.unsettled[position.name] = chattering(point)
        self._drives[position] = self._tracer.trace(position, point)


def chattering(point: OperatingPoint) -> tuple[str, ...]:
    """The parts that come to no rest."""
    return tuple(dict.fromkeys(name.partition("#")[0] for name in point.chatter))
