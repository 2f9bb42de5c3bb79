"""Tables that go on over as many pages as they take, each time with their heading."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from core.drawing.cells import Cell
from core.drawing.flow import Flow, Para
from core.drawing.fonts import SEMIBOLD
from core.drawing.items import Line, Rect
from core.drawing.style import FINE, HEADING, QUIET, ZEBRA

GAP = 9.0
PAD = 2.6
LEAST_FLEXIBLE = 44.0
MOST_FLEXIBLE = 260.0
LEAST_START = 30.0
"""A row is begun at the foot of a page only where that much is left."""


class Column(NamedTuple):
    """A flexible column wraps its words where the page is too narrow; the others keep their natural width."""

    title: str
    flexible: bool = False
    middle: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """`refs` are the ids that this row tells about; `more` says that it goes on with the row before."""

    refs: tuple[str, ...]
    cells: tuple[Cell, ...]
    more: bool = False


def table(flow: Flow, kind: str, columns: Sequence[Column], rows: Sequence[Row]) -> None:
    """Puts a table on the flow. A row higher than a page is cut between lines and goes on overleaf."""
    if not rows:
        return
    widths = _widths(flow.area.width, columns, rows)
    heading = _heading(flow, columns, widths)
    striped = False
    for row in rows:
        high = _height(row, widths)
        if high > flow.room and (high <= flow.fresh_room - heading or flow.room < LEAST_START):
            flow.new_page()
            _heading(flow, columns, widths)
            striped = False
        part = f"{kind} continued" if row.more else kind
        while high > flow.room:
            row, rest = _cut(row, widths, flow.room - 2 * PAD)
            _paint(flow, part, row, widths, min(_height(row, widths), flow.room), striped)
            flow.new_page()
            _heading(flow, columns, widths)
            row, part = rest, f"{kind} continued"
            high = _height(row, widths)
        _paint(flow, part, row, widths, high, striped)
        striped = not striped
    flow.y += 8


def _widths(room: float, columns: Sequence[Column], rows: Sequence[Row]) -> list[float]:
    """Natural widths where they fit; else the flexible columns give way, the widest first."""
    natural = []
    for index, column in enumerate(columns):
        widest = max(row.cells[index].natural for row in rows)
        if column.flexible:
            widest = min(widest, MOST_FLEXIBLE)
        natural.append(max(widest, Para(column.title, SEMIBOLD, HEADING).natural) + 0.5)
    spare = room - sum(natural) - GAP * (len(columns) - 1)
    flexible = [index for index, column in enumerate(columns) if column.flexible]
    if spare >= 0:
        share = min(spare / len(columns), 26.0)
        return [wide + share for wide in natural]
    limit = MOST_FLEXIBLE
    while spare < 0 and limit > LEAST_FLEXIBLE:
        limit = max(LEAST_FLEXIBLE, limit - 4)
        for index in flexible:
            if natural[index] > limit:
                spare += natural[index] - limit
                natural[index] = limit
    return natural


def _height(row: Row, widths: Sequence[float]) -> float:
    return 2 * PAD + max(cell.height(wide) for cell, wide in zip(row.cells, widths, strict=True))


def _cut(row: Row, widths: Sequence[float], height: float) -> tuple[Row, Row]:
    heads: list[Cell] = []
    tails: list[Cell] = []
    for cell, wide in zip(row.cells, widths, strict=True):
        head, tail = cell.cut(wide, height)
        heads.append(head)
        tails.append(tail)
    return Row(row.refs, tuple(heads)), Row((), tuple(tails))


def _heading(flow: Flow, columns: Sequence[Column], widths: Sequence[float]) -> float:
    """Draws the heading and returns its height."""
    titles = [
        Para(column.title, SEMIBOLD, HEADING, QUIET).lines(wide)
        for column, wide in zip(columns, widths, strict=True)
    ]
    high = max(sum(line.leading for line in lines) for lines in titles)
    flow.need(high + LEAST_START)
    x = flow.area.x
    for lines, wide in zip(titles, widths, strict=True):
        flow.page.stack(x, flow.y, lines)
        x += wide + GAP
    flow.y += high + 1.5
    flow.page.shapes.append(Line(flow.area.x, flow.y, flow.area.right, flow.y, QUIET, FINE))
    flow.y += 1.5
    return high + 3


def _paint(flow: Flow, kind: str, row: Row, widths: Sequence[float], high: float, striped: bool) -> None:
    if striped:
        flow.page.shapes.append(Rect(flow.area.x, flow.y, flow.area.width, high, ZEBRA))
    flow.page.box(kind, row.refs, flow.area.x, flow.y, flow.area.width, high)
    x = flow.area.x
    for cell, wide in zip(row.cells, widths, strict=True):
        cell.paint(flow.page, x, flow.y + PAD, wide)
        x += wide + GAP
    flow.y += high
