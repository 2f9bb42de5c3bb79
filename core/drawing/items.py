"""The draw list: what stands on a page, as plain data. Points, from the top left corner, y downwards.

Back-ends are dumb: they draw the shapes of a page in their order, then all its texts on top.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from core.drawing.fonts import ASCENT, DESCENT, Font, width


class Text(NamedTuple):
    """One line of printable text. `x` is its left edge, `y` its base line."""

    x: float
    y: float
    text: str
    font: Font
    size: float
    ink: str


class Line(NamedTuple):
    x1: float
    y1: float
    x2: float
    y2: float
    ink: str
    thick: float
    dashes: tuple[float, ...] = ()


class Rect(NamedTuple):
    """`fill` and `ink` are `#RRGGBB`; the empty string means none."""

    x: float
    y: float
    width: float
    height: float
    fill: str
    ink: str = ""
    thick: float = 0.5
    radius: float = 0.0
    dashes: tuple[float, ...] = ()


class Curve(NamedTuple):
    """A cubic with round ends."""

    x1: float
    y1: float
    x2: float
    y2: float
    x3: float
    y3: float
    x4: float
    y4: float
    ink: str
    thick: float


class Circle(NamedTuple):
    x: float
    y: float
    radius: float
    fill: str
    ink: str = ""
    thick: float = 0.5


class Modules(NamedTuple):
    """The dark cells of a square code: (column, row, count) runs, in cells of `cell` points."""

    x: float
    y: float
    cell: float
    runs: tuple[tuple[int, int, int], ...]


Shape = Line | Rect | Curve | Circle | Modules


class Box(NamedTuple):
    """What a place of the page is for: a row, a face, a figure. `refs` are the ids it tells about."""

    kind: str
    refs: tuple[str, ...]
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Page:
    """One sheet of paper. `frame` is the drawing space; `sheet` the name of the sheet it belongs to."""

    sheet: str
    number: int
    of: int
    width: float
    height: float
    frame: Box
    shapes: tuple[Shape, ...]
    texts: tuple[Text, ...]
    boxes: tuple[Box, ...]


def text_box(text: Text) -> Box:
    """The room that a text takes, from the top of its tall letters to the foot of its tails."""
    top = text.y - ASCENT * text.size
    return Box(
        "text",
        (text.text,),
        text.x,
        top,
        width(text.text, text.font, text.size),
        (ASCENT + DESCENT) * text.size,
    )
