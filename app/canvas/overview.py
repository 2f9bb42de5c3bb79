"""Blocks seen from far away: flat, with their tag alone, painted into the background."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from app.canvas.dress import BlockDress
from app.canvas.style import Style, mixed
from core.layout.metrics import SUBTITLE_HEIGHT, TITLE_HEIGHT, TITLE_TYPE
from core.layout.shapes import BlockShape

FACES_FROM = 0.2
TAG_PX = 10.0
TAG_LEAST_PX = 5.0


class Block(Protocol):
    """What is shown of a block."""

    @property
    def shape_(self) -> BlockShape: ...
    @property
    def worn(self) -> BlockDress: ...


def paint_flat(painter: QPainter, block: BlockShape, worn: BlockDress, style: Style, scale: float) -> None:
    """Faces and flags as plain rectangles."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(mixed(style.raised, style.felt, 0.15))
    painter.drawRects([QRectF(*flag.rect) for flag in block.flags])
    for face in block.faces:
        painter.setBrush(style.plastic(worn.plastics.get(face.connector, ""))[0])
        painter.drawRect(QRectF(*face.body))
    painter.setPen(style.ink)
    paint_tag(painter, block, style, scale)


def paint_tag(painter: QPainter, block: BlockShape, style: Style, scale: float) -> None:
    """The tag, as large as it can still be read and has room; nothing where it cannot."""
    grow = min(TAG_PX / (TITLE_TYPE * scale), block.bounds.width / 48.0)
    if grow * scale * TITLE_TYPE < TAG_LEAST_PX:
        return
    at = QPointF(*block.title_at)
    painter.save()
    painter.translate(at.x(), at.y() + TITLE_HEIGHT + SUBTITLE_HEIGHT)
    painter.scale(max(grow, 1.0), max(grow, 1.0))
    painter.setFont(style.title)
    painter.drawText(QRectF(-100, -TITLE_HEIGHT, 200, TITLE_HEIGHT), Qt.AlignmentFlag.AlignCenter, block.part)
    painter.restore()
