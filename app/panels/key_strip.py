"""The strip over the map that turns the key: what is live in the position shown glows on the map."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.panels.dock import ElidedLabel
from app.session import Session
from app.work.live import used_switches, with_key, with_switch
from core.circuit.positions import KEYS, SWITCHES, position
from core.job.internals import Key, Switch

SWITCH_WORDS: dict[Switch, str] = {
    "lights": "Lights",
    "reverse": "Reverse",
    "parking": "Parking brake",
    "brake": "Brake pedal",
    "left": "Left turn",
    "right": "Right turn",
}
_KEY_HINTS: dict[Key, str] = {
    "off": "Show what is live with the key off",
    "accessory": "Show what is live with the key at accessory",
    "run": "Show what is live with the key at run, the engine stopped",
    "start": "Show what is live while the engine is cranked",
    "running": "Show what is live with the engine running",
}


class KeyStrip(QFrame):
    """Key positions, one at a time or none, and the switches that anything on the job depends on.

    A click leaves the keyboard with the map; Tab reaches every button.
    """

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self.setObjectName("key-strip")
        self.setAccessibleName("Key")
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.keys: dict[Key, QToolButton] = {}
        self.switches: dict[Switch, QToolButton] = {}
        name = QLabel("Key")
        name.setObjectName("quiet")
        self._key_row = _row(name)
        for key in KEYS:
            button = self.keys[key] = _button(
                key.capitalize(), f"Key: {key}", f"{_KEY_HINTS[key]} (] and [ step)"
            )
            button.clicked.connect(partial(self._turn, key))
            self._key_row.addWidget(button)
        self._key_row.addSpacing(10)
        self._key_row.addStretch(1)
        self._switch_row = _row()
        for switch in SWITCHES:
            words = SWITCH_WORDS[switch]
            button = self.switches[switch] = _button(
                words, f"Switch: {words}", f"{words}: on or off in what is shown"
            )
            button.clicked.connect(partial(self._throw, switch))
            self._switch_row.addWidget(button)
        self.words = ElidedLabel()
        self._switch_row.addWidget(self.words, 1)
        self._rows = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._rows.setContentsMargins(12, 2, 12, 2)
        self._rows.setSpacing(4)
        self._rows.addLayout(self._key_row)
        self._rows.addLayout(self._switch_row, 1)
        session.position_changed.connect(self._show)
        session.shown_changed.connect(self._show)
        session.checked.connect(self._show)
        self._show()

    def _turn(self, key: Key, _: bool = False) -> None:
        self._session.show_position(with_key(self._session.position, key))
        self._show()

    def _throw(self, switch: Switch, _: bool = False) -> None:
        self._session.show_position(with_switch(self._session.position, switch, self._checked_positions()))
        self._show()

    def _checked_positions(self) -> tuple[str, ...]:
        result = self._session.result
        return result.positions if result is not None else ()

    def _show(self, _: object = None) -> None:
        name = self._session.position
        here = position(name) if name else None
        for key, button in self.keys.items():
            button.setChecked(here is not None and here.key == key)
        used = used_switches(self._checked_positions(), name)
        for switch, button in self.switches.items():
            button.setVisible(switch in used)
            button.setChecked(here is not None and switch in here.switches)
        self.words.setText(self._said())
        self._fit_in()

    def _said(self) -> str:
        """What there is to say beside the buttons: only what keeps the map from glowing."""
        session = self._session
        if not session.position:
            return ""
        if session.shown is None:
            failed = session.result is not None and session.result.job is session.job
            return "The volts could not be worked out" if failed else "checking…"
        parts = session.shown.chattering
        return f"{', '.join(parts)} would chatter in {session.position}" if parts else ""

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_in()

    def _fit_in(self) -> None:
        """The switches go under the key where there is no room beside it."""
        margins = self._rows.contentsMargins()
        room = self.width() - margins.left() - margins.right()
        rows = self._key_row.minimumSize().width() + self._switch_row.minimumSize().width()
        beside = QBoxLayout.Direction.LeftToRight
        self._rows.setDirection(
            beside if rows + self._rows.spacing() <= room else QBoxLayout.Direction.TopToBottom
        )


class MapPlace(QWidget):
    """The map with the key over it."""

    def __init__(self, strip: KeyStrip, view: QWidget) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(strip)
        column.addWidget(view, 1)


def _row(*widgets: QWidget) -> QHBoxLayout:
    row = QHBoxLayout()
    row.setSpacing(4)
    for widget in widgets:
        row.addWidget(widget)
    return row


def _button(text: str, name: str, hint: str) -> QToolButton:
    button = QToolButton()
    button.setText(text)
    button.setCheckable(True)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    button.setAccessibleName(name)
    button.setToolTip(hint)
    button.setStatusTip(hint)
    return button
