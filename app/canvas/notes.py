"""Notes: paper slips pinned to the map."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.style import Style, mixed, pen
from core.layout.metrics import NOTE_LINE, NOTE_PADDING, NOTE_TYPE, wrapped
from core.layout.shapes import Rect

FOLD = 12.0
TEXT_FROM = 0.4


class NoteItem(QGraphicsItem):
    """One note. Its words are plain text, wrapped as the layout measured them."""

    def __init__(self, rect: Rect, text: str, style: Style) -> None:
        super().__init__()
        self.style = style
        self._rect = rect
        self._lines: tuple[str, ...] = ()
        self.setCacheMode(QGraphicsItem.CacheMode.DeviceCoordinateCache)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self.setZValue(1.5)
        self.show_note(rect, text)

    def show_note(self, rect: Rect, text: str) -> None:
        lines = wrapped(text, NOTE_TYPE, rect.width - 2 * NOTE_PADDING)
        if rect != self._rect or lines != self._lines:
            self.prepareGeometryChange()
            self._rect = rect
            self._lines = lines
            self.update()

    def show_style(self, style: Style) -> None:
        self.style = style
        self.update()

    def boundingRect(self) -> QRectF:
        return QRectF(*self._rect).adjusted(-3, -7, 3, 4)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        style = self.style
        rect = QRectF(*self._rect)
        paper = QColor("#FFF8DC") if not style.dark else QColor("#4A452F")
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        slip = QPainterPath(rect.topLeft())
        for corner in (
            rect.topRight(),
            QPointF(rect.right(), rect.bottom() - FOLD),
            QPointF(rect.right() - FOLD, rect.bottom()),
            rect.bottomLeft(),
        ):
            slip.lineTo(corner)
        slip.closeSubpath()
        painter.setPen(pen(mixed(paper, style.ink, 0.35), 1.0))
        painter.setBrush(paper)
        painter.drawPath(slip)
        fold = QPainterPath(QPointF(rect.right(), rect.bottom() - FOLD))
        fold.lineTo(rect.right() - FOLD, rect.bottom() - FOLD)
        fold.lineTo(rect.right() - FOLD, rect.bottom())
        fold.closeSubpath()
        painter.setBrush(mixed(paper, style.ink, 0.15))
        painter.drawPath(fold)
        painter.setPen(pen(style.felt, 1.0))
        painter.setBrush(style.action)
        painter.drawEllipse(QPointF(rect.center().x(), rect.top()), 4.5, 4.5)
        if painter.worldTransform().m11() < TEXT_FROM:
            return
        painter.setPen(style.ink)
        painter.setFont(style.note)
        top = rect.top() + NOTE_PADDING + NOTE_LINE * 0.78
        for row, line in enumerate(self._lines):
            painter.drawText(QPointF(rect.left() + NOTE_PADDING, top + row * NOTE_LINE), line)
