"""The steps of a conflict that explains itself: numbers at the places, a ring around the one told now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.ghost import EVERYWHERE
from app.canvas.style import Style, font, pen

RADIUS = 10.0
RING = 3.0


@dataclass(frozen=True)
class StepMark:
    """One number on the map; `outline` is what the ring goes around, and its corners' radius."""

    number: int
    at: QPointF
    outline: tuple[QRectF, float] | None = None


class StepsItem(QGraphicsItem):
    """Over the veil. The numbers keep their size on the screen."""

    def __init__(self, style: Style) -> None:
        super().__init__()
        self.style = style
        self.marks: Sequence[StepMark] = ()
        self.told = 0
        self._figures = font(12, style.pin.weight())
        self.setZValue(6)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)

    def show_steps(self, marks: Sequence[StepMark], told: int) -> None:
        """`told` is the number of the step that is told now."""
        self.marks, self.told = marks, told
        self.update()

    def boundingRect(self) -> QRectF:
        return EVERYWHERE

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        scale = painter.worldTransform().m11()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        told = [mark for mark in self.marks if mark.number == self.told]
        for mark in told:
            self._paint_ring(painter, mark, scale)
        for mark in (*(mark for mark in self.marks if mark.number != self.told), *told):
            painter.save()
            painter.translate(mark.at)
            painter.scale(1 / scale, 1 / scale)
            self._paint_number(painter, mark)
            painter.restore()

    def _paint_ring(self, painter: QPainter, mark: StepMark, scale: float) -> None:
        if mark.outline is None:
            return
        rect, corner = mark.outline
        off = 4 / scale
        painter.setPen(pen(self.style.action, RING / scale))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(rect.adjusted(-off, -off, off, off), corner + off, corner + off)

    def _paint_number(self, painter: QPainter, mark: StepMark) -> None:
        style, told = self.style, mark.number == self.told
        painter.setPen(pen(style.felt if told else style.ink, 1.5))
        painter.setBrush(style.action if told else style.raised)
        radius = RADIUS + 2 if told else RADIUS
        painter.drawEllipse(QPointF(0, 0), radius, radius)
        painter.setPen(style.on_action if told else style.ink)
        painter.setFont(self._figures)
        around = QRectF(-radius, -radius, 2 * radius, 2 * radius)
        painter.drawText(around, Qt.AlignmentFlag.AlignCenter, str(mark.number))
