"""The leads about which nothing was decided yet, each a button that goes there."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from app.desk import Desk
from app.panels.buttons import WordButton
from core.job.document import Job

MOST_SHOWN = 200
"""More buttons than anybody reads would only make the panel slow; the rest is counted."""


class ToDecide(QWidget):
    """Follows the list step by step: what stays is not made anew."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._buttons: dict[str, WordButton] = {}
        self._heading = QLabel()
        self._heading.setObjectName("section")
        self._more = QLabel()
        self._more.setObjectName("quiet")
        self._rows = QVBoxLayout()
        self._rows.setSpacing(8)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(self._heading)
        column.addLayout(self._rows)
        column.addWidget(self._more)
        self.show_ends((), desk.session.job)

    def show_ends(self, ends: Sequence[str], job: Job) -> None:
        self.setVisible(bool(ends))
        self._heading.setText(f"To decide: {len(ends)}")
        self._more.setVisible(len(ends) > MOST_SHOWN)
        self._more.setText(f"and {len(ends) - MOST_SHOWN} more; F7 goes through all of them")
        wanted = {end: self._words(end, job) for end in ends[:MOST_SHOWN]}
        for end, button in list(self._buttons.items()):
            if wanted.get(end) != button.words:
                self._rows.removeWidget(button)
                button.hide()
                button.setParent(None)
                button.deleteLater()
                del self._buttons[end]
        for at, (end, words) in enumerate(wanted.items()):
            if end not in self._buttons:
                button = WordButton(words, "open", partial(self._go_to, end))
                button.setToolTip(
                    "Nothing was decided about this lead: join it, cap it, pull it or leave it with a reason"
                )
                self._buttons[end] = button
                self._rows.insertWidget(at, button)

    def _words(self, end: str, job: Job) -> str:
        cavity = job.cavity(end)
        words = self._desk.session.library.words(cavity.function) if cavity and cavity.function else ""
        return f"{job.shown(end)}  {cavity.label or words if cavity else ''}".strip()

    def _go_to(self, end: str) -> None:
        self._desk.places.show_place("map")
        self._desk.session.select([end])
        self._desk.view.zoom_to([end])
