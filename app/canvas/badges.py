"""Conflicts on the map: the halo on wires at fault, and a badge with the level's mark at the worst point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.ghost import EVERYWHERE
from app.canvas.joints import paint_joints
from app.canvas.style import HALO_WIDTH, READABLE_FROM, Style, pen, with_alpha
from app.canvas.wires import stroke_wire
from core.layout.shapes import Curve, JointShape, Point

BADGE_RADIUS = 9.0
MOST_HALOS = 300
"""Halos of more wires than this are shown for the selected conflict alone."""
SIGN = {"stop": "!", "look": "?", "note": "i"}


@dataclass(frozen=True)
class Badge:
    """One conflict's mark. `key` is the conflict's."""

    key: str
    level: Literal["stop", "look", "note"]
    at: Point


@dataclass(frozen=True)
class Halo:
    level: Literal["stop", "look", "note"]
    chosen: bool
    wires: tuple[tuple[Curve, QPainterPath], ...]
    joints: tuple[JointShape, ...] = ()


class FaultItem(QGraphicsItem):
    """Draws every halo and badge, and the leader from the chosen badge to its callout."""

    def __init__(self, style: Style) -> None:
        super().__init__()
        self.style = style
        self.badges: Sequence[Badge] = ()
        self._halos: Sequence[Halo] = ()
        self._leader: tuple[QPointF, QPointF, str] | None = None
        self.setZValue(2)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)

    def show_faults(self, halos: Sequence[Halo], badges: Sequence[Badge]) -> None:
        total = sum(len(halo.wires) for halo in halos)
        self._halos = halos if total <= MOST_HALOS else [halo for halo in halos if halo.chosen]
        self.badges = badges
        self.update()

    def show_leader(self, leader: tuple[QPointF, QPointF, str] | None) -> None:
        """A dashed line from the worst point to the callout, in the level's colour."""
        self._leader = leader
        self.update()

    def boundingRect(self) -> QRectF:
        return EVERYWHERE

    def badge_at(self, point: QPointF, scale: float) -> Badge | None:
        reach = BADGE_RADIUS * _size(scale) + 2 / scale
        for badge in reversed(self.badges):
            if (point.x() - badge.at.x) ** 2 + (point.y() - badge.at.y) ** 2 <= reach * reach:
                return badge
        return None

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        style = self.style
        scale = painter.worldTransform().m11()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        for halo in self._halos:
            colour = with_alpha(style.level(halo.level), 0.42 if halo.chosen else 0.24)
            width = max(HALO_WIDTH, 6 / scale)
            for _, path in halo.wires:
                painter.strokePath(path, pen(colour, width))
            for curve, path in halo.wires:
                stroke_wire(painter, path, style.wire(curve.colour), scale >= READABLE_FROM)
            paint_joints(painter, halo.joints, style, scale)
        if self._leader is not None:
            start, end, level = self._leader
            line = QPen(style.level(level), 1.4 / scale, Qt.PenStyle.DashLine)
            painter.setPen(line)
            painter.drawLine(start, end)
        size = _size(scale)
        for badge in self.badges:
            self._paint_badge(painter, badge, size)

    def _paint_badge(self, painter: QPainter, badge: Badge, size: float) -> None:
        style = self.style
        painter.save()
        painter.translate(QPointF(*badge.at))
        painter.scale(size, size)
        painter.setPen(pen(style.felt, 2.0))
        painter.setBrush(style.level(badge.level))
        radius = BADGE_RADIUS
        if badge.level == "stop":
            painter.drawEllipse(QPointF(0, 0), radius, radius)
        elif badge.level == "look":
            path = QPainterPath(QPointF(0, -radius - 1))
            path.lineTo(radius + 2, radius - 1)
            path.lineTo(-radius - 2, radius - 1)
            path.closeSubpath()
            painter.drawPath(path)
        else:
            painter.drawRoundedRect(QRectF(-radius, -radius, 2 * radius, 2 * radius), 3, 3)
        painter.setPen(style.felt if style.dark else style.raised)
        painter.setFont(style.pin)
        lower = 2.0 if badge.level == "look" else 0.0
        painter.drawText(
            QRectF(-radius, -radius + lower, 2 * radius, 2 * radius),
            Qt.AlignmentFlag.AlignCenter,
            SIGN[badge.level],
        )
        painter.restore()


def _size(scale: float) -> float:
    """Badges keep at least their size on the screen when the map is small."""
    return max(1.0, 0.8 / scale)
