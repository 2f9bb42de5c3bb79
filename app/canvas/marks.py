"""Selection outlines, the keyboard's focus ring, and the rubber band: one item above everything static."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.ghost import EVERYWHERE
from app.canvas.style import CASING_WIDTH, READABLE_FROM, Style, pen, with_alpha
from app.canvas.wires import stroke_wire
from core.layout.shapes import Curve

RING_PX = 2.0


class MarksItem(QGraphicsItem):
    """Draws what is selected, what has the focus, and the rubber band."""

    def __init__(self, style: Style) -> None:
        super().__init__()
        self.style = style
        self._outlines: Sequence[tuple[QRectF, float]] = ()
        self._wires: Sequence[tuple[Curve, QPainterPath]] = ()
        self._focus: tuple[QRectF, float] | None = None
        self._focus_wire: QPainterPath | None = None
        self._band = QRectF()
        self.setZValue(7)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)

    def show_selected(
        self, outlines: Sequence[tuple[QRectF, float]], wires: Sequence[tuple[Curve, QPainterPath]]
    ) -> None:
        """Rectangles with their corner radius, and the wires that are selected."""
        self._outlines = outlines
        self._wires = wires
        self.update()

    def show_focus(self, outline: tuple[QRectF, float] | None) -> None:
        self._focus = outline
        self.update()

    def show_band(self, band: QRectF) -> None:
        self._band = band
        self.update()

    def boundingRect(self) -> QRectF:
        return EVERYWHERE

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        style = self.style
        scale = painter.worldTransform().m11()
        unit = 1.0 / scale
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        for _, path in self._wires:
            painter.strokePath(path, pen(style.action, max(CASING_WIDTH + 5, 5 * unit)))
        for curve, path in self._wires:
            stroke_wire(painter, path, style.wire(curve.colour), scale >= READABLE_FROM)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(pen(style.action, RING_PX * max(unit, 0.6)))
        for rect, radius in self._outlines:
            _round(painter, rect, radius, min(2.5 * unit, 1.5))
        if self._focus is not None:
            rect, radius = self._focus
            ring = QPen(style.ink, RING_PX * unit, Qt.PenStyle.DotLine)
            painter.setPen(ring)
            _round(painter, rect, radius, min(5.5 * unit, 3.5))
        if not self._band.isNull():
            painter.setPen(pen(style.action, unit))
            painter.setBrush(with_alpha(style.action, 0.12))
            painter.drawRect(self._band)


def _round(painter: QPainter, rect: QRectF, radius: float, away: float) -> None:
    around = rect.adjusted(-away, -away, away, away)
    painter.drawRoundedRect(around, radius + away, radius + away)
