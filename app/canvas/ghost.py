"""The veil, and what is drawn bright above it while one net is traced."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from app.canvas.connector import paint_cell
from app.canvas.dress import CavityDress, FlagDress
from app.canvas.flags import paint_flag
from app.canvas.joints import paint_joints
from app.canvas.style import HALO_WIDTH, READABLE_FROM, Style, pen, with_alpha
from app.canvas.wires import stroke_wire
from core.layout.shapes import CavityShape, Curve, FlagShape, JointShape

EVERYWHERE = QRectF(-1e7, -1e7, 2e7, 2e7)
VEIL = 0.7


@dataclass(frozen=True)
class Traced:
    """The pieces of one net, or of a conflict's way with its halo, ready to be painted again."""

    wires: Sequence[tuple[Curve, QPainterPath]] = ()
    flags: Sequence[tuple[FlagShape, FlagDress]] = ()
    cells: Sequence[tuple[CavityShape, CavityDress]] = ()
    joints: Sequence[JointShape] = ()
    level: str = ""


class TraceItem(QGraphicsItem):
    """One item: the felt at seventy percent over everything, then the traced net on top of it."""

    def __init__(self, style: Style) -> None:
        super().__init__()
        self.style = style
        self.traced = Traced()
        self.setZValue(5)
        self.setAcceptedMouseButtons(Qt.MouseButton.NoButton)
        self.setVisible(False)

    def show_traced(self, traced: Traced | None) -> None:
        self.traced = traced or Traced()
        self.setVisible(traced is not None)
        self.update()

    def boundingRect(self) -> QRectF:
        return EVERYWHERE

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        style = self.style
        scale = painter.worldTransform().m11()
        painter.fillRect(option.exposedRect, with_alpha(style.felt, VEIL))
        cased = scale >= READABLE_FROM
        if self.traced.level:
            halo = pen(with_alpha(style.level(self.traced.level), 0.42), max(HALO_WIDTH, 6 / scale))
            for _, path in self.traced.wires:
                painter.strokePath(path, halo)
        for curve, path in self.traced.wires:
            stroke_wire(painter, path, style.wire(curve.colour), cased)
        for cell, cell_worn in self.traced.cells:
            paint_cell(painter, cell, cell_worn, style)
        for flag, worn in self.traced.flags:
            paint_flag(painter, flag, worn, style, texts=cased)
        paint_joints(painter, self.traced.joints, style, scale)
