"""A line that narrows what is listed below it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit


class FindLine(QLineEdit):
    """Enter goes on to what was found, instead of agreeing to the whole window."""

    def __init__(self, hint: str) -> None:
        super().__init__()
        self.setPlaceholderText(hint)
        self.setAccessibleName(hint)
        self.setClearButtonEnabled(True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.focusNextChild()
        else:
            super().keyPressEvent(event)
