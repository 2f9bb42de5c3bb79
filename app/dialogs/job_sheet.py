"""The job sheet: what the title block is filled from."""

from __future__ import annotations

from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QWidget

from app.dialogs.forms import FormDialog
from core.job.base import LONG_TEXT_LENGTH, SHORT_TEXT_LENGTH
from core.job.document import Job

_LINES = (
    ("shop", "Shop"),
    ("number", "Job number"),
    ("title", "Title"),
    ("vehicle", "Vehicle, in your words"),
    ("technician", "Technician"),
    ("approved_by", "Approved by"),
    ("date", "Date (YYYY-MM-DD)"),
    ("revision", "Revision"),
)
_TEXTS = (("equipment", "Equipment, with maker's text and serial"), ("note", "Notes"))


def edit_job_sheet(parent: QWidget | None, job: Job) -> dict[str, object] | None:
    """The fields for `record.set_sheet`; None where the user thought better of it."""
    dialog = FormDialog(
        parent,
        "Job sheet",
        "Keep",
        "This fills the title block of the drawing. Leave empty what is not known.",
    )
    dialog.setMinimumWidth(560)
    lines = {name: QLineEdit(str(getattr(job.sheet, name))) for name, _ in _LINES}
    for name, label in _LINES:
        lines[name].setMaxLength(SHORT_TEXT_LENGTH)
        lines[name].setCursorPosition(0)
        dialog.add(label, lines[name])
    if not lines["date"].text():
        lines["date"].setPlaceholderText("not dated")
    texts = {name: QPlainTextEdit(str(getattr(job.sheet, name))) for name, _ in _TEXTS}
    for name, label in _TEXTS:
        texts[name].setTabChangesFocus(True)
        texts[name].setFixedHeight(64)
        dialog.add(label, texts[name])

    def check() -> None:
        text = lines["date"].text().strip()
        dialog.agree.setEnabled(not text or _is_date(text))

    lines["date"].textChanged.connect(check)
    if not dialog.asked():
        return None
    sheet: dict[str, object] = {name: field.text().strip() for name, field in lines.items()}
    sheet |= {name: field.toPlainText().strip()[:LONG_TEXT_LENGTH] for name, field in texts.items()}
    return sheet


def _is_date(text: str) -> bool:
    pieces = text.split("-")
    return [len(piece) for piece in pieces] == [4, 2, 2] and all(piece.isdecimal() for piece in pieces)
