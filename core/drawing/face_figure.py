"""A connector's face on paper: its grid as the eye meets it, in pieces where it is larger than a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from core.colours import split as colours_of
from core.colours import swatches
from core.drawing.collect_faces import FaceCell, FaceView
from core.drawing.flow import Area, Draft
from core.drawing.fonts import ASCENT, REGULAR, SEMIBOLD, printable, width
from core.drawing.items import Line, Rect, Shape
from core.drawing.style import BODY, FAINT, FINE, HAIRLINE, HEADING, INK, PAPER, QUIET, SMALL

BETWEEN = 16.0
_GAP = 2.0
_BODY_PAD = 5.0
_LATCH = 5.0
_BODY_FILL = "#F4F3F1"
_NUMBER = 8.0
_BAND = 6.0
_LETTERS = 7.8
_HEAD = 12.0
_SECTION_HEAD = 46.0

_Layers = tuple[list[Shape], list[Shape], list[Shape]]
"""Colours, white plates, and what is drawn over them: like shapes together."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A face, or as much of a large one as goes on a page."""

    view: FaceView
    cell: tuple[float, float]
    stacked: bool

    @property
    def size(self) -> tuple[float, float]:
        wide, high = self.cell
        rows, columns = len(self.view.grid), len(self.view.grid[0])
        sides, ends = _latch_room(self.view)
        body = columns * (wide + _GAP) - _GAP + 2 * _BODY_PAD + sides
        return (
            max(body, _heading_width(self.view)),
            rows * (high + _GAP) - _GAP + 2 * _BODY_PAD + ends + _HEAD,
        )


def _latch_room(view: FaceView) -> tuple[float, float]:
    """Room beside the body and above or below it, for the latch."""
    return (
        _LATCH if view.latch in ("left", "right") else 0.0,
        _LATCH if view.latch in ("top", "bottom") else 0.0,
    )


def _heading_width(view: FaceView) -> float:
    text = printable(f"{view.heading}  {view.remark}")
    return width(text, SEMIBOLD, SMALL) + 6


