"""Sheet 4, joints: each with the ends that meet in it; then unused ends, and what was accepted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from core.drawing.cautions import cautions
from core.drawing.cells import LEVEL_INKS, LINE, TICK, Cell, Colour, Marked, Words, words
from core.drawing.collect_lists import JointCard, JointEnd, UnusedEnd, Verdict, joint_cards, unused, verdicts
from core.drawing.ends import Reader
from core.drawing.flow import Area, Draft, Flow, Para
from core.drawing.fonts import REGULAR, SEMIBOLD, printable, width, wrap
from core.drawing.items import Circle, Shape
from core.drawing.style import INK, LOOK, PAPER, QUIET, SMALL, STOP
from core.drawing.table import Column, Row, table
from core.drawing.wires import strokes, to_dot

TITLE = "Joints, caps and leads not used"
_SUBTITLE = (
    "In this order: grounds first, audio leads last. Park each sleeve far from the iron before the joint."
)
MOST_ENDS_IN_A_FIGURE = 12
_STROKES = 74.0
_NAME_LEAST = 130.0
_LETTERS = 52.0
_GAUGE = 82.0
_WIRE = 3.0


def joints_sheet(read: Reader, area: Area) -> Flow:
    flow = Flow("joints", area, TITLE, _SUBTITLE)
    flow.panel("At the iron", cautions("joints"), STOP, "caution")
    cards = joint_cards(read)
    if not cards:
        flow.paragraph(Para("No joint on this job yet.", ink=QUIET))
    columns = [
        Column("Order"),
        Column("Joint"),
        Column("Ends that meet, and their colours"),
        Column("Method", flexible=True),
        Column("Copper, total", flexible=True),
        Column("Note", flexible=True),
        Column("Done"),
    ]
    rows: list[Row] = []
    for card in cards:
        rows += _card(read, card)
    table(flow, "joint", columns, rows)
    _unused(flow, "Caps", "cap", unused(read, "capped"), "Each cap by itself, never two leads in one.")
    _unused(flow, "Leads to pull", "pull", unused(read, "pulled"), "Out of the plug, and kept with the job.")
    _unused(flow, "Leads left as they are", "left", unused(read, "left"), "", why=True)
    _unused(flow, "Still to decide", "open", unused(read, "open"), "Nothing was decided about these.")
    _verdicts(flow, read)
    return flow


def _card(read: Reader, card: JointCard) -> list[Row]:
    rows = []
    most = MOST_ENDS_IN_A_FIGURE
    count = -(-len(card.ends) // most)
    for number in range(count):
        ends = card.ends[number * most : (number + 1) * most]
        method = [Para(card.method, size=SMALL)]
        if card.temporary_for:
            text = f"temporary, for {card.temporary_for}: take it out after"
            method.append(Para(text, SEMIBOLD, SMALL, LOOK))
        name = card.ref if count == 1 else f"{card.ref} ({number + 1} of {count})"
        cells: tuple[Cell, ...] = (
            words(str(card.order), ink=QUIET),
            Marked(name, read.marks_at(card.ref)),
            Meeting(ends),
            Words(tuple(method)) if not number else words(""),
            words(
                "\n".join(filter(None, (card.area, card.awg and f"about {card.awg}"))) if not number else ""
            ),
            words(card.note if not number else "", ink=QUIET),
            TICK if not number else words(""),
        )
        rows.append(Row((card.ref, *(end.end for end in ends)), cells, more=number > 0))
    return rows


@dataclass(frozen=True, slots=True)
class Meeting:
    """The figure of a joint: its ends in words, their insulation running together into the joint's dot."""

    ends: tuple[JointEnd, ...]

    @property
    def natural(self) -> float:
        return _NAME_LEAST + 60 + _GAUGE + _LETTERS + _STROKES

    def _lines(self, end: JointEnd, room: float) -> list[Para]:
        name_room = room - _GAUGE - _LETTERS - _STROKES - 6
        lines = [Para(line, SEMIBOLD, SMALL) for line in wrap(end.name, SEMIBOLD, SMALL, name_room)]
        last = lines[-1]
        used = width(last.text, SEMIBOLD, SMALL) + 4
        text = printable(end.words)
        if used + width(text, REGULAR, SMALL) <= name_room:
            return lines
        return lines + [
            Para(line, REGULAR, SMALL, QUIET) for line in wrap(end.words, REGULAR, SMALL, name_room)
        ]

    def _heights(self, room: float) -> list[float]:
        return [max(LINE + 1.5, len(self._lines(end, room)) * LINE + 1.5) for end in self.ends]

    def height(self, room: float) -> float:
        return sum(self._heights(room))

    def paint(self, draft: Draft, x: float, y: float, room: float) -> None:
        heights = self._heights(room)
        middle = y + sum(heights) / 2
        dot = x + room - 8
        start = x + room - _STROKES
        under: list[Shape] = []
        for end, high in zip(self.ends, heights, strict=True):
            lines = self._lines(end, room)
            draft.stack(x, y, lines)
            base = y + lines[0].base
            if lines[-1].font == SEMIBOLD and end.words:
                beside = x + width(lines[-1].text, SEMIBOLD, SMALL) + 4
                draft.write(beside, base + (len(lines) - 1) * LINE, end.words, REGULAR, SMALL, QUIET)
            draft.write(start - _LETTERS - _GAUGE, base, end.gauge, REGULAR, SMALL, QUIET)
            draft.write(start - _LETTERS, base, end.colour or "", REGULAR, SMALL)
            under += strokes(to_dot(start - 2, y + LINE / 2, dot, middle), end.colour, _WIRE)
            y += high
        draft.shapes += under
        draft.shapes.append(Circle(dot, middle, 3.6, PAPER, INK, 1.4))

    def cut(self, room: float, height: float) -> tuple[Cell, Cell]:
        fitting = 0
        for high in self._heights(room):
            if (height := height - high) < 0:
                break
            fitting += 1
        return Meeting(self.ends[:fitting]), Meeting(self.ends[fitting:])


