"""Moving parts, joints and notes, by hand or by arrow keys."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeyEvent

from app.canvas.focus import STEPS, Way
from app.canvas.moving import Moving
from app.tools.base import Keys, Tool
from core.edits import place
from core.ids import kind_of

if TYPE_CHECKING:
    from app.canvas.view import MapView

SNAP = 8.0
LONG_STEP = 5
ARROWS: dict[int, Way] = {
    Qt.Key.Key_Left: "left",
    Qt.Key.Key_Right: "right",
    Qt.Key.Key_Up: "up",
    Qt.Key.Key_Down: "down",
}


class MoveTool(Tool):
    """Things follow the pointer in steps of the grid (Alt: freely) and are put down in one edit."""

    def __init__(self, view: MapView, refs: Iterable[str], keyboard: bool = False) -> None:
        super().__init__(view)
        self._keyboard = keyboard
        self._done = False
        self._dx = self._dy = 0.0
        self._places = {ref: at for ref in refs if (at := self._place_of(ref)) is not None}

    @property
    def by_keyboard(self) -> bool:
        return self._keyboard

    @property
    def done(self) -> bool:
        return self._done

    @property
    def refs(self) -> frozenset[str]:
        return frozenset(self._places)

    def _place_of(self, ref: str) -> tuple[float, float] | None:
        layout = self.view.sync.layout
        kind = kind_of(ref)
        if kind == "part" and ref in layout.blocks:
            core = layout.blocks[ref].core
            return core.x, core.y
        if kind == "joint" and ref in layout.joints:
            return layout.joints[ref].centre
        if kind == "note" and ref in layout.notes:
            note = layout.notes[ref]
            return note.x, note.y
        return None

    def begin(self, at: QPointF) -> None:
        self._from = at
        view = self.view
        self._moving = Moving(
            view.map_scene, view.store, view.backdrop, view.finder, view.session.job, self._places
        )
        if self._keyboard:
            view.say("Arrow keys move, Enter puts down, Escape leaves it where it was")

    def move(self, at: QPointF, keys: Keys) -> None:
        off = at - self._from
        self._shift(off.x(), off.y(), free=bool(keys & Keys.AltModifier))

    def _shift(self, dx: float, dy: float, free: bool = False) -> None:
        if not free and self._places:
            x, y = next(iter(self._places.values()))
            dx, dy = round((x + dx) / SNAP) * SNAP - x, round((y + dy) / SNAP) * SNAP - y
        self._dx, self._dy = dx, dy
        self._moving.show(dx, dy)

    def commit(self, at: QPointF, keys: Keys) -> None:
        places = {ref: (x + self._dx, y + self._dy) for ref, (x, y) in self._places.items()}
        names = ", ".join(sorted(places)) if len(places) <= 3 else f"{len(places)} things"
        # Let go first: the edit's own redraw must find nothing hidden.
        self._moving.release()
        if (self._dx, self._dy) != (0.0, 0.0):
            self.view.session.apply(f"Move {names}", partial(place.move, places=places))
        self._moving.put_down()

    def cancel(self) -> None:
        self._moving.release()
        self._moving.put_down()

    def key(self, event: QKeyEvent) -> bool:
        way = ARROWS.get(event.key())
        if way is not None:
            step = SNAP * (LONG_STEP if event.modifiers() & Keys.ShiftModifier else 1)
            across, down = STEPS[way]
            self._shift(self._dx + across * step, self._dy + down * step, free=True)
            self.view.reveal(self._places)
            return True
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._keyboard:
            self.commit(QPointF(), event.modifiers())
            self._done = True
            return True
        return False
