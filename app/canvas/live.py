"""Live items: the wires that move now, and the wire in the hand."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.ghost import EVERYWHERE
from app.canvas.joints import paint_joints
from app.canvas.style import READABLE_FROM, Style, pen
from app.canvas.wires import stroke_wire
from core.layout.shapes import JointShape

MOST_SMOOTH = 40
"""More moving wires than this are stroked without antialiasing."""


class LiveItem(QGraphicsItem):
    """The wires and joints that follow the pointer. The view repaints whole while a drag lasts."""

    def __init__(self, style: Style) -> None:
        super().__init__()
        self.style = style
        self._wires: Sequence[tuple[str | None, QPainterPath]] = ()
        self._joints: Sequence[JointShape] = ()
        self.setZValue(0.5)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)

    def show_moving(
        self, wires: Sequence[tuple[str | None, QPainterPath]], joints: Sequence[JointShape]
    ) -> None:
        self._wires = wires
        self._joints = joints
        self.update()

    def clear(self) -> None:
        self.show_moving((), ())

    @property
    def wires(self) -> Sequence[tuple[str | None, QPainterPath]]:
        return self._wires

    def boundingRect(self) -> QRectF:
        return EVERYWHERE

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        scale = painter.worldTransform().m11()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, len(self._wires) <= MOST_SMOOTH)
        for colour, path in self._wires:
            stroke_wire(painter, path, self.style.wire(colour), scale >= READABLE_FROM)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        paint_joints(painter, self._joints, self.style, scale)


class HandItem(QGraphicsItem):
    """The wire in the hand while two things are being joined."""

    def __init__(self, style: Style) -> None:
        super().__init__()
        self.style = style
        self._colour: str | None = None
        self._path = QPainterPath()
        self.setZValue(8)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self.setVisible(False)

    def show_hand(self, start: QPointF, way: float, end: QPointF, colour: str | None) -> None:
        """From an anchor to the pointer; `way`: 1 leaves to the right, -1 to the left, 0 either."""
        reach = max(40.0, abs(end.x() - start.x()) * 0.45)
        out = way or (1.0 if end.x() >= start.x() else -1.0)
        path = QPainterPath(start)
        path.cubicTo(
            QPointF(start.x() + out * reach, start.y()),
            QPointF(start.x() + 2 * end.x(), start.y() + 2 * end.y()) / 3,
            end,
        )
        self._path = path
        self._colour = colour
        self.setVisible(True)
        self.update()

    def boundingRect(self) -> QRectF:
        return EVERYWHERE

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        stroke_wire(painter, self._path, self.style.wire(self._colour))
        painter.setPen(pen(self.style.ink, 1.2))
        painter.setBrush(self.style.raised)
        painter.drawEllipse(self._path.currentPosition(), 4.5, 4.5)
