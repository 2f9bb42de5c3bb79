"""What stands before each conductor: the fuse that opens before it burns, on the way there and back.

It asks what could flow if insulation or a load fails, not what flows: closed or open, every contact counts
as a way. A net may get what the largest of its ways lets through, a way what its smallest fuse does. On the
body's side a conductor may get what the loads return through it.
"""

from __future__ import annotations

import heapq
import math
from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from core.circuit.elements import LoadPart
from core.job import internals as kinds
from core.job.internals import Internal
from core.job.record import Settings
from core.library.limits import Limits
from core.net.graph import ConductorGraph, Net

Hop = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Guard:
    """The most amps that can come for long: `by` the fuse or output of that name, from `source`, a terminal.

    Without end where nothing limits them: `known` False where the car has a fuse there that nobody stated.
    `hops`: the terminals it comes through inside parts.
    """

    amps: float
    source: str
    by: str = ""
    known: bool = True
    hops: tuple[Hop, ...] = ()

    @property
    def rank(self) -> tuple[float, bool]:
        return self.amps, self.known


@dataclass(frozen=True, slots=True)
class _Way:
    start: str
    end: str
    name: str
    amps: float = math.inf
    fuse: bool = False


_KINDS = frozenset(
    {
        kinds.Battery,
        kinds.Breaker,
        kinds.Case,
        kinds.Diode,
        kinds.Feed,
        kinds.Fuse,
        kinds.GroundPoint,
        kinds.Lamp,
        kinds.LowSideOutput,
        kinds.Output,
        kinds.Relay,
        kinds.Resistor,
        kinds.StepDown,
        kinds.StepUp,
        kinds.SwitchContact,
        kinds.SwitchToGround,
    }
)
"""What gives, leads on or returns. Most of a job's devices are inputs and speakers, and do none of it."""


