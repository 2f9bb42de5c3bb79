"""What stands on every sheet: frame, zones, title block (fields of ISO 7200), status, square code."""

from __future__ import annotations

from typing import NamedTuple

from core.colours import split as colours_of
from core.colours import swatches
from core.drawing.cells import swatch
from core.drawing.flow import Area, Draft, Para
from core.drawing.fonts import ASCENT, REGULAR, REPLACEMENT, SEMIBOLD, width
from core.drawing.items import Line, Modules, Rect
from core.drawing.paper import MM, ZONE_COLUMNS, ZONE_ROWS, Paper
from core.drawing.qr import QUIET_CELLS, Runs
from core.drawing.status import StatusBar
from core.drawing.style import BODY, FINE, FRAME, HEADING, INK, PAPER, QUIET
from core.job.record import JobSheet

BLOCK_WIDTH_MM = 180
"""ISO 7200 (value from memory); it is just what fits on A4 upright."""
CODE_WIDTH_MM = 26
INSET = 10.0
_PAD = 3.5
_VALUE = BODY
_ROWS: tuple[tuple[tuple[str, float], ...], ...] = (
    (
        ("Legal owner", 52),
        ("Identification number", 40),
        ("Revision", 18),
        ("Date of issue", 24),
        ("Sheet", 20),
    ),
    (("Title", 110), ("Document type", 44)),
    (("Created by", 38.5), ("Approved by", 38.5), ("Built by", 38.5), ("Bench tested by", 38.5)),
)
"""Field names and widths in mm, row by row; the code stands to the right of all rows."""
MOST_LINES = 3
_LEAST_ROW = 8.5 * MM


class Stationery(NamedTuple):
    """What is the same on every sheet of one drawing."""

    paper: Paper
    sheet: JobSheet
    status: StatusBar
    colours: tuple[str, ...]

    @property
    def frame(self) -> Area:
        return Area(*(value * MM for value in self.paper.frame_mm))

    @property
    def values(self) -> dict[str, str]:
        sheet = self.sheet
        return {
            "Legal owner": sheet.shop,
            "Identification number": sheet.number,
            "Revision": sheet.revision,
            "Date of issue": sheet.date,
            "Title": sheet.title,
            "Created by": sheet.technician,
            "Approved by": sheet.approved_by,
        }


def content_area(stationery: Stationery) -> Area:
    """The room for a sheet's own content: the frame less the strip with the title block."""
    frame = stationery.frame
    high = frame.height - _strip_height(stationery) - 2 * INSET + 2
    return Area(frame.x + INSET, frame.y + INSET, frame.width - 2 * INSET, high)


def draw_frame(
    draft: Draft, stationery: Stationery, document_type: str, number: int, of: int, code: tuple[int, Runs]
) -> None:
    """Adds the frame, the zones and the strip at the foot to a page."""
    _zones(draft, stationery)
    frame = stationery.frame
    high = _strip_height(stationery)
    top = frame.bottom - _block_height(stationery)
    left = frame.right - BLOCK_WIDTH_MM * MM
    values = {**stationery.values, "Document type": document_type, "Sheet": f"{number} of {of}"}
    draft.box("title block", (), left, top, BLOCK_WIDTH_MM * MM, frame.bottom - top)
    bar = _bar_lines(stationery)
    bar_high = sum(line.leading for line in bar) + 2 * _PAD
    y = top
    for row, row_high in zip(_ROWS, _row_heights(values), strict=True):
        x = left
        for field, wide_mm in row:
            _field(draft, x, y, wide_mm * MM, row_high, field, values.get(field, ""))
            x += wide_mm * MM
        y += row_high
    code_left = frame.right - CODE_WIDTH_MM * MM
    draft.shapes.append(Rect(code_left, top, CODE_WIDTH_MM * MM, y - top, PAPER, INK, FINE))
    _code(draft, code_left, top, CODE_WIDTH_MM * MM, y - top, code)
    draft.shapes.append(Rect(left, y, BLOCK_WIDTH_MM * MM, bar_high, stationery.status.fill))
    draft.stack(left + 6, y + _PAD, bar)
    draft.shapes.append(Rect(left, top, BLOCK_WIDTH_MM * MM, frame.bottom - top, "", INK, 1.2))
    replaced = any(REPLACEMENT in text.text for text in draft.texts)
    legend = Area(frame.x + _MARGIN, frame.bottom - high, _legend_room(stationery), high)
    _legend(draft, legend, stationery.colours, replaced)
    draft.shapes.append(Rect(*frame, "", INK, FRAME))


def _zones(draft: Draft, stationery: Stationery) -> None:
    frame = stationery.frame
    tick = 2 * MM
    for column in range(ZONE_COLUMNS):
        wide = frame.width / ZONE_COLUMNS
        middle = frame.x + wide * (column + 0.5)
        for edge, away in ((frame.y, -1), (frame.bottom, 1)):
            base = edge + away * 3.2 * MM + HEADING * ASCENT / 2 - 0.5
            draft.write_mid(middle, base, str(column + 1), REGULAR, HEADING, QUIET)
            if column:
                x = frame.x + wide * column
                draft.shapes.append(Line(x, edge, x, edge + away * tick, INK, FINE))
    for row in range(ZONE_ROWS):
        high = frame.height / ZONE_ROWS
        base = frame.y + high * (row + 0.5) + HEADING * ASCENT / 2 - 0.5
        for edge, away in ((frame.x, -1), (frame.right, 1)):
            draft.write_mid(edge + away * 3.2 * MM, base, "ABCDEF"[row], REGULAR, HEADING, QUIET)
            if row:
                y = frame.y + high * row
                draft.shapes.append(Line(edge, y, edge + away * tick, y, INK, FINE))


