"""What narrows the list of conflicts: words, and the levels as buttons with their counts."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from core.checks.finding import LEVELS, CheckResult, Conflict, Level
from core.job.document import Job

LEVEL_WORDS: dict[Level, str] = {"stop": "Stop", "look": "Look", "note": "Note"}


def matches(conflict: Conflict, job: Job, text: str) -> bool:
    """Whether every word of the text is in what the conflict says, its rule, places or positions."""
    wanted = text.lower().split()
    if not wanted:
        return True
    places = (job.shown(ref) for ref in (*conflict.where, *conflict.wires, *conflict.path))
    said = (conflict.rule, LEVEL_WORDS[conflict.level], conflict.message, conflict.why, conflict.mend)
    whole = " ".join((*said, *places, *conflict.positions)).lower()
    return all(word in whole for word in wanted)


class ConflictFilter(QWidget):
    """Stands over the list and does not scroll with it."""

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.line = QLineEdit()
        self.line.setPlaceholderText("Filter: words, rule or place")
        self.line.setAccessibleName("Filter the conflicts by words, rule or place")
        self.line.setClearButtonEnabled(True)
        self.line.textChanged.connect(lambda _: self.changed.emit())
        self.levels: dict[Level, QToolButton] = {}
        row = QHBoxLayout()
        row.setSpacing(4)
        for level in LEVELS:
            button = self.levels[level] = QToolButton()
            button.setObjectName("level")
            button.setProperty("level", level)
            button.setCheckable(True)
            button.setChecked(True)
            button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
            button.toggled.connect(lambda _: self._toggled())
            row.addWidget(button)
        self.words = QLabel()
        self.words.setObjectName("quiet")
        column = QVBoxLayout(self)
        column.setContentsMargins(10, 2, 10, 4)
        column.setSpacing(6)
        column.addWidget(self.line)
        column.addLayout(row)
        column.addWidget(self.words)
        self.count(None)

    @property
    def text(self) -> str:
        return self.line.text()

    def count(self, result: CheckResult | None) -> None:
        """Put the counts on the buttons: what is open, and stands for itself."""
        for level, button in self.levels.items():
            count = result.count(level) if result is not None else 0
            button.setText(f"{count} {LEVEL_WORDS[level]}")
            self._name(level)

    def passed(self, conflicts: Sequence[Conflict], job: Job) -> list[Conflict]:
        """Those that it lets through."""
        kept = [c for c in conflicts if self.levels[c.level].isChecked() and matches(c, job, self.text)]
        self.words.setText(f"{len(kept)} of {len(conflicts)} shown")
        self.words.setVisible(len(kept) < len(conflicts))
        return kept

    def _toggled(self) -> None:
        for level in self.levels:
            self._name(level)
        self.changed.emit()

    def _name(self, level: Level) -> None:
        button = self.levels[level]
        shown = button.isChecked()
        button.setAccessibleName(f"{button.text()}, {'shown' if shown else 'hidden'}")
        word = LEVEL_WORDS[level]
        button.setToolTip(f"Press to {'hide' if shown else 'show'} the conflicts of the level {word}")
