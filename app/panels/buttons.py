"""Buttons with words as long as they need to be."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QLabel, QPushButton, QSizePolicy, QVBoxLayout

_LISTED = ("open", "row", "implied")
"""Styles of buttons that stand below each other: their words begin at the left."""


class WordButton(QPushButton):
    """A button whose words wrap instead of being cut off. `style` is its name in the style sheet."""

    def __init__(self, words: str, style: str, action: Callable[[], object]) -> None:
        super().__init__()
        self.words = words
        self.setObjectName(style)
        self.setAccessibleName(words)
        self._label = QLabel(words)
        self._label.setObjectName(f"{style}-words")
        self._label.setTextFormat(Qt.TextFormat.PlainText)
        self._label.setWordWrap(True)
        self._label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._label.setAlignment(
            Qt.AlignmentFlag.AlignVCenter
            | (Qt.AlignmentFlag.AlignLeft if style in _LISTED else Qt.AlignmentFlag.AlignHCenter)
        )
        inside = QVBoxLayout(self)
        inside.setContentsMargins(10, 4, 10, 4)
        inside.addWidget(self._label)
        policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.clicked.connect(lambda: action())

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        margins = 20
        return max(34, self._label.heightForWidth(max(width - margins, 40)) + 12)

    def sizeHint(self) -> QSize:
        return QSize(160, self.heightForWidth(max(self.width(), 160)))

    def minimumSizeHint(self) -> QSize:
        return QSize(60, 34)
