"""Small questions: a line, a text; and what every question window shares."""

from __future__ import annotations

import re
from itertools import pairwise

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QLayoutItem,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

ROOM_AROUND = 220
"""Height kept for the title, the sentence, the buttons and the edges of the screen, in pixels."""
_LONG_WORD = re.compile(r"(\S{20})(?=\S)")


class FormDialog(QDialog):
    """A sentence, fields in a form, and two buttons. Enter agrees, Escape leaves all as it was."""

    def __init__(self, parent: QWidget | None, title: str, agree: str, sentence: str = "") -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setMinimumWidth(440)
        self._outer = outer = QVBoxLayout(self)
        outer.setContentsMargins(24, 20, 24, 16)
        outer.setSpacing(16)
        if sentence:
            outer.addWidget(plain_label(sentence))
        body = QWidget()
        self.form = QFormLayout(body)
        self.form.setContentsMargins(2, 2, 2, 2)
        self.form.setHorizontalSpacing(16)
        self.form.setVerticalSpacing(8)
        self.form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        self._scroll = QScrollArea()
        self._scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setWidgetResizable(True)
        self._scroll.setWidget(body)
        outer.addWidget(self._scroll)
        self.buttons = QDialogButtonBox()
        self.agree = self.buttons.addButton(agree, QDialogButtonBox.ButtonRole.AcceptRole)
        self.agree.setObjectName("primary")
        self.buttons.addButton("Cancel", QDialogButtonBox.ButtonRole.RejectRole)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        outer.addWidget(self.buttons)

    def add(self, label: str, field: QWidget) -> None:
        """A field with its label, which is also its name for screen readers."""
        field.setAccessibleName(label)
        caption = QLabel(label)
        caption.setBuddy(field)
        self.form.addRow(caption, field)

    def add_below(self, widget: QWidget) -> None:
        """A widget between the fields and the buttons; it stays in sight while the fields scroll."""
        self._outer.insertWidget(self._outer.indexOf(self.buttons), widget)

    def show_field(self, field: QWidget) -> None:
        """Give a field the keyboard, and scroll to it."""
        field.setFocus()
        self._scroll.ensureWidgetVisible(field)

    def asked(self) -> bool:
        """Show the window, with the first field ready to type in; whether the user agreed."""
        fields = [item.widget() for row in range(self.form.rowCount()) if (item := self._field(row))]
        in_turn = [field for field in fields if field is not None] + list(self.buttons.buttons())
        for one, other in pairwise(in_turn):
            self.setTabOrder(one, other)
        in_turn[0].setFocus()
        self._fit_to_screen()
        return self.exec() == QDialog.DialogCode.Accepted

    def _fit_to_screen(self) -> None:
        """As high as the fields need; on a lower screen they scroll and the buttons stay in sight."""
        self.ensurePolished()
        needed = self.form.sizeHint()
        room = self.screen().availableSize().height() - ROOM_AROUND
        self._scroll.setMinimumWidth(needed.width())
        self._scroll.setMinimumHeight(min(needed.height(), max(room, 120)))

    def _field(self, row: int) -> QLayoutItem | None:
        roles = (QFormLayout.ItemRole.FieldRole, QFormLayout.ItemRole.SpanningRole)
        return next((item for role in roles if (item := self.form.itemAt(row, role))), None)


def plain_label(text: str) -> QLabel:
    """A wrapped label that takes its text as it is, never as markup."""
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    return label


def breakable(text: str) -> str:
    """The same to look at, but a very long word may go on in the next line."""
    return _LONG_WORD.sub("\\1\u200b", text)


def ask_line(parent: QWidget | None, title: str, question: str, text: str = "") -> str | None:
    """One line, not empty; None where the user thought better of it."""
    dialog = FormDialog(parent, title, "OK", question)
    field = QLineEdit(text)
    field.setMaxLength(200)
    field.setAccessibleName(question)
    field.textChanged.connect(lambda words: dialog.agree.setEnabled(bool(words.strip())))
    dialog.agree.setEnabled(bool(text.strip()))
    dialog.form.addRow(field)
    return field.text().strip() if dialog.asked() else None


def ask_text(parent: QWidget | None, title: str, question: str, text: str = "") -> str | None:
    """Some lines, not empty; None where the user thought better of it."""
    dialog = FormDialog(parent, title, "OK", question)
    field = QPlainTextEdit(text)
    field.setTabChangesFocus(True)
    field.setAccessibleName(question)
    field.textChanged.connect(lambda: dialog.agree.setEnabled(bool(field.toPlainText().strip())))
    dialog.agree.setEnabled(bool(text.strip()))
    dialog.form.addRow(field)
    return field.toPlainText().strip()[:8000] if dialog.asked() else None
