"""The mark of a level as a small picture: the same as the badge on the map."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap, QPolygonF

from app.canvas.badges import SIGN
from app.canvas.style import font
from app.theme import Tokens
from core.checks.finding import Level

SIZE = 18
_RATIO = 2


def level_icon(level: Level, tokens: Tokens) -> QIcon:
    """Stop round, Look three-cornered, Note square; each with its sign."""
    picture = QPixmap(SIZE * _RATIO, SIZE * _RATIO)
    picture.setDevicePixelRatio(_RATIO)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(tokens.level(level)))
    around = QRectF(1, 1, SIZE - 2, SIZE - 2)
    match level:
        case "stop":
            painter.drawEllipse(around)
        case "look":
            painter.drawPolygon(
                QPolygonF([QPointF(SIZE / 2, 0), QPointF(SIZE, SIZE - 1), QPointF(0, SIZE - 1)])
            )
        case "note":
            painter.drawRoundedRect(around, 3, 3)
    bold = font(12)
    bold.setBold(True)
    painter.setFont(bold)
    painter.setPen(QColor(tokens.on_level))
    lower = QPoint(0, 2 if level == "look" else 0)
    painter.drawText(around.translated(lower), Qt.AlignmentFlag.AlignCenter, SIGN[level])
    painter.end()
    return QIcon(picture)
