"""Collects the connectors of a job, mated halves together: their faces and their pins, as plain data."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, NamedTuple

from core.colours import swatches
from core.drawing.ends import UNKNOWN, Reader
from core.ids import connector_of, natural_key, part_of, split_terminal
from core.job.faces import Face, Side
from core.job.parts import Connector, Part

CellState = Literal["filled", "empty", "blocked"]


class FaceCell(NamedTuple):
    pin: str
    state: CellState
    colour: str | None


@dataclass(frozen=True, slots=True)
class FaceView:
    """A face as the eye meets it. `latch` is the edge as seen; None in the grid is a place without cavity."""

    heading: str
    remark: str
    connector: str
    side: Side
    grid: tuple[tuple[FaceCell | None, ...], ...]
    latch: Literal["top", "bottom", "left", "right", "none"]


@dataclass(frozen=True, slots=True)
class PinRow:
    """One pin of a connector, with the pin of the car's plug that it meets."""

    refs: tuple[str, ...]
    pin: str
    other_pin: str
    function: str
    label: str
    note: str
    airbag: bool
    sheet: str | None
    found: str | None
    differs: bool
    lead: str | None
    wires: str
    gauge: str
    joint: str
    goes_to: str
    finish: str


@dataclass(frozen=True, slots=True)
class FaceSection:
    """One connector, or a mated pair. `other` is the tag of the other half; `silent`: pins without a row."""

    refs: tuple[str, ...]
    title: str
    subtitle: str
    views: tuple[FaceView, ...]
    other: str
    rows: tuple[PinRow, ...]
    silent: str
    airbag: bool


def face_sections(read: Reader) -> list[FaceSection]:
    """Every connector once, in the order of the parts' tags; a mated pair where our half stands."""
    job = read.job
    sections = []
    for tag in sorted(job.parts, key=natural_key):
        for connector in job.parts[tag].connectors:
            ref = f"{tag}.{connector.name}"
            mate = job.lookup.mate_of.get(ref)
            other = mate[1] if mate else None
            if other is not None and not _leads_the_pair(read, ref, other):
                continue
            sections.append(_section(read, ref, other))
    return sections


def _leads_the_pair(read: Reader, ref: str, other: str) -> bool:
    """Whether a pair stands under this half: the one that is not the car's, else the first by its tag."""
    mine, theirs = (read.job.parts[part_of(name)].state == "on the car" for name in (ref, other))
    return natural_key(ref) < natural_key(other) if mine == theirs else theirs


def _section(read: Reader, ref: str, other: str | None) -> FaceSection:
    job = read.job
    part = job.parts[part_of(ref)]
    connector = part.by_name[ref.partition(".")[2]]
    terminals = [f"{ref}-{cavity.pin}" for cavity in connector.cavities]
    meets = {name: job.lookup.meets.get(name) for name in terminals}
    views = [] if connector.face is None else _views(read, ref, connector.face, ours=other is not None)
    rest: list[str] = []
    title = _name(part, connector, ref)
    if other is not None:
        their_part = job.parts[part_of(other)]
        theirs = their_part.by_name[other.partition(".")[2]]
        met = set(meets.values())
        rest = [f"{other}-{c.pin}" for c in theirs.cavities if f"{other}-{c.pin}" not in met]
        if theirs.face is not None:
            views += _views(read, other, theirs.face, ours=False, pair_with=their_part)
        title += f", mated with {_name(their_part, theirs, other)}"
    rows = [_row(read, name, met) for name, met in meets.items() if speaks(read, name, met)]
    silent = [name for name, met in meets.items() if not speaks(read, name, met)]
    rows += [_row(read, None, name) for name in rest if speaks(read, name, None)]
    silent += [name for name in rest if not speaks(read, name, None)]
    return FaceSection(
        refs=(ref, other) if other else (ref,),
        title=title,
        subtitle=_subtitle(part, connector),
        views=tuple(views),
        other=part_of(other) if other else "",
        rows=tuple(rows),
        silent=_silent(connector, [name for name in silent if connector_of(name) == ref]),
        airbag=any(row.airbag for row in rows),
    )


def _name(part: Part, connector: Connector, ref: str) -> str:
    tag = ref if len(part.connectors) > 1 else part.id
    title = f", {connector.title}" if connector.title and connector.title != part.name else ""
    return f"{part.name or part.id}{title} ({tag})"


def _subtitle(part: Part, connector: Connector) -> str:
    face = connector.face
    pieces: list[str] = [part.state]
    if face is None:
        count = len(connector.cavities)
        pieces.append(f"{count} loose {'lead' if count == 1 else 'leads'}, no plug")
    else:
        ways = sum(pin is not None for row in face.grid for pin in row)
        plastic = swatches()[face.plastic].name if face.plastic in swatches() else face.plastic
        latch = f"latch {face.latch}" if face.latch != "none" else "no latch"
        pieces += [f"{ways}-way", f"{plastic} plastic" if plastic else "", latch]
        pieces += [face.terminal_family, face.secondary_lock, face.release]
    pieces += [part.maker, part.type, f"serial {part.serial}" if part.serial else "", part.note]
    return " · ".join(piece for piece in pieces if piece)


