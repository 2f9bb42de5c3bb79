"""A job while it is being edited.

A draft copies a collection when it is first written to and keeps the answers of `job.lookup` up to date,
so that an edit of several steps costs what it touches and the next edit finds its lookup made.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from core.edits.base import HIGHEST_NUMBER, Letter, checked, renamed_readings, replaced
from core.edits.relook import changed_lookup
from core.edits.table import Table
from core.errors import EditRefused
from core.ids import in_order, kind_of, local, owner_of_end, part_of
from core.job.document import Job
from core.job.faces import Side
from core.job.lookup import conductors_of
from core.job.parts import Cavity
from core.job.record import Note
from core.job.view import Place
from core.job.wiring import Cable, Conductor, Finish, Joint, Mate, Wire


class Draft:
    """The collections of a job, written to in place until `job()` makes a new document of them."""

    def __init__(self, job: Job) -> None:
        self.base = job
        self.parts = Table(job.parts)
        self.mates: Table[Mate] = Table(job.mates)
        self.wires: Table[Wire] = Table(job.wires)
        self.cables: Table[Cable] = Table(job.cables)
        self.joints: Table[Joint] = Table(job.joints)
        self.finishes: Table[Finish] = Table(job.finishes)
        self.notes: Table[Note] = Table(job.notes)
        self.places: Table[Place] = Table(job.view.places)
        self.opened: tuple[str, ...] = job.view.opened
        self.side: Side = job.view.side
        self.sheet = job.sheet
        self.settings = job.settings
        self.acceptances = job.acceptances
        self.readings = job.readings
        self._counters: dict[str, int] = {}
        self._joint_of: dict[str, str | None] = {}
        self._crimped: dict[str, tuple[str, ...]] = {}

    # What is where

    def joint_of(self, end: str) -> str | None:
        if end in self._joint_of:
            return self._joint_of[end]
        return self.base.lookup.joint_of.get(end)

    def crimped(self, terminal: str) -> tuple[str, ...]:
        """The wire ends crimped into that cavity."""
        if terminal in self._crimped:
            return self._crimped[terminal]
        return self.base.lookup.crimped.get(terminal, ())

    def mate_of(self, connector: str) -> Mate | None:
        if not self.mates.touched:
            known = self.base.lookup.mate_of.get(connector)
            return self.mates[known[0]] if known else None
        return next((m for m in self.mates.now.values() if connector in (m.a, m.b)), None)

    def cavity(self, terminal: str) -> Cavity | None:
        part = self.parts.get(part_of(terminal))
        return part.cavities.get(terminal) if part else None

    def conductor(self, name: str) -> Wire | Conductor | None:
        """The wire `W3` or the conductor `C1.2`."""
        cable, dot, number = name.partition(".")
        if not dot:
            return self.wires.get(name)
        record = self.cables.get(cable)
        index = int(number) if record else 0
        return record.conductors[index - 1] if record and 1 <= index <= len(record.conductors) else None

    def crimped_into(self, end: str) -> str | None:
        """The cavity that a wire end is crimped into."""
        conductor = self.conductor(owner_of_end(end))
        if conductor is None:
            return None
        return conductor.a_in if end.endswith("a") else conductor.b_in

    # Numbers

    def next_id(self, letter: Letter) -> str:
        number = self._counters.get(letter, self.base.counters.get(letter, 0)) + 1
        if number > HIGHEST_NUMBER:
            raise EditRefused(f"There is no number left after {letter}{HIGHEST_NUMBER}.")
        self._counters[letter] = number
        return f"{letter}{number}"

    # Joints and crimps

    def put_joint(self, joint: Joint) -> None:
        """Add a joint or take the place of the one with its id."""
        old = self.joints.get(joint.id)
        for end in old.ends if old else ():
            self._joint_of[end] = None
        self.joints.put(joint.id, joint)
        for end in joint.ends:
            self._joint_of[end] = joint.id
            self.finishes.drop(end)

    def drop_joint(self, joint: str) -> None:
        for end in self.joints[joint].ends:
            self._joint_of[end] = None
        self.joints.drop(joint)
        self.places.drop(joint)

    def leave_joints(self, ends: Iterable[str]) -> None:
        """Take ends out of their joints. A joint with fewer than two ends left is gone."""
        leaving: dict[str, set[str]] = {}
        for end in ends:
            joint = self.joint_of(end)
            if joint is not None:
                leaving.setdefault(joint, set()).add(end)
        for joint, gone in leaving.items():
            left = tuple(end for end in self.joints[joint].ends if end not in gone)
            if len(left) < 2:
                self.drop_joint(joint)
            else:
                self.put_joint(replaced(self.joints[joint], ends=left))

    def crimp(self, end: str, terminal: str | None) -> None:
        """Put a wire end into a cavity, or (None) take it out. The end stands in no joint."""
        self.finishes.drop(end)
        old = self.crimped_into(end)
        if old is not None:
            self._crimped[old] = tuple(other for other in self.crimped(old) if other != end)
        if terminal is not None:
            self._crimped[terminal] = tuple(in_order((*self.crimped(terminal), end)))
            cavity = self.cavity(terminal)
            if cavity is not None and cavity.lead is None:
                self.finishes.drop(terminal)
        owner, _, letter = end.partition(":")
        conductor = self.conductor(owner)
        assert conductor is not None
        changed = replaced(conductor, **{f"{letter}_in": terminal})
        if isinstance(changed, Wire):
            self.wires.put(owner, changed)
        else:
            self.put_conductor(owner, changed)

    def add_wire(self, wire: Wire) -> None:
        """A wire of its own, crimped in where it says so."""
        self.wires.put(wire.id, replaced(wire, a_in=None, b_in=None))
        self._crimp_in(wire.id, wire)

    def add_cable(self, cable: Cable) -> None:
        loose = tuple(replaced(core, a_in=None, b_in=None) for core in cable.conductors)
        self.cables.put(cable.id, replaced(cable, conductors=loose))
        for name, core in conductors_of(cable):
            self._crimp_in(name, core)

    def _crimp_in(self, name: str, conductor: Wire | Conductor) -> None:
        for letter, place in (("a", conductor.a_in), ("b", conductor.b_in)):
            if place is not None:
                self.crimp(f"{name}:{letter}", place)

    def put_conductor(self, name: str, conductor: Conductor) -> None:
        cable, _, number = name.partition(".")
        cores = list(self.cables[cable].conductors)
        cores[int(number) - 1] = conductor
        self.cables.put(cable, replaced(self.cables[cable], conductors=tuple(cores)))

    def drop_conductors(self, owner: str) -> None:
        """A wire or cable with everything that was decided about its ends."""
        cable = self.cables.get(owner)
        names = [name for name, _ in conductors_of(cable)] if cable else [owner]
        ends = [f"{name}:{letter}" for name in names for letter in "ab"]
        self.leave_joints(ends)
        for end in ends:
            self.crimp(end, None)
        (self.cables if cable else self.wires).drop(owner)
        self.places.drop(owner)

    # Parts

    def put_cavities(self, changes: Mapping[str, Cavity]) -> None:
        """Cavities in place of those with the same terminals; pins stay as they are."""
        by_part: dict[str, dict[str, Cavity]] = {}
        for terminal, cavity in changes.items():
            by_part.setdefault(part_of(terminal), {})[local(terminal)] = cavity
        for tag, cavities in by_part.items():
            part = self.parts[tag]
            touched = {name.partition("-")[0] for name in cavities}
            connectors = tuple(
                replaced(c, cavities=tuple(cavities.get(f"{c.name}-{old.pin}", old) for old in c.cavities))
                if c.name in touched
                else c
                for c in part.connectors
            )
            self.parts.put(tag, replaced(part, connectors=connectors))

    def fill(self, terminal: str) -> None:
        """A terminal is crimped on and pushed in where the cavity was empty."""
        cavity = self._the_cavity(terminal)
        if not cavity.filled:
            self.put_cavities({terminal: replaced(cavity, filled=True)})

    def _the_cavity(self, terminal: str) -> Cavity:
        cavity = self.cavity(terminal) if kind_of(terminal) == "terminal" else None
        if cavity is None:
            raise EditRefused(f"There is no cavity {terminal}.")
        return cavity

    def drop_mate(self, mate: str) -> None:
        self.mates.drop(mate)
        self.places.drop(mate)
        self.opened = tuple(other for other in self.opened if other != mate)

    def drop_part(self, tag: str) -> None:
        """A part with its mates; what was joined to it stays, with free ends."""
        part = self.parts[tag]
        for connector in part.connectors:
            mate = self.mate_of(f"{tag}.{connector.name}")
            if mate is not None:
                self.drop_mate(mate.id)
        self.loosen(part.cavities)
        self.parts.drop(tag)
        self.places.drop(tag)

    def loosen(self, terminals: Iterable[str]) -> None:
        """Take from these cavities every joint, crimped wire end and finish."""
        terminals = tuple(terminals)
        self.leave_joints(terminals)
        for terminal in terminals:
            self.finishes.drop(terminal)
            for end in self.crimped(terminal):
                self.crimp(end, None)

    def move_ends(self, moved: Mapping[str, str]) -> None:
        """Joints, crimped wire ends and finishes of these terminals go to others, all at once."""
        joints = [self.joints[name] for name in {self.joint_of(t) for t in moved} if name is not None]
        crimps = [(end, new) for old, new in moved.items() for end in self.crimped(old)]
        finishes = [(new, self.finishes[old]) for old, new in moved.items() if old in self.finishes]
        for old in moved:
            self.finishes.drop(old)
        for joint in joints:
            self._joint_of.update(dict.fromkeys(joint.ends))
            self.joints.put(joint.id, replaced(joint, ends=tuple(moved.get(e, e) for e in joint.ends)))
        for joint in joints:
            self._joint_of.update(dict.fromkeys(self.joints[joint.id].ends, joint.id))
        for end, _ in crimps:
            self.crimp(end, None)
        for end, new in crimps:
            self.crimp(end, new)
        for new, finish in finishes:
            self.finishes.put(new, finish)

    def rename_part(self, tag: str, new: str) -> None:
        """The part under another tag, and every reference to it."""
        old = self.parts[tag]

        def renamed(ref: str) -> str:
            return new + ref[len(tag) :] if part_of(ref) == tag else ref

        self.parts.rename(tag, new, checked(old, id=new))
        self.move_ends({terminal: renamed(terminal) for terminal in old.cavities})
        for connector in old.connectors:
            mate = self.mate_of(f"{tag}.{connector.name}")
            if mate is not None:
                self.mates.put(mate.id, replaced(mate, a=renamed(mate.a), b=renamed(mate.b)))
        place = self.places.get(tag)
        if place is not None:
            self.places.rename(tag, new, place)
        if any(part_of(ref) == tag for kept in self.acceptances for ref in kept.where):
            self.acceptances = tuple(
                replaced(kept, where=tuple(renamed(ref) for ref in kept.where)) for kept in self.acceptances
            )
        self.readings = renamed_readings(self.readings, renamed)

    # The document

    def job(self) -> Job:
        """The new document; the very same where nothing was written."""
        base = self.base
        changes: dict[str, Any] = {name: table.now for name, table in self._tables().items() if table.touched}
        for name in ("sheet", "settings", "acceptances", "readings"):
            if getattr(self, name) is not getattr(base, name):
                changes[name] = getattr(self, name)
        view = base.view
        if self.places.touched or (self.opened, self.side) != (view.opened, view.side):
            changes["view"] = replaced(view, places=self.places.now, opened=self.opened, side=self.side)
        if self._counters:
            changes["counters"] = {**base.counters, **self._counters}
        if not changes:
            return base
        job = replaced(base, **changes)
        if "lookup" in base.__dict__:
            job.__dict__["lookup"] = changed_lookup(
                base.lookup,
                joint_of=self._joint_of,
                crimped=self._crimped,
                wires=self.wires,
                cables=self.cables,
                mates=self.mates,
                parts=self.parts,
            )
        return job

    def _tables(self) -> dict[str, Table[Any]]:
        return {
            "parts": self.parts,
            "mates": self.mates,
            "wires": self.wires,
            "cables": self.cables,
            "joints": self.joints,
            "finishes": self.finishes,
            "notes": self.notes,
        }
