"""The status button: the state of the check in words and colour."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QPushButton

from app.desk import Desk
from core.checks.finding import CheckResult, Level
from core.checks.report import not_run_words

LEVEL_WORDS: tuple[tuple[Level, str], ...] = (("stop", "Stop"), ("look", "Look"), ("note", "Note"))


def status_text(result: CheckResult) -> str:
    """`2 Stop · 1 Look · 6 to decide`, or `Checked: nothing found`."""
    if not result.job.parts:
        return "Nothing to check yet"
    pieces = [f"{result.count(level)} {word}" for level, word in LEVEL_WORDS if result.count(level)]
    accepted = sum(1 for c in result.unfolded() if c.accepted is not None)
    if accepted:
        pieces.append(f"{accepted} accepted")
    if result.not_run:
        pieces.append(not_run_words(result))
    if result.open_ends:
        pieces.append(f"{len(result.open_ends)} to decide")
    return " · ".join(pieces) or "Checked: nothing found"


class StatusWords:
    """Keeps the button in step with the checks. It is green only where nothing is left to decide either."""

    def __init__(self, desk: Desk, button: QPushButton, refit: Callable[[], None]) -> None:
        self._desk = desk
        self._button = button
        self._refit = refit
        button.setProperty("status", "none")
        button.setText("Checking…")
        desk.session.checked.connect(self._show)

    def _show(self, result: CheckResult) -> None:
        text = status_text(result)
        self._button.setText(text)
        self._button.setAccessibleName(f"Check status: {text}")
        self._button.setToolTip("Show the conflicts and what is to decide (Ctrl+5)")
        undecided = result.status == "green" and (result.open_ends or not result.job.parts)
        self._button.setProperty("status", "none" if undecided else result.status)
        self._button.style().unpolish(self._button)
        self._button.style().polish(self._button)
        self._refit()
