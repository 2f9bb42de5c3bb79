"""Placing: a part of the shelf is dragged onto the map."""

from __future__ import annotations

from PySide6.QtCore import QMimeData, QPointF, QRectF

from app.tools.base import Keys, Tool

PART_MIME = "application/x-loomwright-part"
GHOST = QRectF(0, 0, 120, 120)


def entry_of(data: QMimeData) -> str:
    """The library entry that is being dragged; empty where it is something else."""
    return bytes(data.data(PART_MIME).data()).decode("utf-8", "replace") if data.hasFormat(PART_MIME) else ""


class PlaceTool(Tool):
    """Shows where the part will stand; dropping tells the window, which adds it."""

    entry = ""

    def begin(self, at: QPointF) -> None:
        self.move(at, Keys.NoModifier)

    def move(self, at: QPointF, keys: Keys) -> None:
        self.view.map_scene.marks.show_band(GHOST.translated(at))
        self.view.say(f"Put {self.entry} here")

    def commit(self, at: QPointF, keys: Keys) -> None:
        self.cancel()
        self.view.part_dropped.emit((self.entry, round(at.x()), round(at.y())))

    def cancel(self) -> None:
        self.view.map_scene.marks.show_band(QRectF())
        self.view.say("")
