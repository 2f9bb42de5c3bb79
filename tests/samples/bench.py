"""A bench for building jobs in few words: parts from the library, joins by the numbers people read."""

from __future__ import annotations

from typing import Any

from core.edits import (
    add_mated,
    add_part,
    cap,
    join,
    join_by_wire,
    leave,
    place_all,
    rename_tag,
    set_joint,
    set_lead,
    set_settings,
    set_sheet,
)
from core.edits.parts import added_tag
from core.job.document import Job
from core.job.view import Place
from core.job.wiring import JointMethod
from core.layout.arrange import arrange
from core.library import Library, new_part


class Bench:
    """One job, and the edits that its making is told in. Ends are written as people read them: `RAD-4`."""

    def __init__(self, library: Library, job: Job | None = None) -> None:
        self.library = library
        self.job = job or Job()

    def sheet(self, **fields: str) -> None:
        self.job = set_sheet(self.job, **fields)

    def settings(self, **fields: Any) -> None:
        self.job = set_settings(self.job, **fields)

    def part(self, name: str, tag: str) -> None:
        """A part of the shelf, under this tag."""
        before = self.job
        self.job = add_part(before, new_part(self.library.parts[name]))
        given = added_tag(before, self.job)
        if given != tag:
            self.job = rename_tag(self.job, given, tag)

    def plug(self, name: str) -> None:
        """A plug of the car, with ours plugged in."""
        entry = self.library.parts[name]
        assert entry.mate is not None
        self.job = add_mated(self.job, new_part(entry), entry.mate)

    def end(self, shown: str) -> str:
        found = self.job.terminal_from(shown)
        assert found is not None, shown
        return found

    def joint(self, first: str, *others: str) -> None:
        """One joint of all these ends; an end that is joined already brings its joint."""
        for other in others:
            self.job = join(self.job, self.end(first), self.end(other))

    def joints(self, table: str) -> None:
        """A joint for each line."""
        for line in table.strip().splitlines():
            self.joint(*line.split())

    def method(self, method: JointMethod, shown: str) -> None:
        """Say how the joints of these ends are made."""
        for name in shown.split():
            self.job = set_joint(self.job, self.job.lookup.joint_of[self.end(name)], method=method)

    def wire(self, a: str, b: str, colour: str, gauge: str, length_mm: float) -> None:
        self.job = join_by_wire(self.job, self.end(a), self.end(b), colour, gauge, length_mm)

    def lead(self, shown: str, gauge: str) -> None:
        """A lead of another gauge than the part comes with."""
        self.job = set_lead(self.job, self.end(shown), gauge=gauge)

    def cap(self, shown: str) -> None:
        self.job = cap(self.job, [self.end(name) for name in shown.split()])

    def leave(self, shown: str, reason: str) -> None:
        self.job = leave(self.job, [self.end(name) for name in shown.split()], reason)

    def arranged(self) -> Job:
        """The job with everything placed on the map, on whole units."""
        places = arrange(self.job, self.library, keep=False)
        whole = {ref: Place(x=round(place.x), y=round(place.y)) for ref, place in places.items()}
        return place_all(self.job, whole)
