"""The meter sheet as data: which points are worth a reading, what was read there, and how the two compare."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from app.work.expected import Answer, Asked, same_circuit
from app.work.points import USUAL_BLACK, is_there, point_words, show_value, through, what_is_there
from core.circuit.roles import function_of, is_pigtail
from core.ids import in_order, kind_of, owner_of_end, part_of
from core.job.document import Job
from core.job.record import BATTERY_POINTS, Quantity, Reading
from core.library.library import Library

State = Literal["loaded", "unplugged", "lifted"]
STATE_WORDS: dict[State, str] = {
    "loaded": "as wired, equipment plugged in",
    "unplugged": "equipment unplugged",
    "lifted": "lead lifted out of its joint",
}
_WITHOUT_LEVEL = frozenset({"line", "video", "antenna", "microphone", "data", "usb"})
"""Classes of functions of which a meter on DC says nothing."""


@dataclass(frozen=True)
class Sheet:
    """How the meter and the car stand for a whole sheet of readings."""

    position: str
    quantity: Quantity = "volts"
    black: str = USUAL_BLACK
    state: State = "loaded"
    bench: bool = False

    def covers(self, asked: Asked) -> bool:
        """Whether a reading belongs on this sheet, wherever its points are."""
        return (asked.position, asked.quantity, asked.bench) == (self.position, self.quantity, self.bench)


@dataclass(frozen=True)
class Row:
    """One place to measure. `ref` is what is selected on the map with it; `taken` its readings, as
    (place in the job's list, reading), oldest first; `gone` says which of its points is not there any more.
    """

    asked: Asked
    ref: str
    point: str
    what: str
    taken: tuple[tuple[int, Reading], ...] = ()
    gone: str = ""

    @property
    def last(self) -> Reading | None:
        return self.taken[-1][1] if self.taken else None


@dataclass(frozen=True)
class Difference:
    """How a reading compares with what was expected; `none` where there is nothing to compare."""

    kind: Literal["agrees", "differs", "none"]
    words: str


class Sheets:
    """The sheets of one job after the other. The last is kept while the circuit stays as it is."""

    def __init__(self, library: Library) -> None:
        self._library = library
        self._job: Job | None = None
        self._sheet: Sheet | None = None
        self._rows: dict[Asked, Row] = {}

    def rows(self, job: Job, sheet: Sheet, pairs: Iterable[Asked] = ()) -> tuple[Row, ...]:
        """Pairs of points asked for, then leads, joints and wires, then readings elsewhere."""
        same = self._job is not None and same_circuit(self._job, job)
        if not same or sheet != self._sheet:
            self._rows = self._turned(sheet) if same else {}
            if not self._rows:
                points = dict.fromkeys(_points(job, self._library, sheet))
                self._rows = {asked: _row(job, self._library, asked) for asked in points}
        self._job, self._sheet = job, sheet
        found = {asked: _row(job, self._library, asked) for asked in pairs} | self._rows
        taken: dict[Asked, list[tuple[int, Reading]]] = {}
        for at, reading in enumerate(job.readings):
            if sheet.covers(asked := Asked.of(reading)):
                taken.setdefault(asked, []).append((at, reading))
        for asked, readings in taken.items():
            row = found.get(asked) or _row(job, self._library, asked)
            found[asked] = replace(row, taken=tuple(readings))
        return tuple(found.values())

    def _turned(self, sheet: Sheet) -> dict[Asked, Row]:
        """The last sheet in another position; nothing where more than the position is another."""
        if self._sheet is None or replace(self._sheet, position=sheet.position) != sheet:
            return {}
        turned = (
            (Asked(a.red, a.black, a.quantity, sheet.position, a.loaded, a.lifted, a.bench), row)
            for a, row in self._rows.items()
        )
        return {asked: Row(asked, row.ref, row.point, row.what, gone=row.gone) for asked, row in turned}


def count_taken(job: Job, position: str) -> int:
    """How many readings there are in a position."""
    return sum(1 for reading in job.readings if reading.position == position)


def _points(job: Job, library: Library, sheet: Sheet) -> Iterator[Asked]:
    for tag in job.parts:
        for ref in worth_measuring(job, library, tag):
            black = through(job, ref) if sheet.quantity == "amps" else sheet.black
            if black is not None:
                yield _asked(sheet, ref, black, ref)
    if sheet.quantity != "amps":
        for joint in in_order(job.joints):
            yield _asked(sheet, joint, sheet.black, None)
    for wire in in_order(job.lookup.conductors):
        yield _asked(sheet, f"{wire}:a", f"{wire}:b", f"{wire}:a")


def _asked(sheet: Sheet, red: str, black: str, end: str | None) -> Asked:
    lifted = end if sheet.state == "lifted" and end is not None else None
    return Asked(red, black, sheet.quantity, sheet.position, sheet.state != "unplugged", lifted, sheet.bench)


def worth_measuring(job: Job, library: Library, tag: str) -> Iterator[str]:
    """The terminals of a part at which a meter says something, in its own order.

    Airbag circuits are never measured. Of a mated pair the half on our side is the one that is reached.
    """
    part = job.parts[tag]
    if part.state == "removed":
        return
    for ref, cavity in part.cavities.items():
        meets = job.lookup.meets.get(ref)
        if cavity.airbag or not job.in_contact(ref) or (meets is not None and is_pigtail(job, meets)):
            continue
        if meets is not None and (other := job.cavity(meets)) is not None and other.airbag:
            continue
        joined = ref in job.lookup.joint_of or ref in job.lookup.crimped
        function = function_of(job, library, ref)
        steady = function is not None and function.cls not in _WITHOUT_LEVEL
        if joined or steady:
            yield ref


def _row(job: Job, library: Library, asked: Asked) -> Row:
    red, black = asked.red, asked.black
    gone = next((point for point in (red, black, asked.lifted) if point and not is_there(job, point)), "")
    wire = kind_of(red) == kind_of(black) == "wire end" and owner_of_end(red) == owner_of_end(black)
    if wire:
        point = owner_of_end(red)
        what = "through it" if asked.quantity == "amps" else "from end to end"
    else:
        point = point_words(job, red)
        if black != USUAL_BLACK:
            point = f"{point} to {point_words(job, black)}"
        what = what_is_there(job, library, red)
    ref = owner_of_end(red) if kind_of(red) == "wire end" else red
    return Row(asked, ref if red not in BATTERY_POINTS and not gone else "", point, what, gone=gone)


def parts_in(found: Iterable[Row]) -> tuple[str, ...]:
    """The tags of the parts in a sheet, in its order."""
    terminals = (row.ref for row in found if row.ref and kind_of(row.ref) == "terminal")
    return tuple(dict.fromkeys(part_of(ref) for ref in terminals))


def compare(answer: Answer | None, reading: Reading | None) -> Difference:
    """The difference in words."""
    if reading is None or answer is None:
        return Difference("none", "")
    if answer.value is None:
        return Difference("none", "no number to compare")
    off = reading.net_value - answer.value
    if abs(off) <= tolerance(answer.value, reading.quantity):
        return Difference("agrees", "agrees")
    return Difference("differs", f"differs by {show_value(off, reading.quantity)}")


_TOLERANCES: dict[Quantity, tuple[float, float]] = {
    "volts": (0.1, 0.02),
    "ohms": (0.2, 0.1),
    "amps": (0.02, 0.1),
}
"""Least difference, and share of what is expected, that is no difference yet (common practice)."""


def tolerance(expected: float, quantity: Quantity) -> float:
    """How far a reading may be off and still agree."""
    least, share = _TOLERANCES[quantity]
    return max(least, share * abs(expected))
