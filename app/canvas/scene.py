"""The scene: blocks and notes as items, and the few items that lie over all of them."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QObject, QRectF
from PySide6.QtWidgets import QGraphicsScene

from app.canvas.badges import FaultItem
from app.canvas.connector import BlockItem
from app.canvas.ghost import TraceItem
from app.canvas.guide import GuideItem
from app.canvas.live import HandItem, LiveItem
from app.canvas.marks import MarksItem
from app.canvas.meter import MeterItem
from app.canvas.notes import NoteItem
from app.canvas.steps import StepsItem
from app.canvas.style import Style

OverAll = LiveItem | FaultItem | TraceItem | MarksItem | HandItem | GuideItem | MeterItem | StepsItem
ON_MAP, IN_HAND = 1.0, 1.2
ROOM = 4_000.0
"""How far past the outermost thing the map can be scrolled, in map units."""


class MapScene(QGraphicsScene):
    """Holds the items. Blocks and notes come and go by `sync` alone; the others stay."""

    def __init__(self, style: Style, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.setItemIndexMethod(QGraphicsScene.ItemIndexMethod.NoIndex)
        self.blocks: dict[str, BlockItem] = {}
        self.notes: dict[str, NoteItem] = {}
        self._lifted: frozenset[str] = frozenset()
        self.seen: frozenset[str] = frozenset()
        self.live = LiveItem(style)
        self.faults = FaultItem(style)
        self.trace = TraceItem(style)
        self.marks = MarksItem(style)
        self.hand = HandItem(style)
        self.guide = GuideItem(style)
        self.meter = MeterItem(style)
        self.steps = StepsItem(style)
        for item in self._over_all:
            self.addItem(item)
        self.show_extent(QRectF(0, 0, 100, 100))

    @property
    def _over_all(self) -> tuple[OverAll, ...]:
        return self.live, self.faults, self.trace, self.marks, self.hand, self.guide, self.meter, self.steps

    def set_style(self, style: Style) -> None:
        for item in self._over_all:
            item.style = style
            item.update()
        for block in self.blocks.values():
            block.show_style(style)
        for note in self.notes.values():
            note.show_style(style)

    def show_only(self, names: Iterable[str]) -> None:
        """The blocks to draw as items: what is out of sight costs nothing, far ones are in the background."""
        wanted = frozenset(names)
        for name in (wanted ^ self.seen) - self._lifted:
            if name in self.blocks:
                self.blocks[name].setVisible(name in wanted)
        self.seen = wanted

    def lift(self, names: Iterable[str]) -> None:
        """Blocks in the hand are drawn as items wherever they are."""
        before, self._lifted = self._lifted, frozenset(names)
        for name in before | self._lifted:
            if name in self.blocks:
                self.blocks[name].setVisible(name in self._lifted or name in self.seen)
                self.blocks[name].setZValue(IN_HAND if name in self._lifted else ON_MAP)

    def show_extent(self, extent: QRectF) -> None:
        """Let the view scroll around everything that stands on the map."""
        self.setSceneRect(extent.adjusted(-ROOM, -ROOM, ROOM, ROOM))
