"""Which volts reach which net from which source, position by position.

The simple reasoning of this version: conductors, fuses and closed contacts have no resistance, loads
draw nothing. A solver of the whole circuit takes its place behind the same questions. Volts are against
the body: in a car with positive ground its feeds are negative.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from core.circuit.drives import Drive, Way, key_of, made_by
from core.circuit.elements import Elements, RelayPart, Source, StepDownPart
from core.circuit.positions import LIVE_FRACTION, Position
from core.job.record import Settings
from core.net.graph import ConductorGraph, Net

BACK_DROP_VOLTS = 0.7
"""Lost where a step-down fed at its output passes volts back through its switch's diode (common practice)."""


StepDownMode = Literal["off", "on", "back"]
Drives = Mapping[str, Drive]
_NO_DRIVES: Drives = {}


@dataclass(frozen=True, slots=True)
class _States:
    relays: tuple[bool, ...]
    step_downs: tuple[StepDownMode, ...]


class Levels:
    """The answers for a job's positions. `steps` works them out; ask only when it is exhausted."""

    def __init__(
        self, graph: ConductorGraph, elements: Elements, settings: Settings, positions: Sequence[Position]
    ) -> None:
        self.graph = graph
        self.elements = elements
        self.settings = settings
        self.positions = tuple(positions)
        self.unsettled: dict[str, tuple[str, ...]] = {}
        self._sign = 1 if settings.ground == "negative" else -1
        self._fixed = self._fixed_ways()
        self._drives: dict[Position, Mapping[Net, Drives]] = {}
        off: tuple[StepDownMode, ...] = tuple("off" for _ in elements.step_downs)
        self._at_rest = _States((False,) * len(elements.relays), off)
        self._settled: dict[Position, _States] = {}

    # -- questions ---------------------------------------------------------------------------------

    def drives(self, ref: str, position: Position) -> Drives:
        """What reaches a terminal, joint or wire end, by the source's terminal."""
        net = self.graph.net_of(ref)
        return _NO_DRIVES if net is None else self._drives[position].get(net, _NO_DRIVES)

    def feeds(self, ref: str, position: Position) -> tuple[Drive, ...]:
        """What reaches `ref` except ground, the strongest first."""
        found = (d for d in self.drives(ref, position).values() if d.source.kind != "ground")
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
            if any(drive.source.kind != "ground" for drive in found.values())
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
        """Volts at `ref` against the body; None where it floats or is shorted."""
        strongest, grounded = None, False
        for drive in self.drives(ref, position).values():
            if drive.source.kind == "ground":
                grounded = True
            elif strongest is None or abs(drive.volts) > abs(strongest):
                strongest = drive.volts
        if grounded:
            return 0.0 if strongest is None else None
        return strongest

    def live(self, ref: str, position: Position) -> bool:
        """Whether anything but ground drives `ref`."""
        return any(d.source.kind != "ground" for d in self.drives(ref, position).values())

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
        into = self._best(step_down.input, drives, passing_by=step_down)
        return None if into else self._best(step_down.output, drives, passing_by=step_down)

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
        """Work out every position, one for each step."""
        before = self._at_rest
        for position in sorted(self.positions, key=lambda p: len(p.switches)):
            start = self._settled.get(Position(position.key), before) if position.switches else before
            states = self._settled[position] = self._settle(position, start)
            before = states if not position.switches else before
            yield

    def solve(self, position: Position) -> None:
        """Work out one more position, reached from its key position; ask when `steps` is exhausted."""
        if position not in self._settled:
            start = self._settled.get(Position(position.key), self._at_rest)
            self._settled[position] = self._settle(position, start)

    def _settle(self, position: Position, states: _States) -> _States:
        seen: list[_States] = []
        while True:
            drives = self._spread(position, states)
            self._drives[position] = drives
            after = _States(
                tuple(self._pulled_in(relay, drives) for relay in self.elements.relays),
                tuple(self._mode(step_down, drives) for step_down in self.elements.step_downs),
            )
            if after == states:
                return states
            if after in seen:
                self.unsettled[position.name] = self._differing(states, after)
                return after
            seen.append(states)
            states = after

    def _differing(self, one: _States, other: _States) -> tuple[str, ...]:
        relays = zip(self.elements.relays, one.relays, other.relays, strict=True)
        step_downs = zip(self.elements.step_downs, one.step_downs, other.step_downs, strict=True)
        return (*(r.part for r, a, b in relays if a != b), *(s.part for s, a, b in step_downs if a != b))

    def _spread(self, position: Position, states: _States) -> dict[Net, dict[str, Drive]]:
        ways = self._ways(states)
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
            if position.has(source.live):
                put(source.terminal, Drive(source, self._source_volts(source, position)))
        run()
        for step_down, mode in zip(self.elements.step_downs, states.step_downs, strict=True):
            into, out = self._best(step_down.input, found), self._best(step_down.output, found)
            common = self._volts_in(step_down.common, found)
            behind = into or self._best(step_down.common, found)
            if mode == "on" and behind is not None and common is not None:
                volts = common + step_down.volts_out
                source = Source("step-down", step_down.output, volts=volts)
                put(step_down.output, Drive(source, volts, (), behind))
            elif mode == "back" and out is not None and abs(out.volts) > BACK_DROP_VOLTS:
                hop = (step_down.output, step_down.input)
                volts = out.volts - self._sign * BACK_DROP_VOLTS
                put(step_down.input, Drive(out.source, volts, (*out.hops, hop), out.behind))
            run()
        return found

    def _source_volts(self, source: Source, position: Position) -> float:
        battery = position.battery_volts(self.settings)
        volts = battery if source.volts is None else source.volts
        match source.kind:
            case "ground":
                return 0.0
            case "output":
                return volts if self._sign > 0 else volts - battery
            case _:
                return self._sign * volts

    def _through(self, way: Way, drive: Drive) -> Drive | None:
        if drive.source.kind == "ground":
            # Ground pulls the other way through a diode than a feed pushes.
            if way.sign == self._sign:
                return None
            return Drive(drive.source, 0.0, (*drive.hops, (way.start, way.end)))
        if way.sign and way.sign * drive.volts <= way.drop_volts:
            return None
        volts = drive.volts - way.sign * way.drop_volts
        return Drive(drive.source, volts, (*drive.hops, (way.start, way.end)), drive.behind)

    def _pulled_in(self, relay: RelayPart, drives: Mapping[Net, Drives]) -> bool:
        plus, minus = self._volts_in(relay.coil_plus, drives), self._volts_in(relay.coil_minus, drives)
        if plus is None or minus is None:
            return False
        return abs(plus - minus) >= LIVE_FRACTION * self.settings.system_volts

    def _mode(self, step_down: StepDownPart, drives: Mapping[Net, Drives]) -> StepDownMode:
        into = self._best(step_down.input, drives, passing_by=step_down)
        common = self._volts_in(step_down.common, drives)
        volts = into.volts if into is not None else self._grounded(step_down.input, drives)
        if volts is not None and common is not None and volts - common >= step_down.volts_out:
            return "on"
        out = self._best(step_down.output, drives, passing_by=step_down)
        return "back" if into is None and out is not None else "off"

    def _grounded(self, ref: str, drives: Mapping[Net, Drives]) -> float | None:
        return 0.0 if self._volts_in(ref, drives) == 0.0 else None

    def _best(
        self, ref: str, drives: Mapping[Net, Drives], passing_by: StepDownPart | None = None
    ) -> Drive | None:
        net = self.graph.net_of(ref)
        found = (
            [
                d
                for d in drives.get(net, _NO_DRIVES).values()
                if d.source.kind != "ground" and (passing_by is None or not made_by(d, passing_by))
            ]
            if net is not None
            else []
        )
        return max(found, key=lambda d: (abs(d.volts), d.source.terminal), default=None)

    def _volts_in(self, ref: str, drives: Mapping[Net, Drives]) -> float | None:
        net = self.graph.net_of(ref)
        found = drives.get(net, _NO_DRIVES) if net is not None else _NO_DRIVES
        if any(d.source.kind == "ground" for d in found.values()):
            return 0.0
        best = max(found.values(), key=lambda d: abs(d.volts), default=None)
        return None if best is None else best.volts

    def _fixed_ways(self) -> dict[Net, list[Way]]:
        found: dict[Net, list[Way]] = {}
        for fuse in self.elements.fuses:
            self._add(found, Way(fuse.a, fuse.b), Way(fuse.b, fuse.a))
        for diode in self.elements.diodes:
            forward = Way(diode.anode, diode.cathode, diode.drop_volts, 1)
            self._add(found, forward, Way(diode.cathode, diode.anode, diode.drop_volts, -1))
        return found

    def _add(self, found: dict[Net, list[Way]], *ways: Way) -> None:
        for way in ways:
            net = self.graph.net_of(way.start)
            if net is not None:
                found.setdefault(net, []).append(way)

    def _ways(self, states: _States) -> Mapping[Net, list[Way]]:
        if not self.elements.relays:
            return self._fixed
        found = {net: list(ways) for net, ways in self._fixed.items()}
        for relay, pulled_in in zip(self.elements.relays, states.relays, strict=True):
            contact = relay.make if pulled_in else relay.rest
            if contact is not None:
                self._add(found, Way(relay.common, contact), Way(contact, relay.common))
        return found
