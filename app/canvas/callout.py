"""The callout of the selected conflict: what is wrong, and the mends that one press applies."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPoint, QRect, Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QToolButton, QVBoxLayout, QWidget

from app.theme import RADIUS, STEP, TOUCH, Tokens
from core.checks.finding import Conflict

WIDTH = 310
GAP = 3 * STEP
LEVEL_WORDS = {"stop": "Stop", "look": "Look", "note": "Note"}


class Callout(QFrame):
    """A card that floats on the view."""

    mend_wanted = Signal(object)
    """Mend: the button of that mend was pressed."""
    explain_wanted = Signal(object)
    """Conflict: it is to explain itself."""
    closed = Signal()

    def __init__(self, tokens: Tokens, parent: QWidget) -> None:
        super().__init__(parent)
        self._tokens = tokens
        self.conflict: Conflict | None = None
        self.setFixedWidth(WIDTH)
        self.setObjectName("callout")
        self._outer = QVBoxLayout(self)
        self._outer.setContentsMargins(STEP * 2, STEP + 4, STEP, STEP + 4)
        self._outer.setSpacing(STEP // 2)
        self.hide()

    def set_tokens(self, tokens: Tokens) -> None:
        self._tokens = tokens
        if self.conflict is not None:
            self.show_conflict(self.conflict)

    def show_conflict(self, conflict: Conflict | None) -> None:
        """Fill the card; None hides it."""
        self.conflict = conflict
        _clear(self._outer)
        if conflict is None:
            self.hide()
            return
        self._fill(conflict)
        self.setAccessibleName(f"{LEVEL_WORDS[conflict.level]}: {conflict.message}")
        self.adjustSize()
        self.show()
        self.raise_()

    def _fill(self, conflict: Conflict) -> None:
        tokens = self._tokens
        colour = tokens.level(conflict.level)
        self.setStyleSheet(
            f"#callout {{ background: {tokens.raised}; border: 2px solid {colour};"
            f" border-radius: {RADIUS + 2}px; }}"
            f"#callout QLabel {{ color: {tokens.ink}; background: transparent; }}"
            f"#callout QLabel#level {{ color: {tokens.on_level}; background: {colour}; font-weight: 600;"
            f" border-radius: {RADIUS + 3}px; padding: 0 8px; max-height: 20px; }}"
            f"#callout QLabel#message {{ font-weight: 600; }}"
            f"#callout QLabel#why {{ color: {tokens.quiet}; }}"
            f"#callout QPushButton {{ background: {tokens.action}; color: {tokens.on_action}; border: none;"
            f" border-radius: {TOUCH // 2}px; padding: 0 14px; min-height: {TOUCH}px; font-weight: 600; }}"
            f"#callout QPushButton#link {{ background: transparent; color: {tokens.action};"
            " padding: 0 4px; }"
            f"#callout QPushButton:focus {{ border: 2px solid {tokens.ink}; }}"
            f"#callout QToolButton {{ color: {tokens.quiet}; border: none; background: transparent;"
            f" min-width: {TOUCH}px; min-height: {TOUCH}px; font-size: 16px; }}"
            f"#callout QToolButton:focus {{ border: 2px solid {tokens.action}; border-radius: {RADIUS}px; }}"
        )
        top = QHBoxLayout()
        top.addWidget(_label(LEVEL_WORDS[conflict.level], "level"), 0, Qt.AlignmentFlag.AlignVCenter)
        top.addStretch(1)
        explain = QPushButton("Explain step by step", self)
        explain.setObjectName("link")
        explain.clicked.connect(lambda: self.explain_wanted.emit(conflict))
        top.addWidget(explain)
        close = QToolButton(self)
        close.setText("×")
        close.setAccessibleName("Close this conflict's callout")
        close.clicked.connect(lambda: self.closed.emit())
        top.addWidget(close)
        self._outer.addLayout(top)
        self._outer.addWidget(_label(conflict.message, "message"))
        for text in (conflict.why, conflict.mend):
            if text:
                self._outer.addWidget(_label(text, "why"))
        for mend in conflict.mends:
            button = QPushButton(mend.label, self)
            button.setAccessibleName(f"Mend: {mend.label}")
            button.clicked.connect(lambda _=False, chosen=mend: self.mend_wanted.emit(chosen))
            self._outer.addSpacing(STEP // 2)
            self._outer.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)

    def place_near(self, point: QPoint, within: QRect, avoid: Sequence[QRect]) -> None:
        """Stand beside a point of the view where the least of `avoid` is covered, never outside."""
        best = min(self._places(point, within), key=lambda place: _covered(place, point, avoid))
        self.move(best.topLeft())

    def _places(self, point: QPoint, within: QRect) -> list[QRect]:
        width, height = self.width(), self.height()
        xs = (point.x() + GAP, point.x() - width // 2, point.x() - GAP - width)
        ys = (point.y() + GAP, point.y() - height // 2, point.y() - GAP - height)
        return [
            QRect(
                max(within.left() + STEP, min(x, within.right() - width - STEP)),
                max(within.top() + STEP, min(y, within.bottom() - height - STEP)),
                width,
                height,
            )
            for x in (*xs, within.left(), within.right())
            for y in (*ys, within.top(), within.bottom())
        ]


def _covered(place: QRect, point: QPoint, avoid: Sequence[QRect]) -> float:
    """How bad a place is: what it covers, and a little for being far."""
    hidden = sum(cut.width() * cut.height() for rect in avoid if (cut := place.intersected(rect)).isValid())
    over = 1e9 if place.adjusted(-STEP, -STEP, STEP, STEP).contains(point) else 0.0
    return over + hidden + 5 * (place.center() - point).manhattanLength()


def _label(text: str, name: str) -> QLabel:
    made = QLabel()
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.setText(text)
    made.setObjectName(name)
    made.setWordWrap(name != "level")
    return made


def _clear(layout: QVBoxLayout | QHBoxLayout) -> None:
    while layout.count():
        taken = layout.takeAt(0)
        if taken is None:
            return
        widget = taken.widget()
        inner = taken.layout()
        if widget is not None:
            widget.hide()
            widget.deleteLater()
        elif isinstance(inner, QHBoxLayout | QVBoxLayout):
            _clear(inner)
            inner.deleteLater()
