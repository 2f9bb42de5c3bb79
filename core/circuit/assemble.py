"""Puts a whole job together as one circuit: parts as pieces, conductors as rows, the car round them."""

from __future__ import annotations

from collections.abc import Generator, Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import chain

import numpy as np

from core.circuit.cache import stamp
from core.circuit.car import car_of
from core.circuit.conductors import Conductors, conductors
from core.circuit.devices import sketch_of
from core.circuit.implied import insides_of
from core.circuit.network import ALWAYS, Device, Ints, Network, Regulator, Resistors
from core.circuit.numbering import Numbering
from core.circuit.plan import Plan
from core.circuit.sketch import Sketch, Terms
from core.job.document import Job
from core.job.parts import Part
from core.library.library import Library
from core.net.graph import ConductorGraph


@dataclass(frozen=True, slots=True)
class _Made:
    """One sketch with its nodes as numbers; good for one edition of the numbering."""

    sketch: Sketch
    edition: int
    devices: tuple[Device, ...]
    a: tuple[int, ...]
    b: tuple[int, ...]
    whens: tuple[int, ...]


class SketchCache:
    """What is kept between assemblies: parts as pieces, made again only where they changed or were mated
    otherwise, and the numbers of all nodes.
    """

    def __init__(self, library: Library) -> None:
        self.numbering = Numbering()
        self._library = library
        self._terms: Terms | None = None
        self._sketches: dict[str, Sketch] = {}
        self._stamps: dict[str, tuple[object, ...]] = {}
        self._seen: tuple[object, ...] = ()
        self._made: dict[str, _Made] = {}

    def terms(self, job: Job) -> Terms:
        """What the parts of this job are worked out with; other settings make all of them new."""
        if self._terms is None or self._terms.settings != job.settings:
            self._terms = Terms(self._library.limits.but(job.settings.limits), job.settings)
            self._sketches, self._stamps, self._seen = {}, {}, ()
        return self._terms

    def fill(self, job: Job) -> Generator[None, None, None]:
        """Takes in the parts of a job, with a pause after each that is made anew. What was made before it is
        closed is kept.
        """
        terms, seen = self.terms(job), (job.parts, job.mates, job.finishes)
        if _same(seen, self._seen):
            return
        self._seen = ()
        for tag, part in job.parts.items():
            mark = tuple(stamp(job, part))
            if tag not in self._sketches or not _same(mark, self._stamps[tag]):
                self._sketches[tag] = self._sketch(job, part, terms)
                self._stamps[tag] = mark
                yield
        self._sketches = {tag: self._sketches[tag] for tag in job.parts}
        self._stamps = {tag: self._stamps[tag] for tag in job.parts}
        self._seen = seen

    def sketches(self, job: Job) -> Mapping[str, Sketch]:
        """Every part of a job, by its tag."""
        for _ in self.fill(job):
            pass
        return self._sketches

    def _sketch(self, job: Job, part: Part, terms: Terms) -> Sketch:
        return sketch_of(part, insides_of(job, self._library, part), terms)

    def made(self, sketches: Mapping[str, Sketch], nodes: Mapping[str, int]) -> list[_Made]:
        """The same with the numbers of their nodes."""
        edition, known = self.numbering.edition, self._made
        made: dict[str, _Made] = {}
        for tag, sketch in sketches.items():
            one = known.get(tag)
            if one is None or one.sketch is not sketch or one.edition != edition:
                one = self._make(sketch, nodes)
            made[tag] = one
        self._made = made
        return list(made.values())

    def _make(self, sketch: Sketch, nodes: Mapping[str, int]) -> _Made:
        whens = self.numbering.condition
        return _Made(
            sketch,
            self.numbering.edition,
            tuple(maker(nodes, whens) for maker in sketch.makers.values()),
            tuple(nodes[row.a] for row in sketch.rows),
            tuple(nodes[row.b] for row in sketch.rows),
            tuple(whens(row.when) for row in sketch.rows),
        )


