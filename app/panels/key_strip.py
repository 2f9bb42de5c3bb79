"""The strip over the map that turns the key: what is live in the position shown glows on the map."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from itertools import pairwise

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QHBoxLayout,
    QLabel,
    QMenu,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.panels.dock import ElidedLabel
from app.session import Session
from app.work.live import parted, used_switches, with_key, with_switch, without_switches
from app.work.switches import SWITCH_WORDS, held_buttons, known_switches, own_switches, switch_words
from core.circuit.positions import KEYS
from core.job.internals import Key, Switch

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
        for switch in SWITCH_WORDS:
            self._switch_row.addWidget(self._switch_button(switch))
        self.more = _button("Held button", "Held button", "A button that is held in what is shown")
        self.more.clicked.connect(self._open_menu)
        self._switch_row.addWidget(self.more)
        self._own: tuple[Switch, ...] = ()
        self._used: frozenset[Switch] = frozenset()
        self.words = ElidedLabel()
        self._switch_row.addWidget(self.words, 1)
        self._rows = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._rows.setContentsMargins(12, 2, 12, 2)
        self._rows.setSpacing(4)
        self._rows.addLayout(self._key_row)
        self._rows.addLayout(self._switch_row, 1)
        session.changed.connect(self._document_changed)
        session.position_changed.connect(self._show)
        session.shown_changed.connect(self._show)
        session.checked.connect(self._show)
        self._show()

    def _turn(self, key: Key, _: bool = False) -> None:
        self._session.show_position(with_key(self._session.position, key))
        self._show()

    def _throw(self, switch: Switch, _: bool = False) -> None:
        session = self._session
        session.show_position(
            with_switch(session.position, switch, self._checked_positions(), known_switches(session.job))
        )
        self._show()

    def _document_changed(self, _: object = None) -> None:
        """A switch that no part and no setting names any more cannot stay on."""
        session = self._session
        session.show_position(without_switches(session.position, known_switches(session.job)))
        self._show()

    def _checked_positions(self) -> tuple[str, ...]:
        result = self._session.result
        return result.positions if result is not None else ()

    def _show(self, _: object = None) -> None:
        name, job = self._session.position, self._session.job
        here = parted(name) if name else None
        on = here.switches if here is not None else ()
        for key, button in self.keys.items():
            button.setChecked(here is not None and here.key == key)
        self._show_own(own_switches(job))
        self._used = frozenset({*used_switches(self._checked_positions(), name), *self._own})
        for switch, button in self.switches.items():
            words = switch_words(job, switch)
            _name(button, words, f"Switch: {words}", "On or off in what is shown")
            button.setChecked(switch in on)
        held = held_buttons(job)
        holding = [button.name for button in held if button.switch in on]
        words = f"Held: {holding[0]}" if len(holding) == 1 else "Held button"
        _name(self.more, words, words, "A button that is held in what is shown")
        self.more.setChecked(bool(holding))
        self.words.setText(self._said())
        self._fit_in()

    def _show_own(self, own: tuple[Switch, ...]) -> None:
        """A button for each switch of the job's own, after those of the trade."""
        if own == self._own:
            return
        for switch in set(self._own).difference(own):
            button = self.switches.pop(switch)
            self._switch_row.removeWidget(button)
            button.hide()
            button.deleteLater()
        for place, switch in enumerate(own, len(SWITCH_WORDS)):
            button = self.switches.get(switch) or self._switch_button(switch)
            self._switch_row.removeWidget(button)
            self._switch_row.insertWidget(place, button)
        self._own = own
        self.switches = {switch: self.switches[switch] for switch in (*SWITCH_WORDS, *own)}
        for one, other in pairwise((*self.keys.values(), *self.switches.values(), self.more)):
            self.setTabOrder(one, other)

    def _switch_button(self, switch: Switch) -> QToolButton:
        button = self.switches[switch] = _button("", "", "")
        button.clicked.connect(partial(self._throw, switch))
        return button

    def _open_menu(self, _: bool = False) -> None:
        """What can be held, and the switches there is no room for, to put on and off."""
        session = self._session
        on = parted(session.position).switches if session.position else ()
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        hidden = [s for s in self._own if not self.switches[s].isVisibleTo(self)]
        entries = [(switch, switch_words(session.job, switch)) for switch in hidden]
        entries += [(button.switch, button.words) for button in held_buttons(session.job)]
        for switch, words in entries:
            action = menu.addAction(words.replace("&", "&&"), partial(self._throw, switch))
            action.setCheckable(True)
            action.setChecked(switch in on)
        self._show()
        menu.popup(self.more.mapToGlobal(QPoint(0, self.more.height())))

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
        """The switches go under the key where there is no room beside it; own ones that find none even
        there go into the menu.
        """
        margins = self._rows.contentsMargins()
        room = self.width() - margins.left() - margins.right()
        held = bool(held_buttons(self._session.job))
        self._offer(self._own, held)
        rows = self._key_row.minimumSize().width() + self._switch_row.minimumSize().width()
        beside = QBoxLayout.Direction.LeftToRight
        self._rows.setDirection(
            beside if rows + self._rows.spacing() <= room else QBoxLayout.Direction.TopToBottom
        )
        kept = self._own
        while kept and self._switch_row.minimumSize().width() > room:
            kept = kept[:-1]
            self._offer(kept, more=True)

    def _offer(self, own: Iterable[Switch], more: bool) -> None:
        """Show the switches that something depends on, of the job's own only those given."""
        for switch, button in self.switches.items():
            button.setVisible(switch in self._used and (switch in SWITCH_WORDS or switch in own))
        self.more.setVisible(more)
        self._switch_row.invalidate()


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
    button.setCheckable(True)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    _name(button, text, name, hint)
    return button


def _name(button: QToolButton, text: str, name: str, hint: str) -> None:
    """`text` may be the user's own words: an ampersand in it is one."""
    button.setText(text.replace("&", "&&"))
    button.setAccessibleName(name)
    button.setToolTip(hint)
    button.setStatusTip(hint)
