"""Panning: the map follows the hand."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt

from app.tools.base import Keys, Tool


class PanTool(Tool):
    """Middle button, or space and the left button."""

    def begin(self, at: QPointF) -> None:
        self._held = at
        self.view.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)

    def move(self, at: QPointF, keys: Keys) -> None:
        off = self.view.viewportTransform().map(at) - self.view.viewportTransform().map(self._held)
        across, down = self.view.horizontalScrollBar(), self.view.verticalScrollBar()
        across.setValue(across.value() - round(off.x()))
        down.setValue(down.value() - round(off.y()))

    def commit(self, at: QPointF, keys: Keys) -> None:
        self.view.viewport().unsetCursor()

    def cancel(self) -> None:
        self.view.viewport().unsetCursor()
