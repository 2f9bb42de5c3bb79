"""How the answers of a small job are asked for."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

from core.circuit.engine import Engine
from core.circuit.operating import OperatingPoint
from core.circuit.positions import position
from core.circuit.probe import Probe
from core.job.document import Job
from core.library.library import Library
from core.net.graph import ConductorGraph
from tests.core.checks.jobs import library
from tests.core.circuit.cases.build import ref

# IEC 60028, International Standard of Resistance for Copper (1925): 0.017241 ohm mm2/m at 20 °C.
_COPPER = 17.241


@cache
def solid_wires() -> Library:
    """The shipped library with the AWG sizes as solid copper wires, which published cases count with."""
    sizes = {
        gauge: replace(size, ohm_per_km_20c=_COPPER / size.area_mm2) if size.system == "AWG" else size
        for gauge, size in library().sizes.items()
    }
    return replace(library(), sizes=sizes)


def engine_of(job: Job, known: Library | None = None) -> Engine:
    graph = ConductorGraph()
    for _ in graph.fill(job):
        pass
    return Engine(job, known or library(), graph)


class Answers:
    """What the program says of one job. Positions by name, terminals as people write them."""

    def __init__(self, job: Job, known: Library | None = None) -> None:
        self.job = job
        self.engine = engine_of(job, known)

    def at(self, where: str) -> OperatingPoint:
        own = [switch.name for switch in self.job.settings.switches]
        point = self.engine.point(position(where, own))
        assert point.unsolved == ""
        return point

    def volts(self, terminal: str, where: str) -> float:
        """To the battery's minus pole. What floats has none, and no case asks for it."""
        found = self.at(where).volts(ref(terminal))
        assert found is not None
        return found

    def across(self, plus: str, minus: str, where: str) -> float:
        return self.volts(plus, where) - self.volts(minus, where)

    def amps(self, wire: str, where: str) -> float:
        found = self.at(where).amps(wire)
        assert found is not None
        return found

    def meter(self, red: str, black: str, where: str, **how: Any) -> float | None:
        """What a meter shows between two points."""
        own = [switch.name for switch in self.job.settings.switches]
        probe = Probe(red=ref(red), black=ref(black), **how)
        return self.engine.reading(probe, position(where, own)).value
