"""What the details panel shows and changes: fields as data, made for whatever is selected."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Literal, get_args

from core.colours import in_words
from core.edits import cavities as cavity_edits
from core.edits import joins, notes, parts, wires
from core.ids import kind_of, part_of
from core.job.document import Job
from core.job.internals import VoltWindow
from core.job.parts import Lead, Part, PartState
from core.job.wiring import JointMethod
from core.library.library import Library

Set = Callable[[Job, Any], Job]
VARIOUS = "(various)"


@dataclass(frozen=True)
class Field:
    """One line of the panel. `set` is None for what can only be read; it takes the text and gives the edit.

    `choices` are (value, words) pairs; with `free` other text may be typed too.
    """

    label: str
    value: str
    kind: Literal["read", "line", "text", "choice", "tick", "colour"] = "read"
    set: Set | None = None
    choices: tuple[tuple[str, str], ...] = ()
    free: bool = False


@dataclass(frozen=True)
class Sheet:
    """A heading, a line under it, and fields."""

    title: str
    subtitle: str
    fields: tuple[Field, ...]


Level = Callable[[str], str]


def sheet_for(job: Job, library: Library, selection: Iterable[str], level: Level | None = None) -> Sheet:
    """The fields for a selection; things of one kind are edited together.

    `level` says the volts at a terminal, joint or wire in the position shown; None where none is shown.
    """
    sheet = _sheet_for(job, library, selection)
    refs = [ref for ref in selection if _is_there(job, ref)]
    if level is None or not sheet.fields or {kind_of(ref) for ref in refs} - {"terminal", "joint", "wire"}:
        return sheet
    volts = Field("Volts", _same(level(ref) for ref in refs))
    return Sheet(sheet.title, sheet.subtitle, (volts, *sheet.fields))


def _sheet_for(job: Job, library: Library, selection: Iterable[str]) -> Sheet:
    refs = sorted(ref for ref in selection if _is_there(job, ref))
    kinds = {kind_of(ref) for ref in refs}
    if not refs:
        return Sheet("Nothing selected", "Click a flag, a part, a joint or a wire.", ())
    if len(kinds) > 1:
        return Sheet(f"{len(refs)} things", "Select things of one kind to change them together.", ())
    match kinds.pop():
        case "terminal":
            return _terminals(job, library, refs)
        case "part":
            return _parts(job, refs)
        case "joint":
            return _joints(job, refs)
        case "wire":
            return _wires(job, library, refs)
        case "cable":
            return _cable(job, refs[0])
        case "note":
            note = job.notes[refs[0]]
            return Sheet(
                refs[0], "Note", (_text("Text", note.text, lambda j, v: notes.set_note(j, refs[0], v)),)
            )
        case _:
            return Sheet(", ".join(job.shown(ref) for ref in refs), "", ())


def _is_there(job: Job, ref: str) -> bool:
    match kind_of(ref):
        case "terminal" | "wire end":
            return job.end_exists(ref)
        case "part":
            return ref in job.parts
        case "joint":
            return ref in job.joints
        case "wire":
            return ref in job.wires
        case "cable":
            return ref in job.cables
        case "note":
            return ref in job.notes
        case _:
            return False


def _line(label: str, value: object, set_: Set) -> Field:
    return Field(label, "" if value is None else str(value), "line", set_)


def _text(label: str, value: str, set_: Set) -> Field:
    return Field(label, value, "text", set_)


def _same(values: Iterable[object]) -> str:
    found = {"" if value is None else str(value) for value in values}
    return found.pop() if len(found) == 1 else VARIOUS


def _ticked(values: Iterable[bool]) -> str:
    return _same("yes" if value else "" for value in values)


def _terminals(job: Job, library: Library, refs: Sequence[str]) -> Sheet:
    cavities = [cavity for ref in refs if (cavity := job.cavity(ref)) is not None]
    first = cavities[0]

    def put(name: str, read: Callable[[str], Any] = lambda text: text) -> Set:
        return lambda j, text: cavity_edits.set_cavities(j, refs, **{name: read(text)})

    functions = tuple((f.id, f.words) for f in library.functions.values())
    fields = [
        Field(
            "Function", _same(c.function for c in cavities), "choice", put("function"), functions, free=True
        ),
        _line("Sheet says", _same(c.label for c in cavities), put("label")),
        Field(
            "Colour by sheet", _same(c.colour_sheet for c in cavities), "colour", put("colour_sheet", _maybe)
        ),
        Field(
            "Colour as found", _same(c.colour_found for c in cavities), "colour", put("colour_found", _maybe)
        ),
        Field(
            "Cavity as found",
            _same(c.found for c in cavities),
            "choice",
            put("found"),
            tuple((word, word) for word in ("not looked", "filled", "empty")),
        ),
        _line("Accepts volts", _same(_window(c.accepts) for c in cavities), put("accepts", _read_window)),
        Field("Needed", _ticked(c.needed for c in cavities), "tick", put("needed", bool)),
        Field("Airbag: never touch", _ticked(c.airbag for c in cavities), "tick", put("airbag", bool)),
    ]
    with_lead = [c.lead for c in cavities if c.lead is not None]
    if len(with_lead) == len(cavities):
        fields += _lead_fields(library, refs, with_lead)
    if len(refs) > 1:
        return Sheet(f"{len(refs)} pins", "What you change here changes on all of them.", tuple(fields))
    part = job.parts[part_of(refs[0])]
    fields += _where_it_goes(job, refs[0])
    return Sheet(job.shown(refs[0]), part.name, (*fields, _text("Note", first.note, put("note"))))


def _lead_fields(library: Library, refs: Sequence[str], leads: Sequence[Lead]) -> list[Field]:
    def put(name: str, read: Callable[[str], Any]) -> Set:
        return lambda j, text: cavity_edits.set_leads(j, refs, **{name: read(text)})

    return [
        Field("Lead colour", _same(lead.colour for lead in leads), "colour", put("colour", _maybe)),
        Field("Gauge", _same(lead.gauge for lead in leads), "choice", put("gauge", _maybe), _gauges(library)),
        _line("Length, mm", _same(_number(lead.length_mm) for lead in leads), put("length_mm", _read_number)),
        _line(
            "Trim to, mm", _same(_number(lead.trimmed_mm) for lead in leads), put("trimmed_mm", _read_number)
        ),
    ]


def _where_it_goes(job: Job, ref: str) -> list[Field]:
    fields = []
    joint = job.lookup.joint_of.get(ref)
    if joint is not None:
        others = ", ".join(job.shown(end) for end in job.joints[joint].ends if end != ref)
        fields.append(Field("Joined at", f"{joint}, with {others}"))
    finish = job.finishes.get(ref)
    if finish is not None:
        fields.append(Field("Finish", f"{finish.kind}: {finish.reason}" if finish.reason else finish.kind))
    fields += [Field("Crimped in", end) for end in job.lookup.crimped.get(ref, ())]
    if ref in job.lookup.meets:
        other = job.lookup.meets[ref]
        fields.append(Field("Meets", job.shown(other) if other else "no cavity on the other half"))
    return fields


def _parts(job: Job, refs: Sequence[str]) -> Sheet:
    chosen: list[Part] = [job.parts[ref] for ref in refs]

    def put(name: str, read: Callable[[str], Any] = lambda text: text) -> Set:
        return lambda j, text: parts.set_parts(j, refs, **{name: read(text)})

    states = tuple((word, word) for word in get_args(PartState))
    fields = [
        Field("State", _same(p.state for p in chosen), "choice", put("state"), states),
        Field("Done", _ticked(p.done for p in chosen), "tick", put("done", bool)),
    ]
    if len(refs) > 1:
        return Sheet(f"{len(refs)} parts", "What you change here changes on all of them.", tuple(fields))
    part = chosen[0]
    one = [
        _line("Tag", part.id, lambda j, text: parts.rename_tag(j, part.id, text.strip().upper())),
        _line("Name", part.name, put("name")),
        *fields,
        _line("Maker's text", part.maker, put("maker")),
        _line("Type", part.type, put("type")),
        _line("Serial", part.serial, put("serial")),
    ]
    faces = [
        f"{c.name}: {c.face.rows} × {c.face.columns}" if c.face else f"{c.name}: loose"
        for c in part.connectors
    ]
    one.append(Field("Connectors", ", ".join(faces)))
    one.append(_text("Note", part.note, put("note")))
    return Sheet(part.id, part.name, tuple(one))


def _joints(job: Job, refs: Sequence[str]) -> Sheet:
    chosen = [job.joints[ref] for ref in refs]

    def put(name: str) -> Set:
        def edit(j: Job, text: str) -> Job:
            for ref in refs:
                j = joins.set_joint(j, ref, **{name: text})
            return j

        return edit

    methods = tuple((word, word) for word in get_args(JointMethod))
    fields = [
        Field("Method", _same(j.method for j in chosen), "choice", put("method"), methods),
        _line("Temporary, for", _same(j.temporary_for for j in chosen), put("temporary_for")),
    ]
    if len(refs) > 1:
        return Sheet(f"{len(refs)} joints", "What you change here changes on all of them.", tuple(fields))
    ends = ", ".join(job.shown(end) for end in chosen[0].ends)
    return Sheet(refs[0], "Joint", (Field("Ends", ends), *fields, _text("Note", chosen[0].note, put("note"))))


def _wires(job: Job, library: Library, refs: Sequence[str]) -> Sheet:
    chosen = [job.wires[ref] for ref in refs]

    def put(name: str, read: Callable[[str], Any]) -> Set:
        return lambda j, text: wires.set_wires(j, refs, **{name: read(text)})

    fields = [
        Field("Colour", _same(w.colour for w in chosen), "colour", put("colour", _maybe)),
        Field("Gauge", _same(w.gauge for w in chosen), "choice", put("gauge", _maybe), _gauges(library)),
        _line("Length, mm", _same(_number(w.length_mm) for w in chosen), put("length_mm", _read_number)),
    ]
    title = refs[0] if len(refs) == 1 else f"{len(refs)} wires"
    ends = [
        Field(f"End {letter}", _end_in_words(job, f"{refs[0]}:{letter}")) for letter in "ab" if len(refs) == 1
    ]
    return Sheet(title, "Wire from stock", (*ends, *fields))


def _end_in_words(job: Job, end: str) -> str:
    wire = job.wires[end.partition(":")[0]]
    cavity = wire.a_in if end.endswith("a") else wire.b_in
    if cavity is not None:
        return f"crimped into {job.shown(cavity)}"
    joint = job.lookup.joint_of.get(end)
    return f"in joint {joint}" if joint else "free"


def _cable(job: Job, ref: str) -> Sheet:
    cable = job.cables[ref]
    cores = ", ".join(core.colour or "?" for core in cable.conductors)

    def put(name: str, read: Callable[[str], Any] = lambda text: text) -> Set:
        return lambda j, text: wires.set_cable(j, ref, **{name: read(text)})

    return Sheet(
        ref,
        "Cable",
        (
            _line("Name", cable.name, put("name")),
            _line("Length, mm", _number(cable.length_mm), put("length_mm", _read_number)),
            Field("Conductors", cores),
            _text("Note", cable.note, put("note")),
        ),
    )


def _gauges(library: Library) -> tuple[tuple[str, str], ...]:
    return (("", "not stated"), *((size.gauge, size.gauge.replace("mm2", "mm²")) for size in library.wires))


def _maybe(text: str) -> str | None:
    return text.strip() or None


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:g}"


def _read_number(text: str) -> float | str | None:
    """A number as people type it; other text goes on as it is and is refused by the field it is for."""
    text = text.strip().replace(",", ".")
    try:
        return float(text) if text else None
    except ValueError:
        return text


def _window(window: VoltWindow | None) -> str:
    return "" if window is None else f"{window.least:g} to {window.most:g}"


def _read_window(text: str) -> dict[str, Any] | None:
    """`5.5 to 6.5`, `5.5-6.5` or `12`: the volts accepted, least and most."""
    pieces = [piece for piece in text.replace("to", " ").replace("-", " ").replace("V", " ").split() if piece]
    if not pieces:
        return None
    return {"least": _read_number(pieces[0]), "most": _read_number(pieces[-1])}


def colour_hint(colour: str) -> str:
    """A colour in words, or the empty string where it is none."""
    try:
        return in_words(colour)
    except KeyError:
        return ""