def _views(
    read: Reader, ref: str, face: Face, *, ours: bool, pair_with: Part | None = None
) -> list[FaceView]:
    views = []
    order: tuple[Side, ...] = ("mating", "wire") if pair_with else ("wire", "mating")
    for side in order:
        whose = ""
        if pair_with:
            whose = "On the car, " if pair_with.state == "on the car" else f"{pair_with.id}, "
        elif ours:
            whose = "Our mate, "
        heading = f"{whose}{side} side"
        remark = "wires toward you" if side == "wire" else ""
        if pair_with and side == "mating":
            remark = "meets our plug"
        grid = tuple(
            tuple(_cell(read, ref, face, pin) if pin is not None else None for pin in row)
            for row in face.seen_from(side)
        )
        latch = face.latch
        if side == "wire" and latch in ("left", "right"):
            latch = "left" if latch == "right" else "right"
        views.append(FaceView(heading[0].upper() + heading[1:], remark, ref, side, grid, latch))
    return views


def _cell(read: Reader, ref: str, face: Face, pin: str) -> FaceCell:
    name = f"{ref}-{pin}"
    cavity = read.job.cavity(name)
    if pin in face.blocked:
        return FaceCell(pin, "blocked", None)
    if cavity is None or not (cavity.filled or read.job.lookup.crimped.get(name)):
        return FaceCell(pin, "empty", None)
    if cavity.found == "empty":
        return FaceCell(pin, "empty", None)
    return FaceCell(pin, "filled", read.insulation(name))


def speaks(read: Reader, name: str, met: str | None) -> bool:
    """Whether there is anything to say of a cavity: it has a contact, or something is known or joined."""
    for ref in (name, met):
        cavity = read.job.cavity(ref) if ref else None
        if cavity is None or ref is None:
            continue
        known = (cavity.function, cavity.label, cavity.lead, cavity.colour_sheet, cavity.colour_found)
        if cavity.filled or cavity.airbag or cavity.note or any(known):
            return True
        if ref in read.job.lookup.crimped or ref in read.job.lookup.joint_of or ref in read.job.finishes:
            return True
    return False


def _row(read: Reader, mine: str | None, met: str | None) -> PinRow:
    """The row of our terminal, or (with None) of one that stands in the other half alone."""
    refs = tuple(ref for ref in (mine, met) if ref)
    known = [(ref, cavity) for ref in refs if (cavity := read.job.cavity(ref))]
    functions = list(dict.fromkeys(filter(None, (read.function(ref) for ref, _ in known))))
    labels = dict.fromkeys(c.label for _, c in known if c.label and c.label not in functions)
    car = known[-1][1]
    crimped = read.job.lookup.crimped.get(mine, ()) if mine else ()
    lead = known[0][1].lead if mine else None
    goes_to = [words for ref in refs if (words := read.goes_to(ref))]
    joints = [words for ref in refs if (words := read.joint(ref))]
    gauges = [read.gauge(end) for end in crimped] or ([lead.gauge] if lead else [])
    return PinRow(
        refs=refs,
        pin=split_terminal(mine).pin if mine else "",
        other_pin=split_terminal(met).pin if met else "",
        function=" / ".join(functions),
        label=" / ".join(labels),
        note="\n".join(c.note for _, c in known if c.note),
        airbag=any(c.airbag for _, c in known),
        sheet=car.colour_sheet or known[0][1].colour_sheet,
        found=car.colour_found or known[0][1].colour_found,
        differs=any(c.colour_found and c.colour_sheet and c.colour_found != c.colour_sheet for _, c in known),
        lead=read.insulation(mine) if mine and (crimped or lead) else None,
        wires=", ".join(end.partition(":")[0] for end in crimped),
        gauge=", ".join(dict.fromkeys(read.show_gauge(gauge) for gauge in gauges if gauge)) or UNKNOWN,
        joint=", ".join(dict.fromkeys(joints)) or UNKNOWN,
        goes_to=", ".join(goes_to) or "nothing",
        finish=next((words for ref in refs if (words := read.finish(ref))), UNKNOWN),
    )


def _silent(connector: Connector, names: Iterable[str]) -> str:
    """The pins without a row: empty, or blocked."""
    face = connector.face
    blocked = list(face.blocked) if face else []
    listed = {cavity.pin for cavity in connector.cavities}
    bare = [pin for row in face.grid for pin in row if pin and pin not in listed] if face else []
    empty = [pin for pin in [*bare, *(split_terminal(name).pin for name in names)] if pin not in blocked]
    pieces = [("Empty", empty), ("Blocked", blocked)]
    return " ".join(f"{word}: {', '.join(sorted(pins, key=natural_key))}." for word, pins in pieces if pins)
