"""Conductors as the rules of wires and fuses ask for them: their gauge, their amps, and what they carry."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import NamedTuple

from core.circuit.elements import Elements
from core.circuit.fusing import Fusing, Guard
from core.circuit.levels import Levels
from core.circuit.operating import OperatingPoint
from core.circuit.peaks import peak_amps
from core.circuit.positions import Position
from core.ids import connector_of, kind_of, natural_key, owner_of_end, part_of
from core.job.document import Job
from core.library.library import Library
from core.library.limits import Limits
from core.net.graph import Net
from core.sizing.ampacity import BundledAmpacity, Surroundings
from core.units import area_mm2

TOLERANCE = 1e-6


class Copper(NamedTuple):
    """A wire, a cable's conductor, or the lead of a terminal, in the circuit. `gauge` None: not stated.

    `amps`: the most that flow for long, in `position`.
    """

    ref: str
    a: str
    gauge: str | None
    amps: float
    position: Position


class Loading:
    """The answers for one check of one document. Cranking lasts seconds and heats nothing: it is left out."""

    def __init__(
        self, job: Job, library: Library, limits: Limits, elements: Elements, levels: Levels
    ) -> None:
        self._job = job
        self._library = library
        self._limits = limits
        self._elements = elements
        self._levels = levels
        self._around: dict[int, BundledAmpacity] = {}
        self._bears: dict[tuple[str | None, int], float] = {}

    @cached_property
    def positions(self) -> tuple[Position, ...]:
        """Those in which amps may flow for long."""
        return tuple(p for p in self._levels.positions if p.key != "start")

    def point(self, position: Position) -> OperatingPoint:
        """The balance that lasts: fuses have opened, and pulsed feeds are at their average."""
        return self._levels.engine.point(position)

    # -- conductors --------------------------------------------------------------------------------

    @cached_property
    def copper(self) -> Mapping[str, Copper]:
        """Every conductor by its id, contacts apart."""
        amps, at = peak_amps([self.point(p) for p in self.positions])
        places = self._levels.engine.places
        joints, conductors, parts = self._job.lookup.joint_of, self._job.lookup.conductors, self._job.parts
        found: dict[str, Copper] = {}
        for row, (ref, a, b) in places.names.items():
            wire = conductors.get(ref)
            if wire is not None:
                gauge = wire.gauge
            elif joints.get(ref) == b:
                lead = parts[ref.partition(".")[0]].cavities[ref].lead
                gauge = lead.gauge if lead else None
            else:
                continue
            found[ref] = Copper(ref, a, gauge, amps[row], self.positions[at[row]])
        if places.plan.withheld:
            return {ref: one for ref, one in found.items() if not places.hidden(one.a)}
        return found

    def bears(self, copper: Copper) -> float:
        """The amps it carries for good where it runs; by the assumed area where no gauge is stated."""
        return self.bears_gauge(copper.gauge, self._wires_with(copper))

    def around_of(self, copper: Copper) -> BundledAmpacity:
        """The ampacity of any gauge where a conductor runs."""
        return self.around(self._wires_with(copper))

    def _wires_with(self, copper: Copper) -> int:
        return self._loaded.get(self._bundle(copper.ref), 0) if self._loaded else 0

    def bears_gauge(self, gauge: str | None, loaded: int = 0) -> float:
        """What a gauge carries among so many loaded wires, or among the usual number if that is more."""
        key = gauge, max(loaded, round(self._limits["bundle_loaded_wires"]))
        known = self._bears.get(key)
        if known is None:
            area = self._limits["lead_area_mm2"] if gauge is None else area_mm2(gauge)
            known = self._bears[key] = self.around(key[1]).of_area(area)
        return known

    def around(self, loaded: int = 0) -> BundledAmpacity:
        """The ampacity among so many loaded wires, or among as many as are usual if those are more."""
        wires = max(loaded, round(self._limits["bundle_loaded_wires"]))
        if wires not in self._around:
            where = Surroundings(wires, self._limits["cabin_celsius"], self._limits["insulation_celsius"])
            self._around[wires] = BundledAmpacity(self._library.ampacity, self._library.carrying, where)
        return self._around[wires]

    def _bundle(self, ref: str) -> str:
        """What runs together: the leads of one connector, the conductors of one cable."""
        return connector_of(ref) if kind_of(ref) == "terminal" else ref.partition(".")[0]

    @cached_property
    def _loaded(self) -> Mapping[str, int]:
        """How many conductors of a bundle are loaded; those with few amps count for nothing."""
        usual = round(self._limits["bundle_loaded_wires"])
        share, single = self._limits["loaded_share"], self.around(1)
        counted: dict[str, int] = {}
        for copper in self.copper.values():
            if copper.amps < 0.5:
                continue
            area = self._limits["lead_area_mm2"] if copper.gauge is None else area_mm2(copper.gauge)
            if copper.amps > share * single.of_area(area):
                name = self._bundle(copper.ref)
                counted[name] = counted.get(name, 0) + 1
        return {name: count for name, count in counted.items() if count > usual}

    def ours(self, ref: str) -> bool:
        """Whether a conductor is of this job: a wire from stock, or the lead of a part that is fitted."""
        return kind_of(ref) != "terminal" or self._job.parts[part_of(ref)].state != "on the car"

    def net(self, copper: Copper) -> Net | None:
        return self._levels.graph.net_of(copper.a)

    # -- fuses -------------------------------------------------------------------------------------

    @cached_property
    def fusing(self) -> Fusing:
        """The guard of every conductor."""
        return Fusing(
            self._levels.graph,
            self._levels.engine.plan.devices,
            (*self._elements.loads,),
            self._job.settings,
            self._limits,
        )

    def guard(self, copper: Copper) -> Guard | None:
        return self.fusing.guard(copper.ref, self.net(copper))

    @cached_property
    def unprotected(self) -> tuple[tuple[Copper, Guard], ...]:
        """The conductors of stated gauge that carry less than their guard lets through, the worst first."""
        found: list[tuple[float, Copper, Guard]] = []
        for copper in self.copper.values():
            if copper.gauge is None:
                continue
            guard = self.guard(copper)
            if guard is None or not guard.by:
                continue
            bears = self.bears(copper)
            if guard.amps > bears * (1 + TOLERANCE) and not self._ends_at_its_fuse(copper, bears):
                found.append((bears / guard.amps, copper, guard))
        found.sort(key=lambda one: (one[0], natural_key(one[1].ref)))
        return tuple((copper, guard) for _, copper, guard in found)

    def _ends_at_its_fuse(self, copper: Copper, bears: float) -> bool:
        """Whether it is the short lead of a fuse of its own: up to 7 inch (33 CFR 183.455) it may be thinner
        than the larger fuse before it asks for.
        """
        length = self.length_mm(copper.ref)
        if length is None or length > self._limits["fuse_distance_bare_mm"]:
            return False
        return any(amps <= bears and copper.ref in refs for amps, refs in self.fusing.ratings.values())

    @cached_property
    def guarded(self) -> Mapping[str, tuple[Copper, ...]]:
        """The conductors that each fuse stands before, of those whose gauge is stated."""
        found: dict[str, list[Copper]] = {}
        for copper in self.copper.values():
            guard = self.guard(copper)
            if guard is not None and guard.by and copper.gauge is not None:
                found.setdefault(guard.by, []).append(copper)
        return {name: tuple(some) for name, some in found.items()}

    def device_peak(self, name: str) -> tuple[float, Position | None]:
        """The most amps through a device for long, and when; of a fuse that opens, those that open it."""
        most, when = 0.0, None
        for position in self.positions:
            point = self.point(position)
            if name in point.opened:
                point = point.moment
            amps = abs(point.solution.device_amps.get(name, 0.0))
            if amps > most + 1e-9:
                most, when = amps, position
        return most, when

    def length_mm(self, ref: str) -> float | None:
        """The stated length of a wire, a conductor or a lead."""
        if kind_of(ref) == "terminal":
            cavity = self._job.cavity(ref)
            lead = cavity.lead if cavity else None
            return None if lead is None else lead.length_mm if lead.trimmed_mm is None else lead.trimmed_mm
        wire = self._job.wires.get(ref)
        if wire is not None:
            return wire.length_mm
        cable = self._job.cables.get(owner_of_end(ref).partition(".")[0])
        return cable.length_mm if cable else None

    def path_conductors(self, path: tuple[str, ...]) -> Iterator[str]:
        """The conductors that a path of ids runs through, leads by their terminals."""
        joints = self._job.lookup.joint_of
        for place, ref in enumerate(path):
            kind = kind_of(ref)
            near = path[max(place - 1, 0) : place + 2]
            if kind in ("wire", "conductor") or (kind == "terminal" and joints.get(ref) in near):
                yield ref
