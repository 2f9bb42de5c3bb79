"""One block of the map as one item: faces with their pin grids, the fan of leads, and the flags."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.dress import BlockDress, CavityDress
from app.canvas.flags import end_reach, paint_flag
from app.canvas.overview import FACES_FROM, paint_flat, paint_tag
from app.canvas.style import READABLE_FROM, Style, lightness, mixed, pen
from app.canvas.wires import path_of, stroke_glowing
from core.layout.metrics import (
    FACE_TITLE_HEIGHT,
    LATCH_DEPTH,
    SUBTITLE_HEIGHT,
    TITLE_HEIGHT,
    TITLE_MOST,
)
from core.layout.shapes import BlockShape, CavityShape, Curve, FaceShape

MARGIN = 6.0
CELL_RADIUS = 4.0

_SIDE_WORDS = {"wire": "wire side", "mating": "mating side"}


class BlockItem(QGraphicsItem):
    """Draws one block. Holds ids and what is shown, never the job's own objects."""

    def __init__(self, shape: BlockShape, style: Style) -> None:
        super().__init__()
        self.shape_ = shape
        self.style = style
        self.worn = BlockDress()
        self.fan: Sequence[tuple[Curve, QPainterPath]] = ()
        self._bounds = QRectF()
        self.setCacheMode(QGraphicsItem.CacheMode.DeviceCoordinateCache)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self.setZValue(1)

    @property
    def block(self) -> str:
        return self.shape_.part

    def show_block(self, shape: BlockShape, worn: BlockDress, fan: Sequence[Curve]) -> None:
        """Take a new shape and dress; repaints only where something differs."""
        if shape is not self.shape_ or self._bounds.isNull() or worn != self.worn:
            self.prepareGeometryChange()
            self.shape_ = shape
            self.worn = worn
            self._bounds = self._measured()
            self.update()
        if len(fan) != len(self.fan) or any(a is not b for a, (b, _) in zip(fan, self.fan, strict=True)):
            self.fan = [(curve, path_of(curve)) for curve in fan]
            self.update()

    def show_style(self, style: Style) -> None:
        self.style = style
        self.update()

    def boundingRect(self) -> QRectF:
        return self._bounds

    def _measured(self) -> QRectF:
        bounds = QRectF(*self.shape_.bounds)
        for flag in self.shape_.flags:
            worn = self.worn.flags.get(flag.terminal)
            reach = end_reach(flag, worn) if worn else 0.0
            if reach:
                way = reach if flag.turned == "right" else -reach
                bounds = bounds.united(QRectF(flag.anchor.x, flag.anchor.y - 6, way, 12).normalized())
        return bounds.adjusted(-MARGIN, -MARGIN, MARGIN, MARGIN)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        paint_block(painter, self.shape_, self.worn, self.fan, self.style, painter.worldTransform().m11())


def paint_block(
    painter: QPainter,
    block: BlockShape,
    worn: BlockDress,
    fan: Sequence[tuple[Curve, QPainterPath]],
    style: Style,
    scale: float,
) -> None:
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    if worn.removed:
        painter.setOpacity(0.6)
    if scale < FACES_FROM:
        paint_flat(painter, block, worn, style, scale)
        return
    for curve, path in fan:
        flag_worn = worn.flags.get(curve.owner)
        glow = flag_worn.glow if flag_worn is not None else None
        stroke_glowing(painter, path, curve.colour, glow, style, cased=scale >= READABLE_FROM)
    for face in block.faces:
        paint_face(painter, face, worn, style, scale)
    for flag in block.flags:
        flag_worn = worn.flags.get(flag.terminal)
        if flag_worn is not None:
            paint_flag(painter, flag, flag_worn, style, texts=scale >= READABLE_FROM)
    _paint_title(painter, block, style, scale)


