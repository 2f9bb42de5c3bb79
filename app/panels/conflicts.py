"""The conflicts panel: what the checker found by level, and what is still to decide."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.commands import checking
from app.desk import Desk
from app.dialogs.forms import plain_label
from app.panels.buttons import WordButton
from app.panels.to_decide import ToDecide
from app.session import Change
from core.checks.finding import LEVELS, CheckResult, Conflict
from core.job.record import Acceptance

LEVEL_WORDS = {"stop": "Stop", "look": "Look", "note": "Note"}
MOST_SHOWN = 200
"""More cards than anybody reads would only make the panel slow; the rest is counted."""


class Card(QFrame):
    """One conflict: what happens, why, what to do; a click goes there."""

    def __init__(self, desk: Desk, conflict: Conflict, folded: int) -> None:
        super().__init__()
        self._desk = desk
        self.conflict = conflict
        self.setObjectName("card")
        self.setProperty("level", conflict.level)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setAccessibleName(f"{LEVEL_WORDS[conflict.level]}: {conflict.rule}. {conflict.message}")
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 8, 10, 8)
        column.setSpacing(4)
        head = QHBoxLayout()
        head.setSpacing(8)
        level = QLabel(LEVEL_WORDS[conflict.level])
        level.setObjectName("tag")
        level.setProperty("level", conflict.level)
        head.addWidget(level, 0, Qt.AlignmentFlag.AlignTop)
        title = plain_label(conflict.rule[:1].upper() + conflict.rule[1:])
        font = title.font()
        font.setWeight(font.Weight.DemiBold)
        title.setFont(font)
        head.addWidget(title, 1)
        column.addLayout(head)
        column.addWidget(plain_label(conflict.message))
        for text in (conflict.why, conflict.mend):
            if text:
                label = plain_label(text)
                label.setObjectName("quiet")
                column.addWidget(label)
        if folded:
            label = plain_label(f"{folded} more follow{'s' if folded == 1 else ''} from this.")
            label.setObjectName("quiet")
            column.addWidget(label)
        column.addWidget(self._buttons())

    def _buttons(self) -> QWidget:
        row = QWidget()
        line = QVBoxLayout(row)
        line.setContentsMargins(0, 4, 0, 0)
        line.setSpacing(4)
        conflict = self.conflict
        if conflict.accepted is not None:
            kept = conflict.accepted
            when = f", {kept.date}" if kept.date else ""
            line.addWidget(plain_label(f"Accepted by {kept.name}{when}: {kept.reason}"))
            line.addWidget(WordButton("Withdraw", "quiet", partial(checking.withdraw, self._desk, conflict)))
            return row
        for number, mend in enumerate(conflict.mends):
            style = "primary" if number == 0 else "plain"
            line.addWidget(WordButton(mend.label, style, partial(checking.apply_mend, self._desk, mend)))
        if conflict.acceptable:
            line.addWidget(
                WordButton("Accept…", "quiet", partial(checking.accept_conflict, self._desk, conflict))
            )
        return row

    def mark(self, shown: bool) -> None:
        self.setProperty("shown", "yes" if shown else "no")
        self.style().unpolish(self)
        self.style().polish(self)

    def go_there(self) -> None:
        self._desk.places.show_place("map")
        self._desk.view.show_conflict(self.conflict)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self.go_there()
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.go_there()
        else:
            super().keyPressEvent(event)


class ConflictsPanel(QScrollArea):
    """Cards by level, then the leads to decide. Follows each finished check, keeping the place."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self.cards: list[Card] = []
        self._shown: CheckResult | None = None
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.fresh = QLabel("checking…")
        self.fresh.setObjectName("quiet")
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._found = QWidget()
        self._to_decide = ToDecide(desk)
        body = QWidget()
        self._column = QVBoxLayout(body)
        self._column.setContentsMargins(10, 4, 10, 10)
        self._column.setSpacing(8)
        self._column.addWidget(self._found)
        self._column.addWidget(self._to_decide)
        self._column.addStretch(1)
        self.setWidget(body)
        desk.session.checked.connect(self._rebuild)
        desk.session.changed.connect(self._changed)
        desk.view.conflict_shown.connect(self._mark)
        self._rebuild(None)

    def take_focus(self) -> None:
        """To the conflict shown, else the first thing that can be pressed."""
        shown = [card for card in self.cards if card.conflict.key == self._desk.view.conflict_key]
        body = self.widget()
        buttons = body.findChildren(QPushButton) if body is not None else []
        for target in (*shown, *self.cards, *buttons):
            target.setFocus()
            self.ensureWidgetVisible(target)
            return
        self._desk.view.setFocus()

    def _changed(self, change: Change) -> None:
        if change.delta.meaning:
            self.fresh.setText("checking…")

    def _rebuild(self, result: CheckResult | None) -> None:
        before, self._shown = self._shown, result
        if result is not None:
            self._to_decide.show_ends(result.open_ends, result.job)
        if before is None or result is None or not _same(before, result):
            self._make_cards(result)
        self._say_fresh(result)

    def _make_cards(self, result: CheckResult | None) -> None:
        """New cards in the place of the old ones; the panel stays scrolled, and keeps the focus it had."""
        here = QApplication.focusWidget()
        had_focus = here is not None and self._found.isAncestorOf(here)
        place = self.verticalScrollBar().value()
        old, self._found = self._found, QWidget()
        column = QVBoxLayout(self._found)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        self.cards = []
        if result is not None:
            self._fill(column, result)
        self._column.replaceWidget(old, self._found)
        old.hide()
        old.setParent(None)
        old.deleteLater()
        self.verticalScrollBar().setValue(place)
        self._mark(self._desk.view.conflict_key)
        if had_focus:
            self.take_focus()

    def _fill(self, column: QVBoxLayout, result: CheckResult) -> None:
        listed = sorted(result.unfolded(), key=lambda c: (c.accepted is not None, LEVELS.index(c.level)))
        for conflict in listed[:MOST_SHOWN]:
            folded = sum(1 for other in result.conflicts if other.follows_from == conflict.key)
            card = Card(self._desk, conflict, folded)
            self.cards.append(card)
            column.addWidget(card)
        if len(listed) > MOST_SHOWN:
            column.addWidget(plain_label(f"and {len(listed) - MOST_SHOWN} more"))
        if not listed:
            words = "Nothing was found." if result.job.parts else "What you draw is checked as you draw it."
            column.addWidget(plain_label(words))
        for rule in result.not_run:
            column.addWidget(plain_label(f"Not run: {rule.rule}, because {rule.because}"))
        for acceptance in checking.lapsed(result):
            self._add_lapsed(column, acceptance)

    def _add_lapsed(self, column: QVBoxLayout, kept: Acceptance) -> None:
        when = f", {kept.date}" if kept.date else ""
        words = plain_label(
            f"No longer found as it was accepted by {kept.name}{when}: {kept.rule}. Reason: {kept.reason}"
        )
        words.setObjectName("quiet")
        column.addWidget(words)
        button = WordButton("Remove", "quiet", partial(checking.remove_acceptance, self._desk, kept))
        button.setAccessibleName(f"Remove the acceptance: {kept.rule}")
        column.addWidget(button)

    def _say_fresh(self, result: CheckResult | None) -> None:
        fresh = result is not None and result.job is self._desk.session.job
        self.fresh.setText("up to date" if fresh else "checking…")

    def _mark(self, key: object) -> None:
        for card in self.cards:
            card.mark(card.conflict.key == key)
            if card.conflict.key == key:
                self.ensureWidgetVisible(card)


def _same(one: CheckResult, other: CheckResult) -> bool:
    """Whether the cards of two results would look alike."""
    return (one.conflicts, one.not_run, one.job.acceptances, bool(one.job.parts)) == (
        other.conflicts,
        other.not_run,
        other.job.acceptances,
        bool(other.job.parts),
    )
