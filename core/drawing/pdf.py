"""Pages to PDF by reportlab: one path for like shapes, one text object a page, no date inside."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from io import BytesIO
from itertools import groupby

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas

from core.drawing.fonts import register_fonts
from core.drawing.items import Circle, Curve, Line, Modules, Page, Polygon, Rect, Shape, Text

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
        case Polygon():
            return (shape.fill, "", 0.0, ())
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
    path = canvas.beginPath()
    for shape in shapes:
        match shape:
            case Line():
                path.moveTo(shape.x1, height - shape.y1)
                path.lineTo(shape.x2, height - shape.y2)
            case Curve():
                path.moveTo(shape.x1, height - shape.y1)
                path.curveTo(
                    shape.x2, height - shape.y2, shape.x3, height - shape.y3, shape.x4, height - shape.y4
                )
            case Rect() if shape.radius:
                foot = height - shape.y - shape.height
                path.roundRect(shape.x, foot, shape.width, shape.height, shape.radius)
            case Rect():
                path.rect(shape.x, height - shape.y - shape.height, shape.width, shape.height)
            case Circle():
                path.circle(shape.x, height - shape.y, shape.radius)
            case Polygon():
                (x, y), *others = shape.points
                path.moveTo(x, height - y)
                for x, y in others:
                    path.lineTo(x, height - y)
                path.close()
            case Modules():
                for column, row, count in shape.runs:
                    top = height - shape.y - (row + 1) * shape.cell
                    path.rect(shape.x + column * shape.cell, top, count * shape.cell, shape.cell)
    canvas.drawPath(path, stroke=int(bool(ink)), fill=int(bool(fill)), fillMode=1)


def _write(canvas: Canvas, height: float, texts: Sequence[Text]) -> None:
    """All texts of a page, by type, so that font and colour are set once for each."""
    written = canvas.beginText()
    for (font, size, ink), group in groupby(sorted(texts, key=_type), key=_type):
        written.setFont(font, size)
        written.setFillColor(_colour(ink))
        for text in group:
            written.setTextOrigin(text.x, height - text.y)
            written.textOut(text.text)
    canvas.drawText(written)


def _type(text: Text) -> tuple[str, float, str]:
    return (text.font, text.size, text.ink)