def _paint_title(painter: QPainter, block: BlockShape, style: Style, scale: float) -> None:
    at = QPointF(*block.title_at)
    painter.setPen(style.ink)
    if scale < READABLE_FROM:
        paint_tag(painter, block, style, scale)
        return
    painter.setFont(style.title)
    painter.drawText(
        QRectF(at.x() - TITLE_MOST, at.y(), 2 * TITLE_MOST, TITLE_HEIGHT),
        Qt.AlignmentFlag.AlignCenter,
        block.title,
    )
    painter.setPen(style.quiet)
    painter.setFont(style.subtitle)
    below = QRectF(at.x() - TITLE_MOST, at.y() + TITLE_HEIGHT - 1, 2 * TITLE_MOST, SUBTITLE_HEIGHT)
    painter.drawText(below, Qt.AlignmentFlag.AlignCenter, block.subtitle)


def paint_face(painter: QPainter, face: FaceShape, worn: BlockDress, style: Style, scale: float) -> None:
    body, edge, ink = style.plastic(worn.plastics.get(face.connector, ""))
    painter.setPen(pen(edge, 1.4))
    painter.setBrush(body)
    if face.latch is not None:
        painter.drawRoundedRect(QRectF(*face.latch), 2.5, 2.5)
    painter.drawRoundedRect(QRectF(*face.body), 6, 6)
    if scale < READABLE_FROM:
        _paint_small_cells(painter, face, worn, style)
        return
    if face.title:
        painter.setPen(style.quiet)
        painter.setFont(style.subtitle)
        above = QRectF(*face.body)
        top = above.top() - (LATCH_DEPTH if face.latch is not None else 0.0) - FACE_TITLE_HEIGHT
        painter.drawText(
            QRectF(above.center().x() - TITLE_MOST, top, 2 * TITLE_MOST, FACE_TITLE_HEIGHT),
            Qt.AlignmentFlag.AlignCenter,
            face.title,
        )
    for cell in face.cavities:
        dressed = worn.cavities.get(cell.terminal)
        if cell.blocked:
            _paint_blocked(painter, cell_rect(cell), body, ink)
        elif dressed is not None and cell.filled and (dressed.first or dressed.second):
            paint_cell(painter, cell, dressed, style)
        else:
            _paint_empty(painter, cell_rect(cell), cell.pin, body, ink, style)
    if face.cavities:
        _paint_side(painter, face, style)


def _paint_small_cells(painter: QPainter, face: FaceShape, worn: BlockDress, style: Style) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    for cell in face.cavities:
        dressed = worn.cavities.get(cell.terminal)
        if dressed is not None and cell.filled and dressed.second:
            painter.setBrush(style.swatch(dressed.second.partition("/")[0]))
            painter.drawRect(QRectF(*cell.rect))