def pieces_of(view: FaceView, wide: float, high: float) -> list[Piece]:
    """The face, cut into bands of columns and rows where it is larger than a page."""
    stacked = len(view.grid[0]) >= len(view.grid)
    cell = _cell_size(view, stacked)
    columns = max(1, int((wide - 2 * _BODY_PAD - 2 * _LATCH + _GAP) // (cell[0] + _GAP)))
    rows = max(1, int((high - _SECTION_HEAD - 2 * _BODY_PAD - 2 * _LATCH - _HEAD + _GAP) // (cell[1] + _GAP)))
    whole = (len(view.grid), len(view.grid[0]))
    if rows >= whole[0] and columns >= whole[1]:
        return [Piece(view, cell, stacked)]
    pieces = []
    for top in range(0, whole[0], rows):
        for left in range(0, whole[1], columns):
            grid = tuple(row[left : left + columns] for row in view.grid[top : top + rows])
            where = (
                f"{view.remark + ', ' if view.remark else ''}"
                f"rows {top + 1} to {top + len(grid)} of {whole[0]}, "
                f"columns {left + 1} to {left + len(grid[0])} of {whole[1]}"
            )
            at_latch = {
                "top": top == 0,
                "bottom": top + rows >= whole[0],
                "left": left == 0,
                "right": left + columns >= whole[1],
            }.get(view.latch, False)
            latch = view.latch if at_latch else "none"
            pieces.append(Piece(replace(view, grid=grid, remark=where, latch=latch), cell, stacked))
    return pieces


def _cell_size(view: FaceView, stacked: bool) -> tuple[float, float]:
    cells = [cell for row in view.grid for cell in row if cell]
    pins = max((width(printable(cell.pin), SEMIBOLD, _NUMBER) for cell in cells), default=0)
    codes = [_letters(cell.colour, stacked) for cell in cells if cell.colour]
    letters = max((width(line, REGULAR, HEADING) for lines in codes for line in lines), default=0)
    lines = max(map(len, codes), default=0)
    return max(17.0, pins + 7, letters + 5), _NUMBER + 3 + _LETTERS * lines + (_BAND if lines else 6)


def _letters(colour: str, stacked: bool) -> list[str]:
    """A colour's letters as they stand in a cell: a line each in a wide face, on one line in a tall one."""
    *before, last = colours_of(colour)
    return [*(f"{code}/" for code in before), last] if stacked else [colour]


def side_by_side(pieces: Sequence[Piece], room: float) -> Iterator[list[Piece]]:
    """Pieces side by side as far as they fit."""
    line: list[Piece] = []
    used = 0.0
    for piece in pieces:
        wide = piece.size[0] + BETWEEN
        if line and used + wide - BETWEEN > room:
            yield line
            line, used = [], 0.0
        line.append(piece)
        used += wide
    if line:
        yield line


def paint_face(draft: Draft, piece: Piece, x: float, y: float) -> None:
    view = piece.view
    wide, high = piece.cell
    draft.box("face", (view.connector, view.side), x, y, *piece.size)
    heading = printable(view.heading)
    base = y + ASCENT * SMALL
    draft.write(x, base, heading, SEMIBOLD, SMALL)
    if view.remark:
        draft.write(x + width(heading, SEMIBOLD, SMALL) + 5, base, view.remark, REGULAR, SMALL, QUIET)
    body = Area(
        x + (_LATCH if view.latch == "left" else 0),
        y + _HEAD + (_LATCH if view.latch == "top" else 0),
        len(view.grid[0]) * (wide + _GAP) - _GAP + 2 * _BODY_PAD,
        len(view.grid) * (high + _GAP) - _GAP + 2 * _BODY_PAD,
    )
    _paint_latch(draft, view, body)
    draft.shapes.append(Rect(*body, _BODY_FILL, INK, 0.9, 5))
    under: list[Shape] = []
    over: list[Shape] = []
    plates: list[Shape] = []
    for row, cells in enumerate(view.grid):
        for column, cell in enumerate(cells):
            if cell is None:
                continue
            at = Area(
                body.x + _BODY_PAD + column * (wide + _GAP),
                body.y + _BODY_PAD + row * (high + _GAP),
                wide,
                high,
            )
            _paint_cell(draft, cell, at, piece.stacked, (under, plates, over))
            draft.box("cell", (f"{view.connector}-{cell.pin}", view.side), *at)
    draft.shapes += [*under, *plates, *over]


def _paint_latch(draft: Draft, view: FaceView, body: Area) -> None:
    long = min(30.0, 0.4 * (body.width if view.latch in ("top", "bottom") else body.height))
    across, down = body.x + (body.width - long) / 2, body.y + (body.height - long) / 2
    match view.latch:
        case "top":
            area = Area(across, body.y - _LATCH, long, _LATCH + 3)
        case "bottom":
            area = Area(across, body.bottom - 3, long, _LATCH + 3)
        case "left":
            area = Area(body.x - _LATCH, down, _LATCH + 3, long)
        case "right":
            area = Area(body.right - 3, down, _LATCH + 3, long)
        case "none":
            return
    draft.shapes.append(Rect(*area, _BODY_FILL, INK, 0.9, 1.5))
    draft.box("latch", (view.connector, view.side, view.latch), *area)


def _paint_cell(draft: Draft, cell: FaceCell, at: Area, stacked: bool, layers: _Layers) -> None:
    under, plates, over = layers
    middle = at.x + at.width / 2
    if cell.state != "filled":
        if cell.state == "blocked":
            plates.append(Rect(*at, HAIRLINE, QUIET, FINE, 2))
            over.append(Line(at.x + 1, at.y + 1, at.right - 1, at.bottom - 1, QUIET, FINE))
            over.append(Line(at.x + 1, at.bottom - 1, at.right - 1, at.y + 1, QUIET, FINE))
            plate = width(printable(cell.pin), REGULAR, HEADING) + 2
            over.append(Rect(middle - plate / 2, at.y + at.height / 2 - 4.5, plate, 9, HAIRLINE))
        else:
            plates.append(Rect(*at, PAPER, FAINT, FINE, 2))
        base = at.y + at.height / 2 + HEADING * 0.33
        draft.write_mid(middle, base, cell.pin, REGULAR, HEADING, QUIET)
        return
    if cell.colour is None:
        under.append(Rect(*at, PAPER, INK, 0.8, 2))
        draft.write_mid(middle, at.y + at.height / 2 + _NUMBER * 0.33, cell.pin, SEMIBOLD, _NUMBER)
        return
    base_colour, *stripes = (swatches()[code].print for code in colours_of(cell.colour))
    under.append(Rect(*at, base_colour, "", 0, 2))
    for number, stripe in enumerate(stripes, start=1):
        thick = 2.4 if len(stripes) == 1 else 1.4
        y = at.bottom - _BAND + _BAND * number / (len(stripes) + 1) - thick / 2
        under.append(Rect(at.x, y, at.width, thick, stripe))
    plates.append(Rect(at.x + 2, at.y + 2, at.width - 4, at.height - _BAND - 2, PAPER, "", 0, 1.2))
    over.append(Rect(*at, "", INK, 0.8, 2))
    draft.write_mid(middle, at.y + 2 + BODY, cell.pin, SEMIBOLD, _NUMBER)
    for number, letters in enumerate(_letters(cell.colour, stacked), start=1):
        draft.write_mid(middle, at.y + 2 + BODY + number * _LETTERS, letters, REGULAR, HEADING)
