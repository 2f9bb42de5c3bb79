"""Keeping a conflict on purpose: a reason and a name."""

from __future__ import annotations

from typing import NamedTuple

from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QWidget

from app.dialogs.forms import FormDialog
from core.checks.finding import Conflict


class Answer(NamedTuple):
    reason: str
    name: str


def ask_acceptance(parent: QWidget | None, conflict: Conflict, name: str) -> Answer | None:
    dialog = FormDialog(
        parent,
        "Accept this conflict",
        "Accept",
        f"{conflict.message}\n\nIt stays listed and is printed, with your reason and name. It lapses when "
        "a place, a position or a number of it changes.",
    )
    reason = QPlainTextEdit()
    reason.setTabChangesFocus(True)
    reason.setFixedHeight(80)
    who = QLineEdit(name)
    who.setMaxLength(200)
    dialog.add("Reason", reason)
    dialog.add("Your name", who)

    def check() -> None:
        dialog.agree.setEnabled(bool(reason.toPlainText().strip() and who.text().strip()))

    reason.textChanged.connect(check)
    who.textChanged.connect(check)
    check()
    return Answer(reason.toPlainText().strip()[:8000], who.text().strip()) if dialog.asked() else None
