"""A job in one position as a SPICE deck: its wires, joints, mates and leads, and the car around it.

Written from the document itself, apart from the solver's own assembly: it shares the wording of the document
with it (which internals a function implies, what a position is), and nothing else.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from core.circuit.implied import internals_of
from core.circuit.positions import Position
from core.ids import local
from core.job import internals as kinds
from core.job.document import Job
from core.job.internals import Internal, LiveIn
from core.job.parts import Part
from core.job.wiring import Conductor, Wire
from core.library.library import Library
from tests.spice import laws
from tests.spice.elements import GROUND, Deck, Element, Emf, Ohm
from tests.spice.tables import conductor_ohms, functions, limits

BODY, PLUS, MINUS = "body", "battery +", "battery -"
LEAST_SOURCE_OHMS = 0.001
LEAST_OHMS = 1e-6
"""What a resistance of nothing is taken for."""


@dataclass(frozen=True)
class Told:
    """What is taken from the other solver: what has pulled in or is on, and what has opened, by name."""

    on: frozenset[str] = frozenset()
    opened: frozenset[str] = frozenset()


class Builder:
    """Collects the elements of one job in one position. `full`: pulsed feeds at their full volts."""

    def __init__(
        self, job: Job, library: Library, position: Position, told: Told, *, bench: bool, full: bool
    ) -> None:
        self.job, self.library, self.position, self.told = job, library, position, told
        self.bench, self.full = bench, full
        self.system = float(job.settings.system_volts)
        self.ground_sign = 1.0 if job.settings.ground == "negative" else -1.0
        self.battery_ohms = limits()["battery_ohms_12v"] * self.system / 12
        self.fused: set[str] = set()
        self.deck = Deck(f"{job.sheet.title or 'job'} {position.name}".replace("\n", " "))
        self._merged: dict[str, str] = {}
        self.internals: dict[str, tuple[Internal, ...]] = {
            tag: internals_of(job, library, part) for tag, part in job.parts.items()
        }

    # nodes

    def node(self, name: str) -> str:
        """The node that a name of the job stands at, once everything is merged that has no ohms between."""
        while name in self._merged:
            name = self._merged[name]
        return name

    def merge(self, a: str, b: str) -> None:
        a, b = self.node(a), self.node(b)
        if a != b:
            kept, gone = (b, a) if b == GROUND else (a, b)
            self._merged[gone] = kept

    def at(self, part: Part, name: str) -> str:
        """The node of a part's own terminal."""
        return self.node(f"{part.id}.{name}")

    def reference(self, part: Part, name: str | None) -> str:
        """What a part's electronics count from: a terminal, else its return, else the body or, where that is
        on the battery's plus, the battery's minus.
        """
        if name is not None:
            return self.at(part, name)
        for ref in self.returns(part):
            return self.node(ref)
        return self.node(BODY if self.ground_sign > 0 else MINUS)

    def poles(self, part: Part, plus: str, minus: str | None) -> tuple[str, str]:
        """Plus and minus of a load. Without a return it goes back by the body, whichever pole that is on."""
        high, low = self.at(part, plus), self.node(BODY)
        if minus is not None:
            return high, self.at(part, minus)
        for ref in self.returns(part):
            return high, self.node(ref)
        return (high, low) if self.ground_sign > 0 else (low, high)

    def supply(self, part: Part, name: str | None) -> str | None:
        """What a part makes its outputs of: as named, else the lead that feeds it, the steadiest first."""
        own = name or self.local_supply(part)
        return None if own is None else self.at(part, own)

    def local_supply(self, part: Part) -> str | None:
        """The local name of the lead that feeds a part."""
        found = next(self._feeding(part), None)
        return None if found is None else local(found)

    def _feeding(self, part: Part) -> Iterator[str]:
        taking = []
        for ref, cavity in part.cavities.items():
            row = functions().get(cavity.function)
            if (
                row is not None
                and row["class"] == "feed"
                and cavity.filled
                and self._flow(part, ref) == "takes"
            ):
                keys, switch = row["live"].split(), row["switch"]
                taking.append((2 if switch or not keys else 0 if "off" in keys else 1, ref))
        yield from (ref for _, ref in sorted(taking, key=lambda pair: pair[0]))
        yield from (f"{part.id}.{i.plus}" for i in part.internals if isinstance(i, kinds.Load))

    def wake(self, part: Part) -> str | None:
        """The local name of what turns a part on: its accessory or ignition lead, else its turn-on."""
        turn_on = None
        for ref, cavity in part.cavities.items():
            row = functions().get(cavity.function)
            if row is None or not cavity.filled or self._flow(part, ref) != "takes":
                continue
            keys = row["live"].split()
            if row["class"] == "feed" and keys and "off" not in keys and not row["switch"]:
                return local(ref)
            if row["class"] == "output" and turn_on is None:
                turn_on = local(ref)
        return turn_on

    def _flow(self, part: Part, ref: str) -> str:
        """Whether this side gives or takes at a terminal, by its cavity, else by the function table."""
        cavity = part.cavities[ref]
        side = "car" if part.state == "on the car" else "equipment"
        return cavity.flow or functions()[cavity.function][side]

    def returns(self, part: Part) -> Iterator[str]:
        """The terminals by which a part reaches ground; they are bonded inside."""
        for ref, cavity in part.cavities.items():
            row = functions().get(cavity.function)
            if (
                row is not None
                and row["class"] == "ground"
                and cavity.filled
                and self._flow(part, ref) == "takes"
            ):
                yield ref

    # elements

    def add(self, element: Element) -> None:
        self.deck.add(element)

    def ohm(self, name: str, a: str, b: str, ohms: float) -> None:
        self.add(Ohm(name, a, b, max(ohms, LEAST_OHMS)))

    def live(self, times: LiveIn | None) -> bool:
        if times is None:
            return True
        on = self.position.switches
        return (
            self.position.key in times.keys
            and (times.switch is None or times.switch in on)
            and (times.unless is None or times.unless not in on)
        )

    def hot(self) -> str:
        """The pole of the battery that the body is not joined to."""
        return self.node(PLUS if self.ground_sign > 0 else MINUS)

    def fuse(self, name: str, a: str, b: str, amps: float, ohms: float | None = None) -> None:
        if name not in self.told.opened:
            self.deck.fuses[name] = amps
            self.ohm(name, a, b, limits()["fuse_volts"] / amps if ohms is None else ohms)

    # the whole

    def merge_all(self) -> None:
        for tag, internals in self.internals.items():
            for internal in internals:
                if isinstance(internal, kinds.Link):
                    self.merge(f"{tag}.{internal.a}", f"{tag}.{internal.b}")
        if self.main:
            self.merge(PLUS, self.main[0])
            self.merge(MINUS, self.main[1])
        self.merge(MINUS, GROUND)

    @property
    def main(self) -> tuple[str, str] | None:
        """Plus and minus of the part that is the car's battery."""
        for tag, internals in self.internals.items():
            for internal in internals:
                if isinstance(internal, kinds.Battery) and internal.main:
                    return f"{tag}.{internal.plus}", f"{tag}.{internal.minus}"
        return None

    def wiring(self) -> None:
        """Wires and conductors, the leads that stand in joints, and mated contacts."""
        job = self.job
        for name, conductor in job.lookup.conductors.items():
            a, b = map(self.node, self._ends(name, conductor))
            if a != b:
                self.ohm(name, a, b, self._ohms(name, conductor))
        for joint in job.joints.values():
            for end in joint.ends:
                cavity = job.cavity(end) if ":" not in end else None
                if cavity is not None:
                    lead = cavity.lead
                    own = 0.0
                    if lead is not None:
                        length = lead.length_mm if lead.trimmed_mm is None else lead.trimmed_mm
                        own = conductor_ohms(lead.gauge, length)
                    self.ohm(end, self.node(end), self.node(joint.id), own + limits()["crimp_ohms"])
        for mate in job.mates.values():
            connector = job.connector(mate.a)
            for cavity in connector.cavities if connector else ():
                here = f"{mate.a}-{cavity.pin}"
                there = job.lookup.meets.get(here)
                if there is not None and job.in_contact(here) and job.in_contact(there):
                    a, b = self.node(here), self.node(there)
                    if a != b:
                        self.ohm(contact(here, there), a, b, limits()["contact_ohms"])

    def _ends(self, name: str, conductor: Wire | Conductor) -> tuple[str, str]:
        crimped = (conductor.a_in, conductor.b_in)
        ends = (f"{name}:a", f"{name}:b")
        a, b = (
            place or self.job.lookup.joint_of.get(end, end) for place, end in zip(crimped, ends, strict=True)
        )
        return a, b

    def _ohms(self, name: str, conductor: Wire | Conductor) -> float:
        if isinstance(conductor, Wire):
            length = conductor.length_mm
        else:
            length = self.job.cables[name.partition(".")[0]].length_mm
        jointed = sum(f"{name}:{letter}" in self.job.lookup.joint_of for letter in "ab")
        if isinstance(conductor, Conductor) and conductor.shield and conductor.gauge is None:
            return limits()["shield_ohms"] + jointed * limits()["crimp_ohms"]
        return conductor_ohms(conductor.gauge, length) + jointed * limits()["crimp_ohms"]

    def car(self) -> None:
        """The battery where no part is it, or the supply on the bench; and the strap to the body."""
        settings, plus, minus = self.job.settings, self.node(PLUS), self.node(MINUS)
        joined = minus if self.ground_sign > 0 else plus
        if self.bench or not self.main or not self._wired(self.main[1 if self.ground_sign > 0 else 0]):
            self.ohm("strap", self.node(BODY), joined, limits()["strap_ohms"])
        if self.bench:
            bench, pole = settings.bench, plus
            if bench.fuse_amps is not None:
                pole = "behind bench fuse"
                self.fuse("bench fuse", pole, plus, bench.fuse_amps)
            self.add(laws.supply("bench", pole, minus, bench.volts, LEAST_SOURCE_OHMS, bench.limit_amps))
        elif not self.main:
            volts = usual_volts(self.job, self.position, {})
            ohms = max(settings.battery.ohms or self.battery_ohms, LEAST_SOURCE_OHMS)
            self.add(Emf("battery", plus, minus, volts, ohms))

    def _wired(self, ref: str) -> bool:
        """Whether the job itself leads on from a terminal: the strap is then its own business."""
        lookup, part = self.job.lookup, self.job.parts[ref.partition(".")[0]]
        meets = lookup.meets.get(ref)
        links = (i for i in self.internals[part.id] if isinstance(i, kinds.Link))
        return (
            ref in lookup.joint_of
            or bool(lookup.crimped.get(ref))
            or (meets is not None and self.job.in_contact(ref) and self.job.in_contact(meets))
            or any(f"{part.id}.{end}" == ref for link in links for end in (link.a, link.b))
        )

    def _wired(self, terminal: str) -> bool:
        """Whether the job leads anything to a terminal: such a pole has the ground strap that is drawn."""
        lookup = self.job.lookup
        other = lookup.meets.get(terminal)
        touched = other is not None and self.job.in_contact(terminal) and self.job.in_contact(other)
        linked = any(
            terminal in (f"{tag}.{internal.a}", f"{tag}.{internal.b}")
            for tag, internals in self.internals.items()
            for internal in internals
            if isinstance(internal, kinds.Link)
        )
        return touched or linked or terminal in lookup.joint_of or bool(lookup.crimped.get(terminal))

    def finish(self) -> Deck:
        job = self.job
        names = [ref for part in job.parts.values() for ref in part.cavities]
        names += [*job.joints, BODY, PLUS, MINUS]
        self.deck.node_of = {name: self.node(name) for name in names}
        for name, conductor in job.lookup.conductors.items():
            for letter, place in zip("ab", self._ends(name, conductor), strict=True):
                self.deck.node_of[f"{name}:{letter}"] = self.node(place)
        return self.deck


def contact(a: str, b: str) -> str:
    """What the element of a mated contact is called."""
    return f"{a} {b}"


def usual_volts(job: Job, position: Position, own: Mapping[str, float | None]) -> float:
    """A battery's volts in a position: its own, else the job's, else common practice for the system."""
    name, usual = {"start": ("start", 10.0), "running": ("running", 14.2)}.get(position.key, ("rest", 12.6))
    given = own.get(name)
    if given is None:
        given = getattr(job.settings.battery, f"{name}_volts")
    return usual * job.settings.system_volts / 12 if given is None else given