def _field(draft: Draft, x: float, y: float, wide: float, high: float, field: str, value: str) -> None:
    draft.shapes.append(Rect(x, y, wide, high, PAPER, INK, FINE))
    foot = draft.stack(x + _PAD, y + 1.5, [Para(field, REGULAR, HEADING, QUIET)])
    draft.stack(x + _PAD, foot, _value_lines(value, wide))
    draft.box("field", (field,), x, y, wide, high)


def _value_lines(value: str, wide: float) -> list[Para]:
    """The value, or as much of it as the block has lines for: `too_long` gives those whole."""
    return Para(value, SEMIBOLD, _VALUE).at_most(MOST_LINES, wide - 2 * _PAD) if value else []


def too_long(stationery: Stationery) -> list[tuple[str, str]]:
    """Fields of the title block and status that have no room there, with their whole value."""
    values = stationery.values
    bar = Para(stationery.status.words, SEMIBOLD, BODY)
    found = []
    if len(bar.lines(BLOCK_WIDTH_MM * MM - 12)) > MOST_LINES:
        found.append(("Status", bar.text))
    for row in _ROWS:
        for field, wide in row:
            value = values.get(field, "")
            if value and len(Para(value, SEMIBOLD, _VALUE).lines(wide * MM - 2 * _PAD)) > MOST_LINES:
                found.append((field, value))
    return found


def _row_heights(values: dict[str, str]) -> list[float]:
    heights = []
    for row in _ROWS:
        lines = max(len(_value_lines(values.get(field, ""), wide * MM)) for field, wide in row)
        needed = Para("", REGULAR, HEADING).leading + lines * Para("", SEMIBOLD, _VALUE).leading + 3.5
        heights.append(max(_LEAST_ROW, needed))
    return heights


def _bar_lines(stationery: Stationery) -> list[Para]:
    return Para(stationery.status.words, SEMIBOLD, BODY, PAPER).at_most(MOST_LINES, BLOCK_WIDTH_MM * MM - 12)


def _strip_height(stationery: Stationery) -> float:
    return max(_block_height(stationery), _legend_height(_legend_room(stationery), stationery.colours))


def _block_height(stationery: Stationery) -> float:
    bar = sum(line.leading for line in _bar_lines(stationery)) + 2 * _PAD
    return sum(_row_heights(stationery.values)) + bar


def _legend_room(stationery: Stationery) -> float:
    return stationery.frame.width - BLOCK_WIDTH_MM * MM - 2 * _MARGIN


def _code(draft: Draft, x: float, y: float, wide: float, high: float, code: tuple[int, Runs]) -> None:
    cells, runs = code
    side = min(wide, high)
    cell = side / (cells + 2 * QUIET_CELLS)
    left = x + (wide - cell * cells) / 2
    top = y + (high - cell * cells) / 2
    draft.shapes.append(Modules(left, top, cell, runs))


_LEGEND_LEADING = 9.0
_LEGEND_COLUMN = 62.0
_MARGIN = 5.0
_KEY = "Base/stripe; L = light, D = dark."
_REPLACED = f"{REPLACEMENT} is a character this type lacks."


def _codes(colours: tuple[str, ...]) -> list[str]:
    used = {code for colour in colours for code in colours_of(colour)}
    return [code for code in swatches() if code in used]


def _legend_head(room: float) -> list[Para]:
    """The key, and room for the line about characters that could not be printed."""
    heading = Para("Colour letters", SEMIBOLD, HEADING, QUIET)
    return [
        heading,
        *Para(_KEY, REGULAR, HEADING, QUIET).lines(room),
        Para(_REPLACED, REGULAR, HEADING, QUIET),
    ]


def _legend_height(room: float, colours: tuple[str, ...]) -> float:
    rows = -(-len(_codes(colours)) // max(1, int(room // _LEGEND_COLUMN)))
    return rows * _LEGEND_LEADING + sum(line.leading for line in _legend_head(room)) + 8


def _legend(draft: Draft, area: Area, colours: tuple[str, ...], replaced: bool) -> None:
    """The letters used in this job and the colours they stand for."""
    if not colours and not replaced:
        return
    heading = _legend_head(area.width)
    y = draft.stack(area.x, area.y + 2, heading if replaced else heading[:-1]) + 2
    codes = _codes(colours)
    columns = max(1, int(area.width // _LEGEND_COLUMN))
    rows = -(-len(codes) // columns)
    for index, code in enumerate(codes):
        x = area.x + index // rows * _LEGEND_COLUMN
        base = y + index % rows * _LEGEND_LEADING
        swatch(draft, x, base + 1.4, 8, 5.6, code)
        draft.write(x + 10, base + 6.8, code, SEMIBOLD, HEADING)
        name = swatches()[code].name.partition(",")[0]
        draft.write(x + 12 + width(code, SEMIBOLD, HEADING), base + 6.8, name, REGULAR, HEADING)
    draft.box("legend", tuple(codes), area.x, area.y, area.width, area.height)
