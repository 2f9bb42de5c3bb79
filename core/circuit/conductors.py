"""The ohms of leads, wires, cable cores and mated contacts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from core.circuit.network import Floats, Ints
from core.circuit.sketch import LEAST_OHMS
from core.job.document import Job
from core.library.library import Library
from core.library.limits import Limits
from core.net.graph import ConductorGraph
from core.net.pieces import Edge


@dataclass(frozen=True, slots=True)
class Conductors:
    """Every conductor of a job, in columns; `a` and `b` are nodes. `keys` name it: a wire, a cable's
    conductor, the terminal of a lead; a contact by its two terminals.
    """

    keys: tuple[str | tuple[str, str], ...]
    a: Ints
    b: Ints
    ohms: Floats


class _Ohms:
    """Ohms per millimetre of each gauge, at the temperature of the limits."""

    def __init__(self, library: Library, limits: Limits) -> None:
        self.usual_mm = limits["lead_length_mm"]
        self.shield_ohms = limits["shield_ohms"]
        self._library = library
        self._usual = f"{limits['lead_area_mm2']:g} mm2"
        warmth = 1 + limits["copper_per_kelvin"] * (limits["wire_celsius"] - 20)
        self._km_per_mm = warmth * 1e-6
        self._known: dict[str | None, float] = {}

    def per_mm(self, gauge: str | None) -> float:
        found = self._known.get(gauge)
        if found is None:
            found = self._library.wire(gauge or self._usual).ohm_per_km_20c * self._km_per_mm
            self._known[gauge] = found
        return found


def conductors(job: Job, library: Library, graph: ConductorGraph, nodes: Mapping[str, int]) -> Conductors:
    """All that conducts between parts and joints, by the edges of the graph, which stands at this job."""
    by: dict[str, list[Edge]] = {"wires": [], "cables": [], "joints": [], "mates": []}
    for (collection, _), piece in graph.by_owner.items():
        if collection != "parts" and piece.edges:
            by[collection] += piece.edges
    edges = [*by["joints"], *by["wires"], *by["cables"], *by["mates"]]
    if not edges:
        none = np.empty(0, dtype=np.int64)
        return Conductors((), none, none, np.empty(0))
    from_names, to_names, keys, _ = zip(*edges, strict=True)
    a = np.fromiter(map(nodes.__getitem__, from_names), np.int64, len(edges))
    b = np.fromiter(map(nodes.__getitem__, to_names), np.int64, len(edges))
    in_joint = np.zeros(max(nodes.values()) + 1)
    in_joint[[nodes[joint] for joint in job.joints]] = 1.0
    named = len(edges) - len(by["mates"])
    limits = library.limits.but(job.settings.limits)
    of_copper = _Ohms(library, limits)
    copper = np.array(
        [
            *_of_leads(job, by["joints"], of_copper),
            *_of_wires(job, by["wires"], of_copper),
            *_of_cores(job, by["cables"], of_copper),
        ]
    )
    ends = in_joint[a[:named]] + in_joint[b[:named]]
    ohms = np.full(len(edges), limits["contact_ohms"])
    ohms[:named] = np.maximum(copper + limits["crimp_ohms"] * ends, LEAST_OHMS)
    return Conductors((*keys[:named], *((e.a, e.b) for e in by["mates"])), a, b, ohms)


def _of_leads(job: Job, edges: list[Edge], of_copper: _Ohms) -> list[float]:
    """A bare cavity has no length of its own."""
    per_mm, usual_mm, parts = of_copper.per_mm, of_copper.usual_mm, job.parts
    found = []
    for edge in edges:
        terminal = edge.key
        lead = parts[terminal[: terminal.index(".")]].cavities[terminal].lead
        if lead is None:
            found.append(0.0)
            continue
        length = lead.length_mm if lead.trimmed_mm is None else lead.trimmed_mm
        found.append(per_mm(lead.gauge) * (usual_mm if length is None else length))
    return found


def _of_wires(job: Job, edges: list[Edge], of_copper: _Ohms) -> list[float]:
    per_mm, usual_mm, wires = of_copper.per_mm, of_copper.usual_mm, job.wires
    found = []
    for edge in edges:
        wire = wires[edge.key]
        found.append(per_mm(wire.gauge) * (usual_mm if wire.length_mm is None else wire.length_mm))
    return found


def _of_cores(job: Job, edges: list[Edge], of_copper: _Ohms) -> list[float]:
    """A cable's shield has ohms of its own from end to end, whatever its length."""
    found = []
    for edge in edges:
        cable = job.cables[edge.key.partition(".")[0]]
        core = cable.conductors[int(edge.key.partition(".")[2]) - 1]
        length = of_copper.usual_mm if cable.length_mm is None else cable.length_mm
        braid = core.shield and core.gauge is None
        found.append(of_copper.shield_ohms if braid else of_copper.per_mm(core.gauge) * length)
    return found
