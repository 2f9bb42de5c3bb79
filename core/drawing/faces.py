"""Sheet 2, faces: every connector from both sides, and what each of its pins is and goes to."""

from __future__ import annotations

from core.drawing.cautions import cautions
from core.drawing.cells import MEASURED, TICK, Cell, Colour, Words, words
from core.drawing.collect_faces import FaceSection, PinRow, face_sections
from core.drawing.ends import Reader
from core.drawing.face_figure import BETWEEN, paint_face, pieces_of, side_by_side
from core.drawing.flow import Area, Flow, Para
from core.drawing.fonts import REGULAR, SEMIBOLD
from core.drawing.style import INK, QUIET, SMALL, STOP
from core.drawing.table import Column, Row, table

TITLE = "Faces, joins and leads"
_SUBTITLE = (
    "Read the face you are holding. The pin governs; colour is a hint. ! = found otherwise than on the sheet."
)


def faces_sheet(read: Reader, area: Area) -> Flow:
    flow = Flow("faces", area, TITLE, _SUBTITLE)
    sections = face_sections(read)
    flow.panel("At the plugs", cautions("faces"), STOP, "caution")
    for section in sections:
        _section(flow, section)
    if not sections:
        flow.paragraph(Para("No connector on this job yet.", ink=QUIET))
    return flow


def _section(flow: Flow, section: FaceSection) -> None:
    pieces = [piece for view in section.views for piece in pieces_of(view, flow.area.width, flow.fresh_room)]
    keep = min(flow.fresh_room - 60, pieces[0].size[1] + 70) if pieces else 50
    flow.section(section.title, section.subtitle, keep)
    if section.airbag:
        flow.panel("Airbag circuit", cautions("airbag"), STOP, "caution")
    for line in side_by_side(pieces, flow.area.width):
        high = max(piece.size[1] for piece in line)
        flow.need(high)
        x = flow.area.x
        for piece in line:
            paint_face(flow.page, piece, x, flow.y)
            x += piece.size[0] + BETWEEN
        flow.y += high + 8
    _table(flow, section)
    if section.silent:
        flow.y -= 4
        flow.paragraph(Para(section.silent, REGULAR, SMALL, QUIET))


def _table(flow: Flow, section: FaceSection) -> None:
    if not section.rows:
        flow.paragraph(Para("Nothing is known of its pins yet.", ink=QUIET))
        return
    paired = bool(section.other) and any(row.pin != row.other_pin for row in section.rows)
    columns = [
        Column("Pin"),
        *([Column(f"Pin of {section.other}")] if paired else []),
        Column("Function", flexible=True),
        Column("Sheet"),
        Column("Found"),
        Column("Our lead"),
        Column("Gauge"),
        Column("Joint", flexible=True),
        Column("Goes to", flexible=True),
        Column("Finish", flexible=True),
        Column("Measured"),
        Column("Done"),
    ]
    table(flow, "pin", columns, [_row(row, paired) for row in section.rows])


def _row(row: PinRow, paired: bool) -> Row:
    function = [Para(row.function, size=SMALL)] if row.function else []
    function += [Para(row.label, size=SMALL, ink=QUIET)] if row.label else []
    function += [Para("airbag circuit: do not probe", SEMIBOLD, SMALL, STOP)] if row.airbag else []
    function += [Para(row.note, size=SMALL, ink=QUIET)] if row.note else []
    undecided = row.finish == "to decide"
    cells: list[Cell] = [
        words(row.pin, bold=True),
        *([words(row.other_pin)] if paired else []),
        Words(tuple(function)),
        Colour(row.sheet),
        Colour(row.found, mark=row.differs),
        Colour(row.lead, name=row.wires),
        words(row.gauge),
        words(row.joint),
        words(row.goes_to, ink=QUIET if row.goes_to == "nothing" else INK),
        words(row.finish, bold=undecided, ink=STOP if undecided else INK),
        MEASURED,
        TICK,
    ]
    return Row(row.refs, tuple(cells))
