"""The build drawing inside the window: the sheets as they will print, chosen, printed, saved."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPixmap, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.commands import printing
from app.dialogs.forms import plain_label
from app.theme import Tokens
from core.errors import UserError

if TYPE_CHECKING:
    from app.desk import Desk
    from app.work.drawing import Pages

SHEET_WORDS = {"map": "Map", "faces": "Faces", "leads": "Leads and wires", "joints": "Joints"}
PAPER_WORDS = {"letter": "Letter", "a4": "A4", "tabloid": "Tabloid", "a3": "A3"}
PAGE_MARGIN = 16


class DrawingPlace(QWidget):
    """Sheets at the left, pages in the middle. Made when it is looked at, and again when the job changed."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._pages: Pages | None = None
        self._made_for: object = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Build drawing")
        self.paper = QComboBox()
        self.paper.setAccessibleName("Paper")
        for value, words in PAPER_WORDS.items():
            self.paper.addItem(words, value)
        self.paper.setCurrentIndex(max(0, self.paper.findData(desk.program.settings.paper)))
        self.paper.activated.connect(self._choose_paper)
        self.ticks = {name: QCheckBox(words) for name, words in SHEET_WORDS.items()}
        side = QVBoxLayout()
        side.setSpacing(8)
        side.addWidget(_heading("Paper"))
        side.addWidget(self.paper)
        side.addWidget(_heading("Sheets"))
        for tick in self.ticks.values():
            tick.setChecked(True)
            tick.clicked.connect(self.refresh)
            side.addWidget(tick)
        self.print_button = _button(
            "Print…", lambda: printing.print_pages(self._desk, self.chosen()), "primary"
        )
        self.pdf_button = _button(
            "Save as PDF…", lambda: printing.save_pdf(self._desk, self.chosen()), "plain"
        )
        side.addSpacing(8)
        side.addWidget(self.print_button)
        side.addWidget(self.pdf_button)
        side.addStretch(1)
        self.message = plain_label("")
        self.message.setObjectName("quiet")
        side.addWidget(self.message)
        choices = QWidget()
        choices.setLayout(side)
        left = QScrollArea()
        left.setFrameShape(QFrame.Shape.NoFrame)
        left.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        left.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        left.setWidgetResizable(True)
        left.setWidget(choices)
        left.setFixedWidth(208)
        self._scroll = QScrollArea()
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setWidgetResizable(True)
        self._scroll.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 12, 0, 0)
        row.setSpacing(12)
        row.addWidget(left)
        row.addWidget(self._scroll, 1)
        self.page_labels: list[QLabel] = []
        desk.session.changed.connect(self._changed)

    def chosen(self) -> list[str]:
        """The sheets that are ticked."""
        return [name for name, tick in self.ticks.items() if tick.isChecked()]

    def set_tokens(self, tokens: Tokens) -> None:
        self._scroll.setStyleSheet(f"QScrollArea > QWidget > QWidget {{ background: {tokens.felt}; }}")

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._made_for is not self._desk.session.job:
            self.refresh()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._draw()

    def refresh(self, _: object = None) -> None:
        """Make the drawing of the document as it is now and show its pages."""
        from app.work.drawing import Pages, make_pdf

        sheets = self.chosen()
        self.print_button.setEnabled(bool(sheets))
        self.pdf_button.setEnabled(bool(sheets))
        self.forget()
        self._made_for = self._desk.session.job
        if sheets:
            try:
                self._pages = Pages(make_pdf(self._desk.session, self._desk.checks, self._paper(), sheets))
            except UserError as problem:
                self.message.setText(str(problem))
                self._rebuild()
                return
        count = len(self._pages) if self._pages else 0
        self.message.setText(f"{count} page{'s' if count != 1 else ''}" if count else "No sheet is chosen.")
        self._rebuild()

    def forget(self) -> None:
        """Let the drawing go; it is made again when it is looked at."""
        if self._pages is not None:
            self._pages.close()
        self._pages = None
        self._made_for = None

    def _paper(self) -> str:
        return str(self.paper.currentData())

    def _choose_paper(self, _: int) -> None:
        self._desk.program.settings.paper = self._paper()
        self.refresh()

    def _changed(self, _: object) -> None:
        if self.isVisible():
            self.refresh()

    def _rebuild(self) -> None:
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(PAGE_MARGIN, PAGE_MARGIN, PAGE_MARGIN, PAGE_MARGIN)
        column.setSpacing(16)
        self.page_labels = []
        for number in range(len(self._pages) if self._pages else 0):
            label = QLabel()
            label.setAccessibleName(f"Page {number + 1}")
            self.page_labels.append(label)
            column.addWidget(label, 0, Qt.AlignmentFlag.AlignHCenter)
        column.addStretch(1)
        self._scroll.setWidget(body)
        self._draw()

    def _draw(self) -> None:
        if self._pages is None:
            return
        width = max(160, min(self._scroll.viewport().width() - 2 * PAGE_MARGIN, 1500))
        ratio = self.devicePixelRatioF()
        for number, label in enumerate(self.page_labels):
            image = self._pages.image(number, round(width * ratio))
            image.setDevicePixelRatio(ratio)
            label.setPixmap(QPixmap.fromImage(image))
            label.setFixedSize(QSize(width, round(image.height() / ratio)))


def _heading(text: str) -> QLabel:
    label = QLabel(text)
    label.setObjectName("section")
    return label


def _button(text: str, action: Callable[[], object], name: str) -> QPushButton:
    button = QPushButton(text)
    button.setObjectName(name)
    button.setAccessibleName(text)
    button.clicked.connect(lambda: action())
    return button
