"""The map taken apart, for a job too large for one sheet: part by part, each flag with its joint."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from core.drawing.collect_faces import speaks
from core.drawing.ends import Reader
from core.drawing.flow import Area, Draft, Flow, Para
from core.drawing.fonts import LEAST_SIZE, REGULAR, SEMIBOLD, printable, width, wrap
from core.drawing.items import Circle, Line, Rect
from core.drawing.style import FINE, INK, PAPER, QUIET, SECTION, SMALL
from core.drawing.wires import strokes
from core.ids import in_order, kind_of, natural_key, split_terminal

_PITCH = 15.0
_LINE = 9.3
_FLAG = 0.44
_STUB = 26.0
_BETWEEN = 20.0
_LEAST_COLUMN = 300.0
MOST_LINES = 16
_TAB_FILL = "#3A3F45"


@dataclass(frozen=True, slots=True)
class _Entry:
    """One flag: its pin, colour, function and what it goes to; or a wire or joint, which has no pin."""

    ref: str
    kind: str
    pin: str
    colour: str | None
    words: str
    joint: str
    goes_to: str


@dataclass(frozen=True, slots=True)
class _Group:
    refs: tuple[str, ...]
    title: str
    subtitle: str
    entries: tuple[_Entry, ...]


def lay_blocks(flow: Flow, read: Reader) -> None:
    """Columns of parts over as many pages as they take; then the wires, then the joints."""
    columns = max(1, int((flow.area.width + _BETWEEN) // (_LEAST_COLUMN + _BETWEEN)))
    wide = (flow.area.width - _BETWEEN * (columns - 1)) / columns
    top = flow.y
    column = 0
    y = top

    def next_column() -> None:
        nonlocal column, y, top
        column += 1
        if column == columns:
            flow.new_page()
            column, top = 0, flow.y
        y = top

    for group in _groups(read):
        continued = False
        entries = [piece for entry in group.entries for piece in _pieces(entry, wide)]
        while True:
            heading = _heading(group, wide, continued)
            high = sum(line.leading for line in heading) + 4
            first = _entry_height(entries[0], wide) if entries else 0
            full = flow.area.bottom - top >= flow.fresh_room
            if y + high + first > flow.area.bottom and (y > top or not full):
                next_column()
                continue
            x = flow.area.x + column * (wide + _BETWEEN)
            flow.page.box("block" if not continued else "block continued", group.refs, x, y, wide, high)
            flow.page.stack(x, y, heading)
            y += high
            at_least_one = True
            while entries and (at_least_one or y + _entry_height(entries[0], wide) <= flow.area.bottom):
                entry = entries.pop(0)
                _paint(flow.page, entry, Area(x, y, wide, _entry_height(entry, wide)))
                y += _entry_height(entry, wide)
                at_least_one = False
            if not entries:
                break
            continued = True
            next_column()
        y += 10
    flow.y = flow.area.bottom


def _pieces(entry: _Entry, wide: float) -> list[_Entry]:
    """An entry with very much to say, cut into pieces that each fit into a column."""
    lines = _goes_to(entry, wide)
    if len(lines) <= MOST_LINES:
        return [entry]
    parts = ["\n".join(lines[start : start + MOST_LINES]) for start in range(0, len(lines), MOST_LINES)]
    first, *rest = parts
    more = _Entry(entry.ref, f"{entry.kind} continued", "", None, "", "", "")
    return [replace(entry, goes_to=first), *(replace(more, goes_to=part) for part in rest)]


def _groups(read: Reader) -> Iterator[_Group]:
    job = read.job
    for tag in sorted(job.parts, key=natural_key):
        part = job.parts[tag]
        entries = [
            _terminal(read, name, len(part.connectors) > 1)
            for name in part.cavities
            if speaks(read, name, None)
        ]
        mates = [
            f"{connector.name} " * (len(part.connectors) > 1)
            + f"mated with {job.lookup.mate_of[ref][1].partition('.')[0]}"
            for connector in part.connectors
            if (ref := f"{tag}.{connector.name}") in job.lookup.mate_of
        ]
        subtitle = " · ".join([part.state, *mates])
        yield _Group((tag,), f"{part.name or tag} ({tag})", subtitle, tuple(entries))
    wires = [_wire(read, name) for name in in_order(job.lookup.conductors)]
    if wires:
        yield _Group((), "Wires", "From one end to the other.", tuple(wires))
    joints = [_joint(read, name) for name in in_order(job.joints)]
    if joints:
        yield _Group((), "Joints", "Every end that meets in each.", tuple(joints))
    notes = [_Entry(name, "note", "", None, "", name, job.notes[name].text) for name in in_order(job.notes)]
    if notes:
        yield _Group((), "Notes", "", tuple(notes))


def _terminal(read: Reader, name: str, several: bool) -> _Entry:
    """A flag's line. What becomes of a lead that goes nowhere stands in place of where it goes."""
    pin = split_terminal(name)
    return _Entry(
        ref=name,
        kind="flag",
        pin=f"{pin.connector}-{pin.pin}" if several else pin.pin,
        colour=read.insulation(name),
        words=read.function(name),
        joint=read.joint(name),
        goes_to=read.goes_to(name) or _meets(read, name) or read.finish(name) or "nothing",
    )


