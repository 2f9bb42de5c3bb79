"""Painting joints: a dot with its name; a temporary one is dashed."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from app.canvas.style import Style
from core.layout.shapes import JointShape

RADIUS = 7.0
LABELS_FROM = 0.5
DOTS_FROM = 0.2


def joint_reach(joint: JointShape) -> QRectF:
    """All that the joint's picture covers."""
    x, y = joint.centre
    around = QRectF(x - RADIUS - 2, y - RADIUS - 2, 2 * RADIUS + 4, 2 * RADIUS + 4)
    return around.united(QRectF(joint.label_at.x - 22, joint.label_at.y - 9, 44, 18))


def paint_joint(
    painter: QPainter, joint: JointShape, style: Style, scale: float, temporary: bool = False
) -> None:
    centre = QPointF(*joint.centre)
    if scale < LABELS_FROM:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(style.joint_pen.color())
        size = RADIUS * 0.7 if scale >= DOTS_FROM else max(RADIUS * 0.5, 0.8 / scale)
        painter.drawRect(QRectF(centre.x() - size, centre.y() - size, 2 * size, 2 * size))
        return
    text = style.text(joint.joint, "joint_name")
    size_px = text.size()
    plate = QRectF(0, 0, size_px.width() + 6, size_px.height() - 1)
    plate.moveCenter(QPointF(*joint.label_at))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(style.plate)
    painter.drawRoundedRect(plate, 4, 4)
    painter.setPen(style.ink)
    painter.setFont(style.joint_name)
    painter.drawStaticText(QPointF(plate.left() + 3, plate.top() - 0.5), text)
    painter.setPen(style.temporary_pen if temporary else style.joint_pen)
    painter.setBrush(style.joint_fill)
    painter.drawEllipse(centre, RADIUS, RADIUS)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(Qt.GlobalColor.white)
    painter.drawEllipse(QPointF(centre.x() - 2, centre.y() - 2), 2.2, 2.2)
