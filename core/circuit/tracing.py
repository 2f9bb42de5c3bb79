"""Which source reaches which net in one balance, and by what way: the evidence behind volts.

The solver says what stands where; this says from whom. Contacts, diodes and converters are as the solver
left them; conductors, fuses and closed contacts lead on, loads do not.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping

from core.circuit.drives import Drive, Way, key_of, made_by
from core.circuit.elements import DiodePart, Elements, Source, StepDownPart
from core.circuit.operating import OperatingPoint
from core.circuit.positions import Position
from core.job.record import Settings
from core.net.graph import ConductorGraph, Net

BACK_DROP_VOLTS = 0.7
"""Lost where a step-down fed at its output passes volts back through its switch's diode (common practice)."""

LEAST_VOLTS = 1.0
"""A converter that gets less gives nothing."""

Drives = Mapping[str, Drive]
NO_DRIVES: Drives = {}


class Tracer:
    """Traces the sources of one document, position by position."""

    def __init__(self, graph: ConductorGraph, elements: Elements, settings: Settings) -> None:
        self.graph = graph
        self.elements = elements
        self.settings = settings
        self.sign = 1 if settings.ground == "negative" else -1
        self._fixed: dict[Net, list[Way]] = {}
        for fuse in elements.fuses:
            self._join(self._fixed, fuse.a, fuse.b)

    def trace(self, position: Position, point: OperatingPoint) -> dict[Net, dict[str, Drive]]:
        """What reaches every net, by the source's terminal (grounds by whether they are reliable)."""
        states = point.solution.states
        ways = self._ways(position, point)
        found: dict[Net, dict[str, Drive]] = {}
        queue: deque[tuple[Net, Drive]] = deque()

        def put(ref: str, drive: Drive) -> None:
            net = self.graph.net_of(ref)
            if net is None:
                return
            there = found.setdefault(net, {})
            key = key_of(drive.source)
            if key not in there:
                there[key] = drive
                queue.append((net, drive))

        def run() -> None:
            while queue:
                net, drive = queue.popleft()
                for way in ways.get(net, ()):
                    passed = self._through(way, drive)
                    if passed is not None:
                        put(way.end, passed)

        for source in self.elements.sources:
            if position.has(source.live) and states.get(source.name) != "off":
                put(source.terminal, Drive(source, self._source_volts(source, position)))
        run()
        for step_down in self.elements.step_downs:
            state, _, back = states.get(step_down.name, "off").partition("+")
            into = best(self.graph, found, step_down.input)
            behind = into or best(self.graph, found, step_down.common)
            if back:
                out = best(self.graph, found, step_down.output)
                if out is not None and abs(out.volts) > BACK_DROP_VOLTS:
                    hop = (step_down.output, step_down.input)
                    volts = out.volts - self.sign * BACK_DROP_VOLTS
                    put(step_down.input, Drive(out.source, volts, (*out.hops, hop), out.behind))
            elif state != "off" and behind is not None and _fed(step_down, point):
                volts = self._common_volts(step_down, found) + step_down.volts_out
                source = Source("step-down", step_down.output, volts=volts)
                put(step_down.output, Drive(source, volts, (), behind))
            run()
        return found

    def _common_volts(self, step_down: StepDownPart, found: Mapping[Net, Drives]) -> float:
        net = self.graph.net_of(step_down.common)
        drives = found.get(net, NO_DRIVES) if net is not None else NO_DRIVES
        if not drives or any(d.source.kind == "ground" for d in drives.values()):
            return 0.0
        return max(drives.values(), key=lambda d: abs(d.volts)).volts

    def _source_volts(self, source: Source, position: Position) -> float:
        battery = position.battery_volts(self.settings)
        volts = battery if source.volts is None else source.volts
        match source.kind:
            case "ground":
                return 0.0
            case "output":
                return volts if self.sign > 0 else volts - battery
            case _:
                return self.sign * volts

    def _through(self, way: Way, drive: Drive) -> Drive | None:
        if drive.source.kind == "ground":
            # Ground pulls the other way through a diode than a feed pushes.
            if way.sign == self.sign:
                return None
            return Drive(drive.source, 0.0, (*drive.hops, (way.start, way.end)))
        if way.sign and way.sign * drive.volts <= way.drop_volts:
            return None
        volts = drive.volts - way.sign * way.drop_volts
        return Drive(drive.source, volts, (*drive.hops, (way.start, way.end)), drive.behind)

    def _ways(self, position: Position, point: OperatingPoint) -> Mapping[Net, list[Way]]:
        states = point.solution.states
        found = {net: list(ways) for net, ways in self._fixed.items()}
        for diode in self.elements.diodes:
            if _leads(diode, point):
                self._add(found, Way(diode.anode, diode.cathode, diode.drop_volts, 1))
                self._add(found, Way(diode.cathode, diode.anode, diode.drop_volts, -1))
        for relay in self.elements.relays:
            contact = relay.make if states.get(relay.name) == "pulled" else relay.rest
            if contact is not None:
                self._join(found, relay.common, contact)
        for switch in self.elements.contacts:
            if position.has(switch.closed) and states.get(switch.name) != "off":
                self._join(found, switch.a, switch.b)
        return found

    def _join(self, found: dict[Net, list[Way]], a: str, b: str) -> None:
        self._add(found, Way(a, b))
        self._add(found, Way(b, a))

    def _add(self, found: dict[Net, list[Way]], way: Way) -> None:
        net = self.graph.net_of(way.start)
        if net is not None:
            found.setdefault(net, []).append(way)


def _leads(diode: DiodePart, point: OperatingPoint) -> bool:
    """Whether a diode conducts, or would as soon as anything hangs on its open end."""
    anode, cathode = point.volts(diode.anode), point.volts(diode.cathode)
    return anode is None or cathode is None or anode - cathode > diode.drop_volts / 2


def _fed(step_down: StepDownPart, point: OperatingPoint) -> bool:
    volts, common = point.volts(step_down.input), point.volts(step_down.common)
    return volts is not None and common is not None and volts - common >= LEAST_VOLTS


def feeding(drives: Drives) -> Iterator[Drive]:
    """Everything that drives a net, ground excepted."""
    return (d for d in drives.values() if d.source.kind != "ground")


def best(
    graph: ConductorGraph,
    found: Mapping[Net, Drives],
    ref: str,
    passing_by: StepDownPart | None = None,
) -> Drive | None:
    """The strongest feed at a terminal, not counting what a step-down makes there itself."""
    net = graph.net_of(ref)
    drives = found.get(net, NO_DRIVES) if net is not None else NO_DRIVES
    kept = (d for d in feeding(drives) if passing_by is None or not made_by(d, passing_by))
    return max(kept, key=lambda d: (abs(d.volts), d.source.terminal), default=None)
