"""What every gesture is: it begins, moves, and is committed or cancelled."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeyEvent

if TYPE_CHECKING:
    from app.canvas.view import MapView

Keys = Qt.KeyboardModifier
NO_KEYS = Qt.KeyboardModifier.NoModifier


class Tool(ABC):
    """One gesture. Points are of the map. `commit` makes at most one edit; `cancel` touches nothing."""

    def __init__(self, view: MapView) -> None:
        self.view = view

    @abstractmethod
    def begin(self, at: QPointF) -> None: ...

    @abstractmethod
    def move(self, at: QPointF, keys: Keys) -> None: ...

    @abstractmethod
    def commit(self, at: QPointF, keys: Keys) -> None: ...

    @abstractmethod
    def cancel(self) -> None: ...

    def key(self, event: QKeyEvent) -> bool:
        """A key while the gesture lasts. True where it meant something; `done` tells if it ended it."""
        return False

    @property
    def done(self) -> bool:
        """Whether a key has committed the gesture."""
        return False

    def tab(self, forward: bool) -> bool:
        """The tab key while the gesture lasts."""
        return False

    @property
    def by_keyboard(self) -> bool:
        """Whether the gesture goes on without a button held down."""
        return False