def _same(mark: tuple[object, ...], known: tuple[object, ...]) -> bool:
    return len(mark) == len(known) and all(a is b for a, b in zip(mark, known, strict=True))


_CAR = ""
"""Where the car's own pieces stand among those of the parts: no part has an empty tag."""


def assemble(
    job: Job,
    library: Library,
    graph: ConductorGraph,
    *,
    bench: bool = False,
    cache: SketchCache | None = None,
) -> Plan:
    """The whole job as one network. The graph stands at this job. `bench`: on the bench's supply."""
    cache = SketchCache(library) if cache is None else cache
    parts = cache.sketches(job)
    car = car_of(
        cache.terms(job),
        list(parts.values()),
        bench=bench,
        wired=lambda ref: len(graph.members(ref)) > 1,
    )
    drawn = {**parts, _CAR: car.pieces}
    inside = chain.from_iterable(sketch.nodes for sketch in drawn.values())
    joined = [pair for sketch in drawn.values() for pair in sketch.joined]
    numbering = cache.numbering
    nodes = numbering.take(chain(graph.nodes, inside), joined)
    metal = conductors(job, library, graph, nodes)
    made = cache.made(drawn, nodes)
    resistors, numbers = _resistors(metal, made)
    devices = tuple(chain.from_iterable(one.devices for one in made))
    if car.replaced is not None:
        devices = tuple(device for device in devices if device.name != car.replaced)
    network = Network(len(numbering), nodes["body"], resistors, devices, tuple(numbering.conditions))
    return Plan(
        job=job,
        network=network,
        network_full=_at_full(network, parts.values()),
        nodes=nodes,
        battery=car.battery,
        bench=bench,
        withheld=_withheld(parts.values(), graph),
        graph=graph,
        sketches=parts,
        row_keys=(*metal.keys, *(row.name for one in made for row in one.sketch.rows)),
        row_numbers=numbers,
    )


def _resistors(metal: Conductors, made: list[_Made]) -> tuple[Resistors, Ints]:
    """Every plain resistance; and the row of each, -1 for what lies within one node."""
    inside = sum(len(one.a) for one in made)
    a = _joined(metal.a, (one.a for one in made), inside)
    b = _joined(metal.b, (one.b for one in made), inside)
    ohms = np.fromiter((row.ohms for one in made for row in one.sketch.rows), np.float64, inside)
    whens = np.fromiter(chain.from_iterable(one.whens for one in made), np.int64, inside)
    apart = a != b
    numbers = np.where(apart, np.cumsum(apart) - 1, -1)
    all_ohms = np.concatenate([metal.ohms, ohms])
    when = np.concatenate([np.full(len(metal.a), ALWAYS, dtype=np.int64), whens])
    return Resistors(a[apart], b[apart], all_ohms[apart], when[apart]), numbers


def _joined(first: Ints, rest: Iterable[tuple[int, ...]], length: int) -> Ints:
    return np.concatenate([first, np.fromiter(chain.from_iterable(rest), np.int64, length)])


def _at_full(network: Network, sketches: Iterable[Sketch]) -> Network:
    """The same with every pulsed feed on; the network itself where there is none."""
    full = {name: held for sketch in sketches for name, held in sketch.full.items()}
    if not full:
        return network
    devices = tuple(
        replace(device, volts_out=full[device.name][0], ratio=full[device.name][1])
        if isinstance(device, Regulator) and device.name in full
        else device
        for device in network.devices
    )
    return replace(network, devices=devices)


def _withheld(sketches: Iterable[Sketch], graph: ConductorGraph) -> frozenset[str]:
    """Nobody measures an airbag circuit: all that conducts to one."""
    airbags = (ref for sketch in sketches for ref in sketch.airbags)
    return frozenset().union(*(graph.members(ref) for ref in airbags))