def _paint_filled(painter: QPainter, rect: QRectF, worn: CavityDress, style: Style) -> None:
    whole = QPainterPath()
    whole.addRoundedRect(rect, CELL_RADIUS, CELL_RADIUS)
    middle = rect.center().x()
    halves = (
        (worn.first, QRectF(rect.left(), rect.top(), middle - rect.left(), rect.height())),
        (worn.second, QRectF(middle, rect.top(), rect.right() - middle, rect.height())),
    )
    painter.save()
    painter.setClipPath(whole, Qt.ClipOperation.IntersectClip)
    for colour, half in halves if worn.split else ((worn.second, rect),):
        codes = colour.split("/") if colour else []
        painter.fillRect(half, style.swatch(codes[0]) if codes else style.felt)
        for place, code in enumerate(codes[1:]):
            painter.fillRect(
                QRectF(half.left(), half.bottom() - 5.0 + 2.5 * place, half.width(), 3.0 - 0.5 * place),
                style.swatch(code),
            )
    painter.restore()
    edge = (
        style.level(worn.level)
        if worn.level
        else mixed(style.ink, style.felt, 0.1 if not style.dark else 0.55)
    )
    painter.setPen(pen(edge, 2.0 if worn.level else 1.2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(whole)
    _paint_number(painter, rect, worn, style)
    if worn.airbag:
        paint_warning(painter, QPointF(rect.right() - 1, rect.top() + 1), 6.0, style)


def cell_rect(cell: CavityShape) -> QRectF:
    """What is painted of a cavity: its cell less the wall around it."""
    return QRectF(*cell.rect).adjusted(1.5, 1.5, -1.5, -1.5)


def paint_cell(painter: QPainter, cell: CavityShape, worn: CavityDress, style: Style) -> None:
    """One populated cavity again, as its face shows it."""
    if not cell.blocked and cell.filled and (worn.first or worn.second):
        _paint_filled(painter, cell_rect(cell), worn, style)


def _paint_number(painter: QPainter, rect: QRectF, worn: CavityDress, style: Style) -> None:
    metrics = QFontMetricsF(style.pin)
    width = min(rect.width() - 4, max(12.0, metrics.horizontalAdvance(worn.number) + 5))
    chip = QRectF(0, 0, width, min(13.5, rect.height() - 8))
    chip.moveCenter(QPointF(rect.center().x(), rect.center().y() - rect.height() * 0.08))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(Qt.GlobalColor.white)
    painter.drawRoundedRect(chip, 3, 3)
    painter.setPen(Qt.GlobalColor.black)
    _draw_fitting(painter, chip, worn.number, style)


def _draw_fitting(painter: QPainter, rect: QRectF, text: str, style: Style) -> None:
    """The text in the middle, in the largest of the two number fonts that fits."""
    name = "pin" if QFontMetricsF(style.pin).horizontalAdvance(text) <= rect.width() - 1 else "small"
    painter.setFont(getattr(style, name))
    flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextDontClip
    painter.drawText(rect, flags, style.elided(text, name, rect.width() + 1))


def _paint_empty(painter: QPainter, rect: QRectF, pin: str, body: QColor, ink: QColor, style: Style) -> None:
    edge = mixed(body, ink, 0.28)
    painter.setPen(pen(edge, 1.0))
    painter.setBrush(mixed(body, ink, 0.06))
    painter.drawRoundedRect(rect, CELL_RADIUS, CELL_RADIUS)
    painter.setPen(mixed(body, ink, 0.62))
    _draw_fitting(painter, rect, pin, style)


def _paint_blocked(painter: QPainter, rect: QRectF, body: QColor, ink: QColor) -> None:
    painter.setPen(pen(mixed(body, ink, 0.3), 1.0))
    painter.setBrush(mixed(body, ink, 0.2))
    painter.drawRoundedRect(rect, CELL_RADIUS, CELL_RADIUS)
    inner = rect.adjusted(5, 5, -5, -5)
    painter.setPen(pen(mixed(body, ink, 0.55), 1.4))
    painter.drawLine(inner.topLeft(), inner.bottomRight())
    painter.drawLine(inner.topRight(), inner.bottomLeft())


def _paint_side(painter: QPainter, face: FaceShape, style: Style) -> None:
    body = QRectF(*face.body)
    painter.setPen(style.quiet)
    painter.setFont(style.small)
    below = max(body.bottom(), QRectF(*face.latch).bottom()) if face.latch is not None else body.bottom()
    at = QRectF(body.center().x() - 60, below + 1, 120, 12)
    painter.drawText(at, Qt.AlignmentFlag.AlignCenter, _SIDE_WORDS[face.side])


def paint_warning(painter: QPainter, at: QPointF, size: float, style: Style) -> None:
    """A small warning triangle: this cavity belongs to an airbag circuit."""
    triangle = QPainterPath()
    triangle.moveTo(at.x(), at.y() - size)
    triangle.lineTo(at.x() + size, at.y() + size * 0.75)
    triangle.lineTo(at.x() - size, at.y() + size * 0.75)
    triangle.closeSubpath()
    painter.setPen(pen(style.ink if lightness(style.ink) < 0.5 else style.felt, 1.0))
    painter.setBrush(style.swatch("YE"))
    painter.drawPath(triangle)
    painter.drawLine(QPointF(at.x(), at.y() - size * 0.35), QPointF(at.x(), at.y() + size * 0.25))


def cell_at(block: BlockShape, x: float, y: float) -> CavityShape | None:
    """The cavity under a point of the block, by arithmetic."""
    for face in block.faces:
        body = face.body
        if body.x <= x <= body.right and body.y <= y <= body.bottom:
            for cell in face.cavities:
                rect = cell.rect
                if rect.x <= x <= rect.right and rect.y <= y <= rect.bottom:
                    return cell
    return None
