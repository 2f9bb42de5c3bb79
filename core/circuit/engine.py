"""Answers about the circuit of one document: its operating points, and what a meter should show."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from core.circuit.assemble import SketchCache, assemble
from core.circuit.implied import insides_of
from core.circuit.metering import Chain, Meter
from core.circuit.operating import OperatingPoint
from core.circuit.places import Places
from core.circuit.plan import Plan
from core.circuit.positions import Position, position, standard_set
from core.circuit.probe import MeterShows, Probe
from core.job.document import Job
from core.job.internals.common import STANDARD_SWITCHES, Switch
from core.library.library import Library
from core.net.graph import ConductorGraph


class Engine:
    """One document, whose conductors `graph` stands at; ask no more once the graph goes on to another.

    `bench`: the supply on the bench stands in for the car's battery. `cache` keeps the parts that one
    document shares with the next; `used`: the switches that parts depend on, where they are known already.
    """

    def __init__(
        self,
        job: Job,
        library: Library,
        graph: ConductorGraph,
        *,
        bench: bool = False,
        cache: SketchCache | None = None,
        used: frozenset[Switch] | None = None,
    ) -> None:
        self.job = job
        self.library = library
        self.graph = graph
        self.bench = bench
        self._cache = cache
        self._given = used
        self._points: dict[Position, OperatingPoint] = {}
        self._shown: dict[tuple[Probe, Position], MeterShows] = {}

    @cached_property
    def plan(self) -> Plan:
        """The circuit as numbers, with the names of the job."""
        return assemble(self.job, self.library, self.graph, bench=self.bench, cache=self._cache)

    @cached_property
    def positions(self) -> tuple[Position, ...]:
        """The standard set of the job."""
        return standard_set(self._used, self.own_switches)

    @cached_property
    def _used(self) -> frozenset[Switch]:
        if self._given is not None:
            return self._given
        insides = (insides_of(self.job, self.library, part) for part in self.job.parts.values())
        return frozenset().union(*(inside.switches for inside in insides))

    @property
    def own_switches(self) -> tuple[Switch, ...]:
        """The job's switches beside the usual ones."""
        return tuple(switch.name for switch in self.job.settings.switches)

    def position(self, name: str) -> Position:
        """`running+lights` to the position; held buttons are switches. Raises ValueError."""
        return position(name, self.switches)

    @cached_property
    def switches(self) -> tuple[Switch, ...]:
        """Every switch that a position of this job may have on beside the usual ones, held buttons too."""
        own = self.own_switches
        turned = {switch for live in self.plan.network.conditions for switch in live.switches}
        return (*own, *sorted((turned | self._used).difference(own, STANDARD_SWITCHES)))

    @cached_property
    def places(self) -> Places:
        return Places(self.job, self.library, self.graph, self.plan)

    def steps(self) -> Iterator[None]:
        """Works out the standard set, with a pause after each balance."""
        for each in sorted(self.positions, key=lambda p: len(p.switches)):
            self._chain.solved(each)
            yield
            if self.plan.pulsed:
                self._full_chain.solved(each)
                yield
            self.point(each)

    def point(self, position: Position) -> OperatingPoint:
        """The operating point of any position, reached from the one before it."""
        known = self._points.get(position)
        if known is None:
            twin = self._point(self._full_chain, position, None) if self.plan.pulsed else None
            known = self._points[position] = self._point(self._chain, position, twin)
        return known

    def reading(self, probe: Probe, position: Position) -> MeterShows:
        """What a meter should show in a position."""
        if probe.bench != self.bench:
            return self.other.reading(probe, position)
        known = self._shown.get((probe, position))
        if known is None:
            known = self._shown[probe, position] = self.meter.shows(probe, position)
        return known

    @cached_property
    def other(self) -> Engine:
        """The same document on the bench, or back in the car."""
        return Engine(
            self.job, self.library, self.graph, bench=not self.bench, cache=self._cache, used=self._given
        )

    @cached_property
    def meter(self) -> Meter:
        return Meter(self.places, self._chain)

    @cached_property
    def _chain(self) -> Chain:
        return Chain(self.plan.network)

    @cached_property
    def _full_chain(self) -> Chain:
        return Chain(self.plan.network_full)

    def _point(self, chain: Chain, position: Position, twin: OperatingPoint | None) -> OperatingPoint:
        solved = chain.solved(position)
        before = position.before
        return OperatingPoint(
            position=position,
            reached_from=None if before is None else before.name,
            places=self.places,
            network=chain.network,
            solution=solved.after,
            opened=solved.opened,
            before=solved.moment if solved.opened else None,
            twin=twin,
        )