def _unused(
    flow: Flow, title: str, kind: str, ends: Sequence[UnusedEnd], remark: str, *, why: bool = False
) -> None:
    if not ends:
        return
    flow.section(title, remark)
    columns = [Column("End"), Column("Function and part", flexible=True), Column("Colour")]
    columns += [Column("Why", flexible=True)] if why else []
    rows = []
    for end in ends:
        cells: list[Cell] = [words(end.name, bold=True), words(end.words), Colour(end.colour)]
        cells += [words(end.reason)] if why else []
        rows.append(Row((end.end,), (*cells, TICK)))
    table(flow, kind, [*columns, Column("Done")], rows)


def _verdicts(flow: Flow, read: Reader) -> None:
    still_open = verdicts(read, accepted=False)
    if still_open:
        flow.section("Conflicts still open", "Their marks stand at the leads, wires and joints they are at.")
        columns = [
            Column("Mark"),
            Column("Level"),
            Column("Where", flexible=True),
            Column("What happens, and why", flexible=True),
        ]
        columns.append(Column("What to do", flexible=True))
        table(flow, "open conflict", columns, [_open_row(conflict) for conflict in still_open])
    accepted = verdicts(read, accepted=True)
    if accepted:
        flow.section("Accepted conflicts", "Kept on purpose, by the name given.")
        columns = [
            Column("Mark"),
            Column("Level"),
            Column("Where", flexible=True),
            Column("What happens, and why", flexible=True),
            Column("Reason", flexible=True),
            Column("Accepted by", flexible=True),
            Column("Date"),
        ]
        table(flow, "accepted", columns, [_accepted_row(conflict) for conflict in accepted])
    if read.result.not_run:
        flow.section("Rules off or not run")
        rows = [Row((item.rule,), (words(item.rule), words(item.because))) for item in read.result.not_run]
        table(flow, "rule not run", [Column("Rule", flexible=True), Column("Because", flexible=True)], rows)


def _level(conflict: Verdict) -> tuple[Cell, Cell]:
    ink = LEVEL_INKS[conflict.level[0]]
    return words(conflict.mark, bold=True, ink=ink), words(conflict.level, bold=True, ink=ink)


def _open_row(conflict: Verdict) -> Row:
    cells = (*_level(conflict), words(conflict.where), words(conflict.message), words(conflict.mend))
    return Row((conflict.key,), cells)


def _accepted_row(conflict: Verdict) -> Row:
    cells = (
        *_level(conflict),
        words(conflict.where),
        words(conflict.message),
        words(conflict.reason),
        words(conflict.name),
        words(conflict.date),
    )
    return Row((conflict.key,), cells)
