"""The bar under the menus: places, the main steps, the job's name, the state of the check."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSizePolicy, QToolBar, QToolButton, QWidget

from app.actions import ACTIONS
from app.panels.dock import ElidedLabel

PLACES = ("map", "readings", "drawing")
_FIRST_TO_GO = ("arrange", "flip", "fit", "redo", "undo", "meter", "cap", "join")
"""On a narrow window these buttons go, in this order: they stand in the menus and have keys."""
LEAST_NAME_WIDTH = 96


class MainBar(QToolBar):
    """Buttons for the actions that have one. What the window is too narrow for is left to the menus."""

    def __init__(self, actions: Mapping[str, QAction]) -> None:
        super().__init__("Tools")
        self.setObjectName("tools")
        self.setMovable(False)
        self.buttons: dict[str, QToolButton] = {}
        inside = QWidget()
        inside.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._row = QHBoxLayout(inside)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(6)
        for name in PLACES:
            self._add(name, actions[name], name.capitalize()).setCheckable(True)
        self._row.addSpacing(10)
        for spec in ACTIONS:
            if spec.toolbar and spec.id != "print":
                self._add(spec.id, actions[spec.id], spec.toolbar)
        self.job_name = ElidedLabel()
        self._row.addSpacing(6)
        self._row.addWidget(self.job_name, 1)
        self._row.addSpacing(6)
        self.status = QPushButton()
        self.status.setObjectName("status")
        self.status.setSizePolicy(QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Preferred)
        self.status.clicked.connect(actions["conflicts"].trigger)
        self._row.addWidget(self.status)
        self._add("print", actions["print"], "Print drawing")
        self.addWidget(inside)
        self._inside = inside

    def _add(self, name: str, action: QAction, text: str) -> QToolButton:
        button = QToolButton()
        button.setText(text)
        button.setAccessibleName(text)
        button.setToolTip(action.toolTip())
        button.setEnabled(action.isEnabled())
        button.clicked.connect(lambda: action.trigger())
        action.enabledChanged.connect(button.setEnabled)
        self._row.addWidget(button)
        self.buttons[name] = button
        return button

    def mark_place(self, shown: str) -> None:
        for name in PLACES:
            self.buttons[name].setChecked(name == shown)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.fit_in()

    def fit_in(self) -> None:
        """Hide the least needed buttons until the rest and some of the job's name have room."""
        gone = [self.buttons[name] for name in _FIRST_TO_GO]
        for button in gone:
            button.show()
        for button in gone:
            if self._needed() <= self._inside.width():
                return
            button.hide()

    def _needed(self) -> int:
        self._row.invalidate()
        name = min(self.job_name.sizeHint().width(), LEAST_NAME_WIDTH)
        return self._row.minimumSize().width() + name
