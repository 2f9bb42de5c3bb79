"""The conflicts panel: what the checker found by level, and what is still to decide."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QPoint, Qt, QTimer
from PySide6.QtWidgets import QApplication, QFrame, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from app.commands import checking, ruling
from app.desk import Desk
from app.dialogs.forms import breakable, plain_label
from app.panels.buttons import WordButton
from app.panels.conflict_entry import Card
from app.panels.conflict_filter import LEVEL_WORDS, ConflictFilter
from app.panels.to_decide import ToDecide
from app.session import Change
from core.checks.finding import LEVELS, CheckResult, Conflict, NotRun
from core.job.record import Acceptance

SHOWN_AT_ONCE = 60
"""More cards than anybody reads at once would only make the panel slow; a button brings more."""


class ConflictsPanel(QWidget):
    """Cards by level, then the leads to decide. Follows each finished check, keeping the place."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self.cards: list[Card] = []
        self._shown: CheckResult | None = None
        self._most = SHOWN_AT_ONCE
        self.fresh = QLabel("checking…")
        self.fresh.setObjectName("quiet")
        self.filter = ConflictFilter()
        self.filter.changed.connect(self._narrow)
        self._found = QWidget()
        self._to_decide = ToDecide(desk)
        self.body = QWidget()
        self._column = QVBoxLayout(self.body)
        self._column.setContentsMargins(10, 4, 10, 10)
        self._column.setSpacing(8)
        self._column.addWidget(self._found)
        self._column.addWidget(self._to_decide)
        self._column.addStretch(1)
        self._view = QScrollArea()
        self._view.setWidgetResizable(True)
        self._view.setFrameShape(QFrame.Shape.NoFrame)
        self._view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._view.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._view.setWidget(self.body)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        outer.addWidget(self.filter)
        outer.addWidget(self._view, 1)
        desk.session.checked.connect(self._rebuild)
        desk.session.changed.connect(self._changed)
        desk.view.conflict_shown.connect(self._mark)
        self._rebuild(None)

    def take_focus(self) -> None:
        """To the conflict shown, else the first thing that can be pressed."""
        shown = [card for card in self.cards if card.conflict.key == self._desk.view.conflict_key]
        buttons = self.body.findChildren(QPushButton)
        for target in (*shown, *self.cards, *buttons):
            target.setFocus()
            self.show_card(target)
            return
        self._desk.view.setFocus()

    def show_card(self, card: QWidget) -> None:
        """Scroll to it; of one higher than the panel its head is shown."""
        if card.height() < self._view.viewport().height():
            self._view.ensureWidgetVisible(card)
        else:
            top = card.mapTo(self.body, QPoint(0, 0)).y()
            self._view.verticalScrollBar().setValue(top - 4)

    def _changed(self, change: Change) -> None:
        if change.delta.meaning:
            self.fresh.setText("checking…")

    def _rebuild(self, result: CheckResult | None) -> None:
        before, self._shown = self._shown, result
        if result is not None:
            self._to_decide.show_ends(result.open_ends, result.job)
        if before is None or result is None or not _same(before, result):
            self.filter.count(result)
            self._make_cards()
        self._say_fresh(result)

    def _narrow(self) -> None:
        self._most = SHOWN_AT_ONCE
        self._make_cards()

    def _show_more(self) -> None:
        self._most += SHOWN_AT_ONCE
        self._make_cards()

    def _make_cards(self) -> None:
        """What stays is not made anew; the panel stays scrolled, and keeps the focus it had."""
        here = QApplication.focusWidget()
        had_focus = here is not None and self._found.isAncestorOf(here)
        place = self._view.verticalScrollBar().value()
        kept = {card.conflict.key: card for card in self.cards}
        old, self._found = self._found, QWidget()
        column = QVBoxLayout(self._found)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        self.cards = []
        if self._shown is not None:
            self._fill(column, self._shown, kept)
        self._column.replaceWidget(old, self._found)
        self._found.show()
        old.hide()
        old.setParent(None)
        old.deleteLater()
        self._view.verticalScrollBar().setValue(place)
        # Until the new rows are laid out the old place may be out of reach.
        QTimer.singleShot(0, self, lambda: self._view.verticalScrollBar().setValue(place))
        self._mark(self._desk.view.conflict_key)
        if had_focus:
            if here is not None and self._found.isAncestorOf(here):
                here.setFocus()
            else:
                self.take_focus()

    def _fill(self, column: QVBoxLayout, result: CheckResult, kept: dict[str, Card]) -> None:
        found = result.unfolded()
        passed = self.filter.passed(found, result.job)
        listed = sorted(passed, key=lambda c: (c.accepted is not None, LEVELS.index(c.level)))
        heading = ""
        for conflict in listed[: self._most]:
            group = _group(conflict)
            if group != heading:
                heading = group
                count = sum(1 for other in listed if _group(other) == group)
                column.addWidget(_heading(f"{group}: {count}"))
            folded = sum(1 for other in result.conflicts if other.follows_from == conflict.key)
            card = kept.get(conflict.key)
            if card is None or not card.is_of(conflict, folded):
                card = Card(self._desk, conflict, folded)
            card.conflict = conflict
            self.cards.append(card)
            column.addWidget(card)
        if len(listed) > self._most:
            more = len(listed) - self._most
            column.addWidget(WordButton(f"Show more ({more} left)", "plain", self._show_more))
        if not found:
            words = "Nothing was found." if result.job.parts else "What you draw is checked as you draw it."
            column.addWidget(plain_label(words))
        elif not listed:
            column.addWidget(plain_label("None of the conflicts has these words at these levels."))
        self._add_not_run(column, result.not_run)
        for acceptance in checking.lapsed(result):
            self._add_lapsed(column, acceptance)

    def _add_not_run(self, column: QVBoxLayout, missed: Sequence[NotRun]) -> None:
        if not missed:
            return
        column.addWidget(_heading(f"Off or not run: {len(missed)}"))
        off = self._desk.session.job.settings.rules_off
        for rule in missed:
            column.addWidget(_quiet(f"Not run: {rule.rule}, because {rule.because}"))
            if rule.rule in off:
                action = partial(ruling.switch_on, self._desk, rule.rule)
                column.addWidget(_button("Switch on again", f"Switch on again: {rule.rule}", action))

    def _add_lapsed(self, column: QVBoxLayout, kept: Acceptance) -> None:
        when = f", {kept.date}" if kept.date else ""
        words = f"No longer found as it was accepted by {kept.name}{when}: {kept.rule}. Reason: {kept.reason}"
        column.addWidget(_quiet(words))
        action = partial(checking.remove_acceptance, self._desk, kept)
        column.addWidget(_button("Remove", f"Remove the acceptance: {kept.rule}", action))

    def _say_fresh(self, result: CheckResult | None) -> None:
        fresh = result is not None and result.job is self._desk.session.job
        self.fresh.setText("up to date" if fresh else "checking…")

    def _mark(self, key: object) -> None:
        for card in self.cards:
            card.mark(card.conflict.key == key)
            if card.conflict.key == key:
                self.show_card(card)


def _group(conflict: Conflict) -> str:
    return "Accepted" if conflict.accepted is not None else LEVEL_WORDS[conflict.level]


def _heading(words: str) -> QLabel:
    label = QLabel(words)
    label.setObjectName("section")
    return label


def _quiet(words: str) -> QLabel:
    label = plain_label(breakable(words))
    label.setObjectName("quiet")
    return label


def _button(words: str, name: str, action: Callable[[], object]) -> WordButton:
    button = WordButton(words, "quiet", action)
    button.setAccessibleName(name)
    return button


def _same(one: CheckResult, other: CheckResult) -> bool:
    """Whether the cards of two results would look alike."""
    return (one.conflicts, one.not_run, one.job.acceptances, bool(one.job.parts)) == (
        other.conflicts,
        other.not_run,
        other.job.acceptances,
        bool(other.job.parts),
    )
