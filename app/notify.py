"""Short messages in place: what was done, what was refused and why."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QMessageBox, QToolButton, QWidget

from core.errors import UserError

SHOWN_MS = 6000
LEAST, WIDEST = 280, 720
ROOM_BESIDE = 90
"""Width of the edges and of the cross beside the words, in pixels."""


class Notices(QFrame):
    """A strip over the bottom of its owner. It never takes the focus and goes away by itself."""

    def __init__(self, owner: QWidget) -> None:
        super().__init__(owner)
        self.setObjectName("notices")
        self._label = QLabel()
        self._label.setTextFormat(Qt.TextFormat.PlainText)
        self._label.setWordWrap(True)
        close = QToolButton()
        close.setText("×")
        close.setAccessibleName("Close this message")
        close.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        close.clicked.connect(self.hide)
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 8, 8, 8)
        row.addWidget(self._label, 1)
        row.addWidget(close)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self.hide)
        owner.installEventFilter(self)
        self.hide()

    @property
    def text(self) -> str:
        return self._label.text() if not self.isHidden() else ""

    def say(self, text: str, level: str = "plain") -> None:
        """Show a sentence for a few seconds. `level` is plain, look or stop."""
        self._label.setText(text)
        self.setProperty("level", level)
        self.style().unpolish(self)
        self.style().polish(self)
        self.setAccessibleName(text)
        self._place()
        self.show()
        self.raise_()
        self._timer.start(SHOWN_MS)

    def refuse(self, reason: str) -> None:
        self.say(reason, "look")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self._place()
        return super().eventFilter(watched, event)

    def _place(self) -> None:
        owner = self.parentWidget()
        if owner is None:
            return
        words = self._label.fontMetrics().horizontalAdvance(self._label.text())
        width = min(owner.width() - 32, WIDEST, max(LEAST, words + ROOM_BESIDE))
        layout = self.layout()
        height = layout.heightForWidth(width) if layout is not None else self.sizeHint().height()
        self.setFixedSize(width, height)
        self.move((owner.width() - width) // 2, owner.height() - self.height() - 24)


def tell_problem(parent: QWidget | None, title: str, problem: UserError) -> None:
    """A problem with a file or an import: a dialog with what, where and why."""
    box = QMessageBox(QMessageBox.Icon.Warning, "Loomwright", title, QMessageBox.StandardButton.Ok, parent)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setInformativeText(str(problem))
    box.exec()
