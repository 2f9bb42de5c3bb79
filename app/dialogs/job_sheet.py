"""The job sheet: what the title block is filled from, and what is true of this car."""

from __future__ import annotations

from typing import NamedTuple

from PySide6.QtWidgets import QComboBox, QLineEdit, QPlainTextEdit, QWidget

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


class Answer(NamedTuple):
    """Fields for `record.set_sheet` and `record.set_settings`."""

    sheet: dict[str, object]
    settings: dict[str, object]


def edit_job_sheet(parent: QWidget | None, job: Job) -> Answer | None:
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
    volts = _choice(["6 V", "12 V", "24 V"], f"{job.settings.system_volts} V")
    ground = _choice(["negative", "positive"], job.settings.ground)
    dialog.add("Battery", volts)
    dialog.add("Ground pole", ground)

    def check() -> None:
        text = lines["date"].text().strip()
        dialog.agree.setEnabled(not text or _is_date(text))

    lines["date"].textChanged.connect(check)
    if not dialog.asked():
        return None
    sheet: dict[str, object] = {name: field.text().strip() for name, field in lines.items()}
    sheet |= {name: field.toPlainText().strip()[:LONG_TEXT_LENGTH] for name, field in texts.items()}
    settings = {"system_volts": int(volts.currentText().split()[0]), "ground": ground.currentText()}
    return Answer(sheet, dict(settings))


def _is_date(text: str) -> bool:
    pieces = text.split("-")
    return [len(piece) for piece in pieces] == [4, 2, 2] and all(piece.isdecimal() for piece in pieces)


def _choice(words: list[str], chosen: str) -> QComboBox:
    box = QComboBox()
    box.addItems(words)
    box.setCurrentText(chosen)
    return box
