"""The conflicts panel: what the checker found by level, and what is still to decide."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import chain

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
AT_ONCE, A_FEW = 8, 4
"""New rows within one turn of the event loop: those in sight, then the others."""
_NOTHING = "Nothing was found."
_NO_PARTS = "What you draw is checked as you draw it."


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
        self._rows: dict[str, QWidget] = {}
        self._found_now: dict[str, tuple[Conflict, int]] = {}
        self._coming: Iterator[tuple[int, tuple[str, Callable[[], QWidget]]]] = iter(())
        self._later = QTimer(self)
        self._later.setInterval(0)
        self._later.timeout.connect(self._put_in)
        self._found = QWidget()
        self._column = QVBoxLayout(self._found)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(8)
        self._to_decide = ToDecide(desk)
        self.body = QWidget()
        inside = QVBoxLayout(self.body)
        inside.setContentsMargins(10, 4, 10, 10)
        inside.setSpacing(8)
        inside.addWidget(self._found)
        inside.addWidget(self._to_decide)
        inside.addStretch(1)
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
            self._lay_out()
        self._say_fresh(result)

    def _narrow(self) -> None:
        self._most = SHOWN_AT_ONCE
        self._lay_out()

    def _show_more(self) -> None:
        self._most += SHOWN_AT_ONCE
        self._lay_out()

    # The rows: what stays is not made anew, and what is new comes a few at a time

    def _lay_out(self) -> None:
        """Take out what is gone and put in what is new; the panel stays scrolled, and keeps the focus."""
        here = QApplication.focusWidget()
        had_focus = here is not None and self._found.isAncestorOf(here)
        wanted = self._wanted(self._shown) if self._shown is not None else {}
        for key, row in list(self._rows.items()):
            if key not in wanted or (isinstance(row, Card) and not self._stays(row)):
                del self._rows[key]
                self._column.removeWidget(row)
                row.hide()
                row.setParent(None)
                row.deleteLater()
        self._coming = iter(list(enumerate(wanted.items())))
        self._put_in(AT_ONCE)
        if had_focus and not (here is not None and here.isVisible()):
            self.take_focus()

    def _stays(self, card: Card) -> bool:
        """Whether a card is of what was found now; it then does what that says."""
        now = self._found_now.get(card.conflict.key)
        if now is None or not card.is_of(*now):
            return False
        card.conflict = now[0]
        return True

    def _put_in(self, most: int = A_FEW) -> None:
        """Go on with the rows that are still to come, in their order."""
        self._later.stop()
        for at, (key, make) in self._coming:
            if key not in self._rows:
                if most == 0:
                    self._coming = chain([(at, (key, make))], self._coming)
                    self._later.start()
                    break
                most -= 1
                self._rows[key] = make()
            row = self._rows[key]
            if self._column.indexOf(row) != at:
                self._column.insertWidget(at, row)
                row.show()
        standing = (self._column.itemAt(at) for at in range(self._column.count()))
        rows = (item.widget() for item in standing if item is not None)
        self.cards = [row for row in rows if isinstance(row, Card)]
        for card in self.cards:
            card.mark(card.conflict.key == self._desk.view.conflict_key)

    def _wanted(self, result: CheckResult) -> dict[str, Callable[[], QWidget]]:
        """Every row by its name, and what makes it."""
        found = result.unfolded()
        passed = self.filter.passed(found, result.job)
        listed = sorted(passed, key=lambda c: (c.accepted is not None, LEVELS.index(c.level)))
        groups = Counter(map(_group, listed))
        followers = Counter(other.follows_from for other in result.conflicts)
        self._found_now = {c.key: (c, followers[c.key]) for c in listed}
        rows: dict[str, Callable[[], QWidget]] = {}
        for conflict in listed[: self._most]:
            words = f"{_group(conflict)}: {groups[_group(conflict)]}"
            rows.setdefault(f"heading {words}", partial(_heading, words))
            card = partial(Card, self._desk, conflict, followers[conflict.key])
            rows[f"conflict {conflict.key}"] = card
        if len(listed) > self._most:
            words = f"Show more ({len(listed) - self._most} left)"
            rows[words] = partial(WordButton, words, "plain", self._show_more)
        if not listed:
            words = "None of the conflicts has these words at these levels." if found else _NOTHING
            words = words if found or result.job.parts else _NO_PARTS
            rows[words] = partial(_quiet, words)
        rows |= self._not_run(result.not_run)
        for number, acceptance in enumerate(checking.lapsed(result)):
            rows |= self._lapsed(acceptance, number)
        return rows

    def _not_run(self, missed: Sequence[NotRun]) -> dict[str, Callable[[], QWidget]]:
        rows: dict[str, Callable[[], QWidget]] = {}
        if missed:
            words = f"Off or not run: {len(missed)}"
            rows[words] = partial(_heading, words)
        off = self._desk.session.job.settings.rules_off
        for rule in missed:
            words = f"Not run: {rule.rule}, because {rule.because}"
            rows[words] = partial(_quiet, words)
            if rule.rule in off:
                name, action = (
                    f"Switch on again: {rule.rule}",
                    partial(ruling.switch_on, self._desk, rule.rule),
                )
                rows[name] = partial(_button, "Switch on again", name, action)
        return rows

    def _lapsed(self, kept: Acceptance, number: int) -> dict[str, Callable[[], QWidget]]:
        when = f", {kept.date}" if kept.date else ""
        words = f"No longer found as it was accepted by {kept.name}{when}: {kept.rule}. Reason: {kept.reason}"
        name = f"Remove the acceptance: {kept.rule}"
        action = partial(checking.remove_acceptance, self._desk, kept)
        return {
            f"lapsed {number} {words}": partial(_quiet, words),
            f"remove {number} {words}": partial(_button, "Remove", name, action),
        }

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