class Fusing:
    """The guards of one document. `unfused`: the terminals of constant feeds that have no fuse. `ratings`:
    every fuse and breaker by its device, with its amps and terminals.
    """

    def __init__(
        self,
        graph: ConductorGraph,
        devices: Mapping[str, tuple[str, Internal]],
        loads: Iterable[LoadPart],
        settings: Settings,
        limits: Limits,
    ) -> None:
        self._graph = graph
        self._negative = settings.ground == "negative"
        self._system = float(settings.system_volts)
        self._output_amps = limits["output_amps"]
        self.unfused: list[str] = []
        self.ratings: dict[str, tuple[float, tuple[str, ...]]] = {}
        self._seeds: list[tuple[str, Guard]] = []
        self._ways: dict[Net, list[_Way]] = {}
        self._through: dict[Net, list[_Way]] = {}
        self._grounds: dict[str, bool] = {}
        self._poles: list[tuple[str, str, str]] = []
        self.shared = shared_fuses(devices)
        for name, (tag, internal) in devices.items():
            if type(internal) in _KINDS and " " not in name:
                self._take(name, tag, internal)
        for load in loads:
            for minus in load.minus[:1]:
                self._both(self._through, load.plus, minus, load.part)
        self.ground_nets = frozenset(net for ref in self._grounds if (net := graph.net_of(ref)) is not None)
        self.feed: dict[Net, Guard] = {}
        self._entries: dict[str, Guard] = {}
        self._spread(self._seeded(), beyond_loads=False)
        self._spread(iter(list(self.feed.items())), beyond_loads=True)
        for name, hot, cold in self._poles:
            self._battery_return(name, hot, cold)
        self.back = dict(self._returned())

    def guard(self, ref: str, net: Net | None) -> Guard | None:
        """What stands before a wire, a conductor or a lead of that net; None where nothing feeds it."""
        if net in self.ground_nets:
            return self.back.get(ref)
        return None if net is None else self.feed.get(net)

    def at(self, terminal: str) -> Guard | None:
        """What stands before a terminal that is not on the body's side."""
        net = self._graph.net_of(terminal)
        return None if net is None or net in self.ground_nets else self.feed.get(net)

    def beside(self, terminal: str) -> Iterator[tuple[str, str, bool]]:
        """What leads on from the net of a terminal: from which terminal, as what device, and whether that is
        a fuse.
        """
        net = self._graph.net_of(terminal)
        if net is None:
            return
        for way in (*self._ways.get(net, ()), *self._through.get(net, ())):
            yield way.start, way.name, way.fuse

    # -- reading the parts -------------------------------------------------------------------------

    def _take(self, name: str, tag: str, it: Internal) -> None:
        def full(local: str) -> str:
            return f"{tag}.{local}"

        match it:
            case kinds.Battery():
                hot, cold = (it.plus, it.minus) if self._negative else (it.minus, it.plus)
                self._seed(full(hot), math.inf)
                self.unfused.append(full(hot))
                self._grounds[full(cold)] = True
                self._poles.append((name, full(hot), full(cold)))
            case kinds.Feed():
                self._feed(name, full(it.terminal), it, None if it.fed_from is None else full(it.fed_from))
            case kinds.Output():
                self._seed(full(it.terminal), it.amps or self._output_amps, by=name)
            case kinds.StepDown() | kinds.StepUp():
                for start in (it.input, it.common):
                    self._add(self._ways, full(start), full(it.output), name, it.amps or math.inf)
                self._both(self._through, full(it.input), full(it.common), name)
            case kinds.Fuse() | kinds.Breaker():
                self._both(self._ways, full(it.a), full(it.b), name, it.amps, fuse=True)
                self.ratings[name] = it.amps, (full(it.a), full(it.b))
            case kinds.SwitchContact():
                self._both(self._ways, full(it.a), full(it.b), name)
            case kinds.Relay():
                for contact in (it.make, it.rest):
                    if contact is not None:
                        self._both(self._ways, full(it.common), full(contact), name)
                self._both(self._through, full(it.coil_plus), full(it.coil_minus), f"{name} coil")
            case kinds.Diode():
                ends = (it.anode, it.cathode) if self._negative else (it.cathode, it.anode)
                self._add(self._ways, full(ends[0]), full(ends[1]), name)
            case kinds.Resistor():
                self._both(self._through, full(it.a), full(it.b), name, self._system / max(it.ohms, 1e-3))
            case kinds.Lamp():
                self._both(self._through, full(it.a), full(it.b), name)
            case kinds.LowSideOutput():
                amps = it.amps or self._output_amps
                self._add(self._ways, full(it.terminal), full(it.reference), name, amps)
            case kinds.GroundPoint():
                self._grounds[full(it.terminal)] = it.reliable
            case kinds.SwitchToGround():
                self._grounds[full(it.terminal)] = True
            case kinds.Case() if it.touches_body:
                self._grounds[full(it.a)] = False
            case _:
                pass

    def _feed(self, name: str, terminal: str, it: kinds.Feed, fed_from: str | None) -> None:
        fuse = f"fuse {it.fuse}" if it.fuse and fed_from is None and it.volts is None else f"{name} fuse"
        amps = self.shared.get(fuse, it.fuse_amps)
        if amps is not None:
            _, known = self.ratings.get(fuse, (amps, ()))
            self.ratings[fuse] = amps, (*known, terminal)
        if fed_from is not None:
            self._add(self._ways, fed_from, terminal, fuse, amps or math.inf, fuse=amps is not None)
        elif amps is not None:
            self._seed(terminal, amps, by=fuse)
        else:
            # A feed that is stated with its ohms alone is a bare pole; else the car has a fuse somewhere.
            bare = it.ohms is not None and not it.fuse and it.volts is None
            self._seed(terminal, math.inf, known=bare)
            if bare and "off" in it.live.keys:
                self.unfused.append(terminal)

    def _seed(self, terminal: str, amps: float, by: str = "", *, known: bool = True) -> None:
        self._seeds.append((terminal, Guard(amps, terminal, by, known)))

    def _both(
        self,
        ways: dict[Net, list[_Way]],
        a: str,
        b: str,
        name: str,
        amps: float = math.inf,
        *,
        fuse: bool = False,
    ) -> None:
        self._add(ways, a, b, name, amps, fuse=fuse)
        self._add(ways, b, a, name, amps, fuse=fuse)

    def _add(
        self,
        ways: dict[Net, list[_Way]],
        start: str,
        end: str,
        name: str,
        amps: float = math.inf,
        *,
        fuse: bool = False,
    ) -> None:
        net = self._graph.net_of(start)
        if net is not None:
            ways.setdefault(net, []).append(_Way(start, end, name, amps, fuse))

    # -- spreading ---------------------------------------------------------------------------------

    def _seeded(self) -> Iterator[tuple[Net, Guard]]:
        for terminal, guard in self._seeds:
            net = self._graph.net_of(terminal)
            if net is not None:
                yield net, guard

    def _spread(self, start: Iterator[tuple[Net, Guard]], *, beyond_loads: bool) -> None:
        """The widest way first. Beyond loads nothing is changed of what feeds reach by themselves."""
        fed = frozenset(self.feed) if beyond_loads else frozenset()
        queue = [(-guard.amps, not guard.known, n, net, guard, "") for n, (net, guard) in enumerate(start)]
        heapq.heapify(queue)
        count = len(queue)
        done: set[Net] = set()
        while queue:
            *_, net, guard, came = heapq.heappop(queue)
            if net in done or net in self.ground_nets:
                continue
            done.add(net)
            if net not in fed:
                self.feed[net] = guard
            ways = self._ways.get(net, ())
            for way in (*ways, *self._through.get(net, ())) if beyond_loads else ways:
                # From one contact of a changeover relay no way leads to the other.
                if way.name == came:
                    continue
                there = self._graph.net_of(way.end)
                passed = _passed(guard, way)
                if there is None or there in fed or there in done:
                    continue
                if there in self.ground_nets:
                    if beyond_loads:
                        self._enter(way.end, passed)
                    continue
                count += 1
                heapq.heappush(queue, (-passed.amps, not passed.known, count, there, passed, way.name))

    def _enter(self, terminal: str, guard: Guard) -> None:
        known = self._entries.get(terminal)
        if known is None or guard.rank > known.rank:
            self._entries[terminal] = guard

    def _battery_return(self, name: str, hot: str, cold: str) -> None:
        """A battery's own way back carries what the largest fuse at its hot pole lets through."""
        net = self._graph.net_of(hot)
        fuses = [way for way in self._ways.get(net, ()) if way.fuse] if net is not None else []
        if fuses:
            largest = max(fuses, key=lambda way: way.amps)
            self._enter(cold, Guard(largest.amps, hot, largest.name, hops=((hot, cold),)))

    def _returned(self) -> Iterator[tuple[str, Guard]]:
        """The conductors between where loads return and the nearest ground of their net."""
        beside: dict[str, list[tuple[str, str]]] = {}
        nodes = self._graph.nodes
        for piece in self._graph.by_owner.values():
            for edge in piece.edges:
                if nodes.get(edge.a) in self.ground_nets:
                    beside.setdefault(edge.a, []).append((edge.b, edge.key))
                    beside.setdefault(edge.b, []).append((edge.a, edge.key))
        toward: dict[str, tuple[str, str] | None] = {}
        reached: set[Net] = set()
        for reliable in (True, False):
            roots = [
                ref
                for ref, good in self._grounds.items()
                if good == reliable and self._graph.net_of(ref) not in reached
            ]
            toward.update(dict.fromkeys(roots))
            queue = deque(roots)
            while queue:
                node = queue.popleft()
                for other, key in beside.get(node, ()):
                    if other not in toward:
                        toward[other] = (node, key)
                        queue.append(other)
            reached.update(net for ref in roots if (net := self._graph.net_of(ref)) is not None)
        found: dict[str, Guard] = {}
        for terminal, guard in self._entries.items():
            step = toward.get(terminal)
            while step is not None:
                node, key = step
                known = found.get(key)
                if known is not None and known.rank >= guard.rank:
                    break
                found[key] = guard
                step = toward.get(node)
        yield from found.items()


def _passed(guard: Guard, way: _Way) -> Guard:
    hops = (*guard.hops, (way.start, way.end))
    if way.amps < guard.amps:
        return Guard(way.amps, guard.source, way.name, True, hops)
    return Guard(guard.amps, guard.source, guard.by, guard.known, hops)


def shared_fuses(devices: Mapping[str, tuple[str, Internal]]) -> dict[str, float]:
    """The vehicle fuses that feeds share by their words, with the least rating that is stated of each."""
    found: dict[str, float] = {}
    for _, it in devices.values():
        if isinstance(it, kinds.Feed) and it.fuse and it.fuse_amps is not None:
            name = f"fuse {it.fuse}"
            found[name] = min(it.fuse_amps, found.get(name, it.fuse_amps))
    return found
