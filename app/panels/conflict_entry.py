"""One conflict in the list: what happens, why, what to do; and all that can be done about it."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QContextMenuEvent, QKeyEvent, QMouseEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.commands import checking, ruling
from app.desk import Desk
from app.dialogs.forms import breakable, plain_label
from app.panels.buttons import WordButton
from app.panels.conflict_filter import LEVEL_WORDS
from core.checks.finding import Conflict

_SPACES = Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space


class Card(QFrame):
    """A click goes there."""

    def __init__(self, desk: Desk, conflict: Conflict, folded: int) -> None:
        super().__init__()
        self._desk = desk
        self.conflict = conflict
        self.folded = folded
        self.setObjectName("card")
        self.setProperty("level", conflict.level)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setAccessibleName(f"{LEVEL_WORDS[conflict.level]}: {conflict.rule}. {conflict.message}")
        self.setAccessibleDescription("Enter goes there, the menu key shows what can be done about it")
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 8, 10, 6)
        column.setSpacing(4)
        column.addLayout(self._head())
        column.addWidget(plain_label(breakable(conflict.message)))
        for text in (conflict.why, conflict.mend, self._follows()):
            if text:
                label = plain_label(breakable(text))
                label.setObjectName("quiet")
                column.addWidget(label)
        self._add_mends(column)
        column.addLayout(self._row())

    def is_of(self, conflict: Conflict, folded: int) -> bool:
        """Whether it would look the same for this conflict, and do the same."""
        labels = [mend.label for mend in conflict.mends]
        mine = [mend.label for mend in self.conflict.mends]
        return (self.conflict, self.folded, mine) == (conflict, folded, labels)

    def _head(self) -> QHBoxLayout:
        head = QHBoxLayout()
        head.setSpacing(8)
        level = QLabel(LEVEL_WORDS[self.conflict.level])
        level.setObjectName("tag")
        level.setProperty("level", self.conflict.level)
        head.addWidget(level, 0, Qt.AlignmentFlag.AlignTop)
        title = plain_label(self.conflict.rule[:1].upper() + self.conflict.rule[1:])
        title.setObjectName("row-name")
        head.addWidget(title, 1)
        return head

    def _follows(self) -> str:
        verb = "follows" if self.folded == 1 else "follow"
        return f"{self.folded} more {verb} from this." if self.folded else ""

    def _add_mends(self, column: QVBoxLayout) -> None:
        conflict = self.conflict
        if conflict.accepted is not None:
            kept = conflict.accepted
            when = f", {kept.date}" if kept.date else ""
            column.addWidget(plain_label(breakable(f"Accepted by {kept.name}{when}: {kept.reason}")))
            return
        for number, mend in enumerate(conflict.mends):
            style = "primary" if number == 0 else "plain"
            column.addWidget(WordButton(mend.label, style, partial(self._mend, number)))

    def _mend(self, number: int) -> None:
        checking.apply_mend(self._desk, self.conflict.mends[number])

    def _row(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        explain = _small("Explain", "Explain it step by step, with the volts along its way")
        explain.clicked.connect(lambda: ruling.explain_conflict(self._desk, self.conflict))
        about = _small("About", "What the rule finds, why it matters, and its limits")
        about.clicked.connect(lambda: ruling.about_rule(self._desk, self.conflict.rule))
        shown = [explain, about]
        if self.conflict.accepted is not None:
            withdraw = _small("Withdraw", "Take the acceptance back: the conflict stands open again")
            withdraw.clicked.connect(lambda: checking.withdraw(self._desk, self.conflict))
            shown = [explain, withdraw]  # About is in the menu: there is no room for four
        elif self.conflict.acceptable:
            accept = _small("Accept…", "Keep it on purpose, with a reason and your name")
            accept.clicked.connect(lambda: checking.accept_conflict(self._desk, self.conflict))
            shown.append(accept)
        for button in shown:
            button.setAccessibleName(f"{button.text()}: {self.conflict.rule}")
            row.addWidget(button)
        more = QToolButton()
        more.setObjectName("more")
        more.setAccessibleName(f"More: {self.conflict.rule}")
        more.setToolTip("Go there, switch the rule off for this job, its limits")
        more.clicked.connect(lambda: self.open_menu(more.mapToGlobal(QPoint(0, more.height()))))
        row.addStretch(1)
        row.addWidget(more)
        return row

    def menu(self) -> QMenu:
        """All that can be done about it."""
        desk, conflict, made = self._desk, self.conflict, QMenu(self)
        made.addAction("Go there").triggered.connect(lambda: self.go_there())
        made.addAction("Explain step by step").triggered.connect(
            lambda: ruling.explain_conflict(desk, conflict)
        )
        made.addAction("About this rule…").triggered.connect(lambda: ruling.about_rule(desk, conflict.rule))
        made.addSeparator()
        off = made.addAction("Switch this rule off for this job")
        off.setEnabled(ruling.can_switch_off(desk, conflict.rule))
        off.triggered.connect(lambda: ruling.switch_off(desk, conflict.rule))
        made.addAction("Rules of this job…").triggered.connect(lambda: ruling.rules(desk, conflict.rule))
        made.addAction("Limits of this job…").triggered.connect(lambda: ruling.limits(desk))
        return made

    def open_menu(self, at: QPoint) -> None:
        made = self.menu()
        made.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        made.popup(at)

    def mark(self, shown: bool) -> None:
        wanted = "yes" if shown else "no"
        if self.property("shown") != wanted:
            self.setProperty("shown", wanted)
            self.style().unpolish(self)
            self.style().polish(self)

    def go_there(self) -> None:
        self._desk.places.show_place("map")
        self._desk.view.show_conflict(self.conflict)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self.go_there()
        event.accept()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        at = event.globalPos()
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            at = self.mapToGlobal(QPoint(12, 36))
        self.open_menu(at)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in _SPACES:
            self.go_there()
        elif event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Up):
            self._step(1 if event.key() == Qt.Key.Key_Down else -1)
        else:
            super().keyPressEvent(event)

    def _step(self, by: int) -> None:
        """To the next card, or the one before."""
        among = self.parentWidget()
        cards = among.findChildren(Card, options=_DIRECT) if isinstance(among, QWidget) else []
        cards = sorted((card for card in cards if not card.isHidden()), key=lambda card: card.y())
        at = cards.index(self) + by if self in cards else -1
        if 0 <= at < len(cards):
            cards[at].setFocus(Qt.FocusReason.TabFocusReason)


_DIRECT = Qt.FindChildOption.FindDirectChildrenOnly


def _small(words: str, hint: str) -> QPushButton:
    button = QPushButton(words)
    button.setObjectName("quiet")
    button.setToolTip(hint)
    return button
