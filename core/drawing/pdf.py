"""Pages to PDF by reportlab: one path for like shapes, one text object a page, no date inside."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from io import BytesIO
from itertools import groupby

from reportlab import rl_config
from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject
from reportlab.pdfgen.textobject import PDFTextObject

from core.drawing.fonts import register_fonts
from core.drawing.items import Circle, Curve, Line, Modules, Page, Rect, Shape, Text

rl_config.useA85 = 0  # streams as they are: a fifth smaller, and no slow letters in between

QUARTER = 0.5523
"""How far the handles of a cubic reach that draws a quarter circle of radius 1."""

_COLOURS: dict[str, HexColor] = {}


def write_pdf(pages: Sequence[Page], title: str) -> bytes:
    """The same pages give the same bytes."""
    register_fonts()
    buffer = BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setCreator("Loomwright")
    for page in pages:
        canvas.setPageSize((page.width, page.height))
        # The draw list counts downwards; only points are turned over, so that letters stay upright.
        for look, shapes in groupby(page.shapes, key=_look):
            _draw(canvas, page.height, look, shapes)
        _write(canvas, page.height, page.texts)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _colour(text: str) -> HexColor:
    colour = _COLOURS.get(text)
    if colour is None:
        colour = _COLOURS[text] = HexColor(text)
    return colour


_Look = tuple[str, str, float, tuple[float, ...]]
"""Fill, ink, thickness and dashes: shapes alike in these share one path."""


def _look(shape: Shape) -> _Look:
    match shape:
        case Line():
            return ("", shape.ink, shape.thick, shape.dashes)
        case Curve():
            return ("", shape.ink, shape.thick, (-1.0,))
        case Rect():
            return (shape.fill, shape.ink, shape.thick, shape.dashes)
        case Circle():
            return (shape.fill, shape.ink, shape.thick, ())
        case Modules():
            return ("#000000", "", 0.0, ())


def _draw(canvas: Canvas, height: float, look: _Look, shapes: Iterable[Shape]) -> None:
    fill, ink, thick, dashes = look
    round_ends = dashes == (-1.0,)
    if fill:
        canvas.setFillColor(_colour(fill))
    if ink:
        canvas.setStrokeColor(_colour(ink))
        canvas.setLineWidth(thick)
        canvas.setLineCap(1 if round_ends else 0)
        canvas.setDash(*((list(dashes), 0) if dashes and not round_ends else ()))
    code = ["n"]
    for shape in shapes:
        _outline(code, shape, height)
    canvas.drawPath(PDFPathObject(code), stroke=int(bool(ink)), fill=int(bool(fill)), fillMode=1)


def _outline(code: list[str], shape: Shape, height: float) -> None:
    """Adds the shape to a path, to a hundredth of a point: the canvas's own writing of numbers is slow."""
    match shape:
        case Line(x1, y1, x2, y2):
            code.append(f"{x1:.2f} {height - y1:.2f} m {x2:.2f} {height - y2:.2f} l")
        case Curve(x1, y1, x2, y2, x3, y3, x4, y4):
            code.append(
                f"{x1:.2f} {height - y1:.2f} m {x2:.2f} {height - y2:.2f} "
                f"{x3:.2f} {height - y3:.2f} {x4:.2f} {height - y4:.2f} c"
            )
        case Rect(x, y, wide, high) if not shape.radius:
            code.append(f"{x:.2f} {height - y - high:.2f} {wide:.2f} {high:.2f} re")
        case Rect(x, y, wide, high):
            _rounded(code, x, height - y - high, wide, high, min(shape.radius, wide / 2, high / 2))
        case Circle(x, y, radius):
            _rounded(code, x - radius, height - y - radius, 2 * radius, 2 * radius, radius)
        case Modules(x, y, cell, runs):
            for column, row, count in runs:
                foot = height - y - (row + 1) * cell
                code.append(f"{x + column * cell:.3f} {foot:.3f} {count * cell:.3f} {cell:.3f} re")


def _rounded(code: list[str], x: float, y: float, wide: float, high: float, radius: float) -> None:
    """A rectangle with quarter circles for corners; a circle where the radius is half of both sides."""
    pull = radius * (1 - QUARTER)
    right, top = x + wide, y + high
    code.append(
        f"{x + radius:.2f} {y:.2f} m {right - radius:.2f} {y:.2f} l "
        f"{right - pull:.2f} {y:.2f} {right:.2f} {y + pull:.2f} {right:.2f} {y + radius:.2f} c "
        f"{right:.2f} {top - radius:.2f} l "
        f"{right:.2f} {top - pull:.2f} {right - pull:.2f} {top:.2f} {right - radius:.2f} {top:.2f} c "
        f"{x + radius:.2f} {top:.2f} l "
        f"{x + pull:.2f} {top:.2f} {x:.2f} {top - pull:.2f} {x:.2f} {top - radius:.2f} c "
        f"{x:.2f} {y + radius:.2f} l "
        f"{x:.2f} {y + pull:.2f} {x + pull:.2f} {y:.2f} {x + radius:.2f} {y:.2f} c h"
    )


class _Writing(PDFTextObject):  # type: ignore[misc]
    """A text object that sets one line at a place, without working out its width again."""

    def at(self, x: float, y: float, text: str) -> None:
        self._code.append(f"1 0 0 1 {x:.2f} {y:.2f} Tm {self._formatText(text)}")


def _write(canvas: Canvas, height: float, texts: Sequence[Text]) -> None:
    """All texts of a page, by type, so that font and colour are set once for each."""
    written = _Writing(canvas)
    for (font, size, ink), group in groupby(sorted(texts, key=_type), key=_type):
        written.setFont(font, size)
        written.setFillColor(_colour(ink))
        for text in group:
            written.at(text.x, height - text.y, text.text)
    canvas.drawText(written)


def _type(text: Text) -> tuple[str, float, str]:
    return (text.font, text.size, text.ink)
