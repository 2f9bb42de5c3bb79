"""The meter's two points on the map: probes with their letters, R and B."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.ghost import EVERYWHERE
from app.canvas.style import Style, font, pen
from core.ids import kind_of, owner_of_end
from core.job.record import BATTERY_POINTS

if TYPE_CHECKING:
    from PySide6.QtGui import QFont

    from app.canvas.view import MapView

Letter = Literal["red", "black"]
HANDLE = 14.0
"""Radius of a probe's handle, in pixels: a finger can take it."""
_AWAY: dict[Letter, QPointF] = {"red": QPointF(-15, -30), "black": QPointF(15, -30)}
"""From a probe's tip to its handle, in pixels: two probes on one point stand side by side."""
LETTERS: dict[Letter, str] = {"red": "R", "black": "B"}


class MeterItem(QGraphicsItem):
    """Draws the probes, as large on the screen at every zoom."""

    def __init__(self, style: Style) -> None:
        super().__init__()
        self.style = style
        self._tips: Mapping[Letter, QPointF] = {}
        self._letters: QFont = font(14, style.pin.weight())
        self.setZValue(9)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)

    def show_probes(self, tips: Mapping[Letter, QPointF]) -> None:
        """Where each probe touches the map; one that is not there is not drawn."""
        self._tips = dict(tips)
        self.update()

    @property
    def tips(self) -> Mapping[Letter, QPointF]:
        return self._tips

    def handle(self, letter: Letter, scale: float) -> QPointF | None:
        """The middle of a probe's handle, on the map."""
        tip = self._tips.get(letter)
        return None if tip is None else tip + _AWAY[letter] / scale

    def probe_at(self, point: QPointF, scale: float) -> Letter | None:
        """The probe whose handle lies under a point of the map."""
        for letter in self._tips:
            middle = self.handle(letter, scale)
            if middle is not None:
                off = (point - middle) * scale
                if off.x() ** 2 + off.y() ** 2 <= HANDLE * HANDLE:
                    return letter
        return None

    def boundingRect(self) -> QRectF:
        return EVERYWHERE

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        scale = painter.worldTransform().m11()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        for letter, tip in self._tips.items():
            painter.save()
            painter.translate(tip)
            painter.scale(1 / scale, 1 / scale)
            self._paint_probe(painter, letter)
            painter.restore()

    def _paint_probe(self, painter: QPainter, letter: Letter) -> None:
        style = self.style
        body = style.level("stop") if letter == "red" else QColor("#14171A")
        edge = QColor("#FFFFFF") if style.dark or letter == "black" else style.felt
        words = QColor(style.tokens.on_level) if letter == "red" else QColor("#FFFFFF")
        away = _AWAY[letter]
        across = QPointF(-away.y(), away.x()) / 6.5
        painter.setPen(pen(edge, 2.0))
        painter.setBrush(body)
        painter.drawPolygon(QPolygonF([QPointF(0, 0), away * 0.8 + across, away * 0.8 - across]))
        painter.drawEllipse(away, HANDLE - 1, HANDLE - 1)
        painter.setPen(words)
        painter.setFont(self._letters)
        around = QRectF(away.x() - HANDLE, away.y() - HANDLE, 2 * HANDLE, 2 * HANDLE)
        painter.drawText(around, Qt.AlignmentFlag.AlignCenter, LETTERS[letter])


def tip_of(view: MapView, point: str) -> QPointF | None:
    """Where a probe on a point touches the map; None for the battery, the body and what is not shown."""
    if point in BATTERY_POINTS:
        return None
    if kind_of(point) != "wire end":
        anchor = view.finder.anchor(point)
        return None if anchor is None else anchor[0]
    loose = view.store.loose.get(point)
    if loose is not None:
        return QPointF(*loose)
    pieces = list(view.finder.wires_of(owner_of_end(point)))
    if not pieces:
        return None
    return QPointF(*pieces[0].a) if point.endswith("a") else QPointF(*pieces[-1].b)
