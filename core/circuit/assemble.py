"""Puts a whole job together as one circuit: parts as pieces, conductors as rows, the car round them."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import chain

import numpy as np

from core.circuit.cache import stamp
from core.circuit.car import car_of
from core.circuit.conductors import Conductors, conductors
from core.circuit.devices import sketch_of
from core.circuit.implied import insides_of
from core.circuit.network import ALWAYS, Ints, Network, Regulator, Resistors
from core.circuit.plan import Plan
from core.circuit.positions import KEYS
from core.circuit.sketch import BODY, MINUS, PLUS, Row, Sketch, Terms
from core.job.document import Job
from core.job.internals import Key, LiveIn, Switch
from core.job.parts import Part
from core.library.library import Library
from core.net.graph import ConductorGraph


class SketchCache:
    """Parts as pieces, worked out again only for those that changed or were mated otherwise."""

    def __init__(self, library: Library) -> None:
        self._library = library
        self._terms: Terms | None = None
        self._known: dict[str, tuple[tuple[object, ...], Sketch]] = {}

    def terms(self, job: Job) -> Terms:
        """What the parts of this job are worked out with; other settings make all of them new."""
        if self._terms is None or self._terms.settings is not job.settings:
            self._terms = Terms(self._library.limits, job.settings)
            self._known.clear()
        return self._terms

    def of(self, job: Job, part: Part) -> Sketch:
        """One part of this job."""
        terms = self.terms(job)
        mark = tuple(stamp(job, part))
        known = self._known.get(part.id)
        if (
            known is None
            or len(known[0]) != len(mark)
            or any(a is not b for a, b in zip(known[0], mark, strict=True))
        ):
            sketch = sketch_of(part, insides_of(job, self._library, part), terms)
            known = self._known[part.id] = (mark, sketch)
        return known[1]

    def keep(self, tags: Container[str]) -> None:
        """Forget parts that are no longer there."""
        self._known = {tag: known for tag, known in self._known.items() if tag in tags}


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
    parts = {tag: cache.of(job, part) for tag, part in job.parts.items()}
    cache.keep(parts)
    car = car_of(
        cache.terms(job),
        list(parts.values()),
        bench=bench,
        wired=lambda ref: len(graph.members(ref)) > 1,
    )
    drawn = (*parts.values(), car.pieces)
    names = chain((MINUS, PLUS, BODY), graph.nodes, *(sketch.nodes for sketch in drawn))
    index = dict(zip(ordered := dict.fromkeys(names), range(len(ordered)), strict=True))
    merged, count = _merged(index, [pair for sketch in drawn for pair in sketch.joined])
    metal, rows = conductors(job, library, graph), [row for sketch in drawn for row in sketch.rows]
    whens = _Conditions()
    resistors, numbers = _resistors(metal, rows, index, merged, whens)
    places = dict(zip(index, merged.tolist(), strict=True))
    devices = tuple(
        maker(places, whens)
        for sketch in drawn
        for name, maker in sketch.makers.items()
        if name != car.replaced
    )
    network = Network(count, places[BODY], resistors, devices, tuple(whens.found))
    return Plan(
        job=job,
        network=network,
        network_full=_at_full(network, parts.values()),
        nodes=places,
        devices={name: (tag, it) for tag, sketch in parts.items() for name, it in sketch.names.items()},
        battery=car.battery,
        bench=bench,
        withheld=_withheld(job, graph),
        graph=graph,
        row_keys=(*metal.keys, *(row.name for row in rows)),
        row_numbers=numbers,
    )


def _merged(index: Mapping[str, int], joined: Sequence[tuple[str, str]]) -> tuple[Ints, int]:
    """The node of every name once those that are joined are one, and how many there are. 0 stays 0."""
    roots = list(range(len(index)))
    for pair in joined:
        a, b = sorted(_root(roots, index[name]) for name in pair)
        roots[b] = a
    if joined:
        roots = [_root(roots, number) for number in roots]
    found, nodes = np.unique(np.array(roots, dtype=np.int64), return_inverse=True)
    return nodes.astype(np.int64), len(found)


def _root(roots: list[int], number: int) -> int:
    while roots[number] != number:
        roots[number] = number = roots[roots[number]]
    return number


def _resistors(
    metal: Conductors, rows: Sequence[Row], index: Mapping[str, int], merged: Ints, whens: _Conditions
) -> tuple[Resistors, Ints]:
    """Every plain resistance; and the row of each, -1 for what lies within one node."""
    length = len(metal.a) + len(rows)
    a = np.fromiter(map(index.__getitem__, chain(metal.a, (row.a for row in rows))), np.int64, length)
    b = np.fromiter(map(index.__getitem__, chain(metal.b, (row.b for row in rows))), np.int64, length)
    a, b = merged[a], merged[b]
    ohms = np.concatenate([metal.ohms, np.array([row.ohms for row in rows])])
    when = np.full(length, ALWAYS, dtype=np.int64)
    when[len(metal.a) :] = [whens(row.when) for row in rows]
    apart = a != b
    numbers = np.where(apart, np.cumsum(apart) - 1, -1)
    return Resistors(a[apart], b[apart], ohms[apart], when[apart]), numbers


class _Conditions:
    """The conditions met so far; a call gives the number of one."""

    def __init__(self) -> None:
        self.found: list[LiveIn] = []
        self._known: dict[tuple[tuple[Key, ...], Switch | None, Switch | None], int] = {}

    def __call__(self, live: LiveIn | None) -> int:
        if live is None:
            return ALWAYS
        key = (live.keys, live.switch, live.unless)
        number = self._known.get(key)
        if number is None:
            always = live.switch is None and live.unless is None and set(live.keys) == set(KEYS)
            number = ALWAYS if always else len(self.found)
            if not always:
                self.found.append(live)
            self._known[key] = number
        return number


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


def _withheld(job: Job, graph: ConductorGraph) -> frozenset[str]:
    """Nobody measures an airbag circuit: all that conducts to one."""
    found: set[str] = set()
    for part in job.parts.values():
        for ref, cavity in part.cavities.items():
            if cavity.airbag:
                found |= graph.members(ref)
    return frozenset(found)
