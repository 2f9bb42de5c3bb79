"""The lists as data: rows of text, each cell with the edit it makes."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import get_args

from core.checks.finding import CheckResult, Conflict
from core.checks.marks import by_place
from core.drawing.collect_lists import UnusedEnd, joint_cards, lead_rows, unused, wire_rows
from core.drawing.ends import Reader
from core.edits import cavities, finishes, joins, wires
from core.ids import kind_of, natural_key, owner_of_end
from core.job.document import Job
from core.job.wiring import JointMethod
from core.library.library import Library
from core.units import MM_PER_INCH, area_mm2

Set = Callable[[Job, str], Job]
LISTS = ("Joints", "Leads to trim", "Wires to cut", "Unused leads", "Materials")
FINISHES = ("to decide", "cap", "pull out")


@dataclass(frozen=True)
class Cell:
    """What stands in a cell. `set` makes the edit from the text typed; `choices` are all it may be."""

    text: str
    set: Set | None = None
    choices: tuple[str, ...] = ()
    colour: str | None = None


@dataclass(frozen=True)
class Row:
    """One thing; `ref` is what is selected on the map with it, `conflicts` what it is in, the worst first."""

    ref: str
    cells: tuple[Cell, ...]
    conflicts: tuple[Conflict, ...] = ()


@dataclass(frozen=True)
class Table:
    headings: tuple[str, ...]
    rows: tuple[Row, ...]


def table(name: str, job: Job, result: CheckResult, library: Library) -> Table:
    """One of LISTS, for the document given; `result` says what is open and at fault. Names stand in their
    order.
    """
    made = _MAKERS[name](Reader(job, result, library))
    marks = by_place(result)
    if marks:
        rows = (replace(row, conflicts=marks.get(owner_of_end(row.ref), ())) for row in made.rows)
        made = Table(made.headings, tuple(rows))
    if name in ("Unused leads", "Materials"):
        return made
    return Table(made.headings, tuple(sorted(made.rows, key=lambda row: natural_key(row.ref))))


def _joints(read: Reader) -> Table:
    headings = ("Joint", "Ends", "Method", "Total area", "Temporary, for", "Note")
    rows = []
    for card in joint_cards(read):
        ref = card.ref
        rows.append(
            Row(
                ref,
                (
                    Cell(ref),
                    Cell(", ".join(end.name for end in card.ends)),
                    Cell(card.method, _joint(ref, "method"), get_args(JointMethod)),
                    Cell(card.area),
                    Cell(card.temporary_for, _joint(ref, "temporary_for")),
                    Cell(card.note, _joint(ref, "note")),
                ),
            )
        )
    return Table(headings, tuple(rows))


def _joint(ref: str, field: str) -> Set:
    return lambda job, text: joins.set_joint(job, ref, **{field: text.strip()})


def _leads(read: Reader) -> Table:
    headings = ("Lead", "Goes to", "Function", "Colour", "Gauge", "Length", "Trim to", "Finish")
    rows = []
    for row in lead_rows(read):
        ref = row.ref
        finish = Cell(row.finish)
        if ref not in read.job.lookup.joint_of:
            finish = Cell(row.finish, _finish(ref), FINISHES)
        rows.append(
            Row(
                ref,
                (
                    Cell(row.start),
                    Cell(row.goes_to),
                    Cell(row.function),
                    Cell(row.colour or "", _lead(ref, "colour", _colour), colour=row.colour),
                    Cell(row.gauge, _lead(ref, "gauge", _gauge), _gauges(read.library)),
                    Cell(row.length, _lead(ref, "length_mm", _length(read.job))),
                    Cell(row.trim_to, _lead(ref, "trimmed_mm", _length(read.job))),
                    finish,
                ),
            )
        )
    return Table(headings, tuple(rows))


def _lead(ref: str, field: str, value: Callable[[str], object]) -> Set:
    return lambda job, text: cavities.set_lead(job, ref, **{field: value(text)})


def _wires(read: Reader) -> Table:
    headings = ("Wire", "From", "To", "Function", "Colour", "Gauge", "Length", "Note")
    rows = []
    for row in wire_rows(read):
        ref = row.ref
        is_wire = kind_of(ref) == "wire"
        rows.append(
            Row(
                ref,
                (
                    Cell(ref),
                    Cell(row.start),
                    Cell(row.end),
                    Cell(row.function),
                    Cell(
                        row.colour or "",
                        _wire(ref, "colour", _colour) if is_wire else None,
                        colour=row.colour,
                    ),
                    Cell(row.gauge, _wire(ref, "gauge", _gauge) if is_wire else None, _gauges(read.library)),
                    Cell(row.length, _wire(ref, "length_mm", _length(read.job)) if is_wire else None),
                    Cell(row.note, _wire(ref, "note", str.strip) if is_wire else None),
                ),
            )
        )
    return Table(headings, tuple(rows))


def _wire(ref: str, field: str, value: Callable[[str], object]) -> Set:
    return lambda job, text: wires.set_wire(job, ref, **{field: value(text)})


def _unused(read: Reader) -> Table:
    headings = ("Lead", "What it is", "Colour", "Finish", "Reason")
    words = {"open": "to decide", "capped": "cap", "pulled": "pull out", "left": "left"}
    rows: list[Row] = []
    for kind, word in words.items():
        rows += [_unused_row(end, word) for end in unused(read, kind)]
    return Table(headings, tuple(rows))


def _unused_row(end: UnusedEnd, word: str) -> Row:
    cells = (
        Cell(end.name),
        Cell(end.words),
        Cell(end.colour or "", colour=end.colour),
        Cell(word, _finish(end.end), FINISHES),
        Cell(end.reason, _leave(end.end)),
    )
    return Row(end.end, cells)


def _finish(end: str) -> Set:
    def edit(job: Job, text: str) -> Job:
        match text:
            case "cap":
                return finishes.cap(job, [end])
            case "pull out":
                return finishes.pull(job, [end])
            case _:
                return finishes.clear_finish(job, [end])

    return edit


def _leave(end: str) -> Set:
    """A reason typed beside an unused lead leaves it as it is, for that reason."""
    return lambda job, text: finishes.leave(job, [end], text.strip())


def _materials(read: Reader) -> Table:
    """What to take from stock: wire by gauge and colour, closings by method, caps."""
    length_mm: dict[tuple[str, str], float] = defaultdict(float)
    pieces: Counter[tuple[str, str]] = Counter()
    unknown: Counter[tuple[str, str]] = Counter()
    for wire in read.job.wires.values():
        key = (wire.gauge or "", wire.colour or "")
        pieces[key] += 1
        unknown[key] += wire.length_mm is None
        length_mm[key] += wire.length_mm or 0
    rows = []
    for gauge, colour in sorted(pieces, key=lambda key: (area_mm2(key[0]) if key[0] else 0.0, key[1])):
        key = (gauge, colour)
        total = read.show_length(length_mm[key])
        amount = f"{total}, {unknown[key]} not measured" if unknown[key] else total
        rows.append(
            _material(f"Wire {read.show_gauge(gauge or None)}", colour, amount, f"{pieces[key]} pieces")
        )
    methods = Counter(joint.method for joint in read.job.joints.values())
    rows += [_material(f"Joint: {method}", "", str(count), "") for method, count in sorted(methods.items())]
    capped = sum(finish.kind == "capped" for finish in read.job.finishes.values())
    if capped:
        rows.append(_material("Caps", "", str(capped), ""))
    return Table(("Material", "Colour", "Amount", "Made of"), tuple(rows))


def _material(name: str, colour: str, amount: str, made_of: str) -> Row:
    return Row("", (Cell(name), Cell(colour, colour=colour or None), Cell(amount), Cell(made_of)))


def _colour(text: str) -> str | None:
    return text.strip().upper() or None


def _gauge(text: str) -> str | None:
    """A gauge as listed; `0.75 mm²` and `0.75 mm2` are one."""
    return text.strip().replace("mm²", "mm2") or None


def _gauges(library: Library) -> tuple[str, ...]:
    return tuple(size.gauge.replace("mm2", "mm²") for size in library.wires)


def _length(job: Job) -> Callable[[str], object]:
    """Reads a length in the job's unit, with or without the unit; millimetres come out."""
    factor = MM_PER_INCH if job.settings.lengths == "inch" else 1.0

    def read(text: str) -> object:
        number = text.strip().removesuffix("mm").removesuffix("in").strip().replace(",", ".")
        if number in ("", "–"):
            return None
        try:
            return float(number) * factor
        except ValueError:
            return text

    return read


_MAKERS: dict[str, Callable[[Reader], Table]] = {
    "Joints": _joints,
    "Leads to trim": _leads,
    "Wires to cut": _wires,
    "Unused leads": _unused,
    "Materials": _materials,
}
