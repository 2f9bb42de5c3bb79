"""The question before a window closes on work that is in no file."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMessageBox

from app.commands import files
from app.desk import Desk


def may_close(desk: Desk) -> bool:
    """Whether the window may close: nothing to save, saved now, or given up on purpose."""
    if not desk.session.modified:
        return True
    path = desk.session.path
    name = path.name if path else (desk.session.job.sheet.title or "this job")
    buttons = (
        QMessageBox.StandardButton.Save
        | QMessageBox.StandardButton.Discard
        | QMessageBox.StandardButton.Cancel
    )
    box = QMessageBox(
        QMessageBox.Icon.Question, "Loomwright", f"Save the changes to {name}?", buttons, desk.window
    )
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setInformativeText("What is not saved is lost when the window closes.")
    box.button(QMessageBox.StandardButton.Discard).setText("Close without saving")
    box.setDefaultButton(QMessageBox.StandardButton.Save)
    answer = box.exec()
    if answer == QMessageBox.StandardButton.Save:
        return files.save(desk)
    return bool(answer == QMessageBox.StandardButton.Discard)