def _meets(read: Reader, name: str) -> str:
    met = read.job.lookup.meets.get(name)
    return f"meets {read.shown(met)}" if met else ""


def _wire(read: Reader, name: str) -> _Entry:
    words = f"{read.far(f'{name}:a')} to {read.far(f'{name}:b')}"
    return _Entry(name, "wire", "", read.colour(f"{name}:a"), "", name, words)


def _joint(read: Reader, name: str) -> _Entry:
    ends = ", ".join(
        read.shown(end) if kind_of(end) == "terminal" else end for end in read.job.joints[name].ends
    )
    return _Entry(name, "joint", "", None, "", name, ends)


def _heading(group: _Group, wide: float, continued: bool) -> list[Para]:
    title = f"{group.title}, continued" if continued else group.title
    lines = Para(title, SEMIBOLD, SECTION).lines(wide)
    if group.subtitle and not continued:
        lines += Para(group.subtitle, REGULAR, SMALL, QUIET).lines(wide)
    return lines


def _columns(entry: _Entry, wide: float) -> tuple[float, float, float]:
    """Width of the flag, left edge and width of the words after the joint."""
    flag = wide * _FLAG if entry.kind == "flag" else 0.0
    if entry.kind == "wire":
        flag = 30.0
    name = width(printable(entry.joint), SEMIBOLD, SMALL) + 5 if entry.joint else 0.0
    stub = _STUB if entry.kind != "note" else 0.0
    if name > wide * 0.25:  # several joints behind one cavity: they go with the words
        name = 0.0
    left = flag + stub + name
    return flag, left, wide - left


def _goes_to(entry: _Entry, wide: float) -> list[str]:
    flag, left, room = _columns(entry, wide)
    named = left > flag + _STUB + 1 or not entry.joint or entry.kind == "note"
    text = entry.goes_to if named else f"{entry.joint}: {entry.goes_to}"
    return list(wrap(text, REGULAR, SMALL, room))


def _flag_words(entry: _Entry, wide: float) -> list[str]:
    if entry.kind != "flag":
        return []
    return list(wrap(entry.words, REGULAR, SMALL, _words_room(entry, wide))) if entry.words else []


def _words_room(entry: _Entry, wide: float) -> float:
    letters = width(entry.colour or "", REGULAR, LEAST_SIZE)
    return max(30.0, wide * _FLAG - _tab(entry) - letters - 18)


def _tab(entry: _Entry) -> float:
    return max(12.0, width(printable(entry.pin), SEMIBOLD, LEAST_SIZE) + 7)


def _entry_height(entry: _Entry, wide: float) -> float:
    lines = max(len(_goes_to(entry, wide)), len(_flag_words(entry, wide)), 1)
    return _PITCH + (lines - 1) * _LINE


def _paint(draft: Draft, entry: _Entry, area: Area) -> None:
    flag, left, _ = _columns(entry, area.width)
    draft.box(entry.kind, (entry.ref,), area.x, area.y, area.width, area.height)
    middle = area.y + _PITCH / 2
    base = middle + SMALL * 0.33
    if entry.kind == "flag":
        _paint_flag(draft, entry, Area(area.x, area.y + 1, flag, area.height - 2))
    elif entry.kind == "wire":
        draft.write(area.x, base, entry.colour or "", REGULAR, LEAST_SIZE, QUIET)
    start = area.x + flag
    if entry.kind == "wire" or (entry.kind == "flag" and entry.joint):
        flat = ((start, middle), (start + 7, middle), (start + 14, middle), (start + 21, middle))
        draft.shapes += strokes(flat, entry.colour, 2.6)
    elif entry.kind == "flag":
        draft.shapes.append(Line(start, middle, start + 10, middle, QUIET, FINE))
    if entry.kind == "joint" or (entry.kind == "flag" and entry.joint):
        draft.shapes.append(Circle(start + 20, middle, 2.8, PAPER, INK, 1.2))
    if left > flag + _STUB + 1 or entry.kind == "note":
        at = start + (_STUB if entry.kind != "note" else 0)
        draft.write(at, base, entry.joint, SEMIBOLD, SMALL)
    for number, line in enumerate(_goes_to(entry, area.width)):
        draft.write(area.x + left, base + number * _LINE, line, REGULAR, SMALL)


def _paint_flag(draft: Draft, entry: _Entry, area: Area) -> None:
    draft.shapes.append(Rect(*area, PAPER, QUIET, FINE, 6))
    tab = _tab(entry)
    base = area.y + 6.5 + LEAST_SIZE * 0.33
    draft.shapes.append(Rect(area.x + 1, area.y + 1, tab, 11, _TAB_FILL, "", 0, 5.5))
    draft.write_mid(area.x + 1 + tab / 2, base, entry.pin, SEMIBOLD, LEAST_SIZE, PAPER)
    for number, line in enumerate(_flag_words(entry, area.width / _FLAG)):
        draft.write(area.x + tab + 6, base + 0.2 + number * _LINE, line, REGULAR, SMALL)
    letters = entry.colour or ""
    draft.write(
        area.right - 6 - width(letters, REGULAR, LEAST_SIZE), base, letters, REGULAR, LEAST_SIZE, QUIET
    )
