"""Painting joints: a dot with its name; a temporary one is dashed."""

from __future__ import annotations

from collections.abc import Container, Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from app.canvas.style import READABLE_FROM, Style
from core.layout.shapes import JointShape

RADIUS = 7.0
DOTS_FROM = 0.2


def joint_reach(joint: JointShape) -> QRectF:
    """All that the joint's picture covers."""
    x, y = joint.centre
    around = QRectF(x - RADIUS - 2, y - RADIUS - 2, 2 * RADIUS + 4, 2 * RADIUS + 4)
    return around.united(QRectF(joint.label_at.x - 22, joint.label_at.y - 9, 44, 18))


def paint_joints(
    painter: QPainter,
    joints: Sequence[JointShape],
    style: Style,
    scale: float,
    temporary: Container[str] = (),
) -> None:
    """Joints with their names: all names first, so that no dot hides behind one."""
    if scale < READABLE_FROM:
        _paint_far(painter, joints, style, scale)
        return
    painter.setFont(style.joint_name)
    for joint in joints:
        _paint_name(painter, joint, style)
    for joint in joints:
        _paint_dot(painter, QPointF(*joint.centre), style, joint.joint in temporary)


def _paint_far(painter: QPainter, joints: Sequence[JointShape], style: Style, scale: float) -> None:
    size = RADIUS * 0.7 if scale >= DOTS_FROM else max(RADIUS * 0.5, 0.8 / scale)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(style.joint_pen.color())
    painter.drawRects(
        [QRectF(joint.centre.x - size, joint.centre.y - size, 2 * size, 2 * size) for joint in joints]
    )


def _paint_name(painter: QPainter, joint: JointShape, style: Style) -> None:
    text = style.text(joint.joint, "joint_name")
    size = text.size()
    plate = QRectF(0, 0, size.width() + 6, size.height() - 1)
    plate.moveCenter(QPointF(*joint.label_at))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(style.plate)
    painter.drawRoundedRect(plate, 4, 4)
    painter.setPen(style.ink)
    painter.drawStaticText(QPointF(plate.left() + 3, plate.top() - 0.5), text)


def _paint_dot(painter: QPainter, centre: QPointF, style: Style, temporary: bool) -> None:
    painter.setPen(style.temporary_pen if temporary else style.joint_pen)
    painter.setBrush(style.joint_fill)
    painter.drawEllipse(centre, RADIUS, RADIUS)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(Qt.GlobalColor.white)
    painter.drawEllipse(QPointF(centre.x() - 2, centre.y() - 2), 2.2, 2.2)
