"""Pages to read: keys and gestures, cautions, about."""

from __future__ import annotations

import csv
from importlib.metadata import PackageNotFoundError, version

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.forms import plain_label
from core.paths import resources_folder

GESTURES = (
    (
        "Drag from a flag or cavity to another",
        "Join the two. While dragging, every target says whether it fits.",
    ),
    ("Drop on a joint or wire", "Add the end to that joint."),
    ("Drag a joined end off its joint", "Plug it into another target instead."),
    ("Ctrl + drag to another cavity of the same face", "Swap the two pins."),
    ("Drag a part, joint or note", "Move it. What you moved stays put when the map is arranged."),
    ("Drag on empty felt", "Select everything inside the band. Shift or Ctrl adds."),
    ("Wheel, pinch", "Zoom at the pointer."),
    ("Middle button, or space and drag", "Move the map under the window."),
    ("Escape, right button", "End a drag; nothing is changed."),
    ("Tab, arrow keys", "Walk from flag to flag. J begins a join, arrows choose the target, Enter joins."),
    (
        "Click with the meter out (V)",
        "The red point, then the black. Drag one to move it; Enter puts one where the keyboard is.",
    ),
    ("M, then arrow keys", "Move what is selected; Enter keeps it, Escape puts it back."),
)
CAUTION_HEADINGS = {
    "map": "Before you touch the car",
    "faces": "At the plugs",
    "airbag": "At an airbag circuit",
    "leads": "Cutting and trimming",
    "joints": "Soldering and crimping",
}


class Page(QDialog):
    """A window of headed paragraphs that scrolls."""

    def __init__(self, parent: QWidget | None, title: str) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.resize(680, 640)
        self.body = QWidget()
        self.grid = QGridLayout(self.body)
        self.grid.setContentsMargins(24, 20, 24, 20)
        self.grid.setHorizontalSpacing(24)
        self.grid.setVerticalSpacing(8)
        self.grid.setColumnStretch(2, 1)
        self.grid.setAlignment(Qt.AlignmentFlag.AlignTop)
        scroll = QScrollArea()
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setWidgetResizable(True)
        scroll.setWidget(self.body)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll)
        below = QHBoxLayout()
        below.setContentsMargins(24, 4, 24, 12)
        below.addWidget(buttons)
        outer.addLayout(below)

    def heading(self, text: str) -> None:
        label = QLabel(text)
        label.setObjectName("heading")
        self.grid.addWidget(label, self.grid.rowCount(), 0, 1, 3)

    def row(self, left: str, right: str, key: str = "") -> None:
        """What, its key where it has one, and what it means."""
        at = self.grid.rowCount()
        name = plain_label(left)
        name.setMinimumWidth(170)
        self.grid.addWidget(name, at, 0, 1, 1 if key else 2, Qt.AlignmentFlag.AlignTop)
        if key:
            cap = QLabel(key)
            cap.setObjectName("key")
            self.grid.addWidget(cap, at, 1, Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self.grid.addWidget(plain_label(right), at, 2, Qt.AlignmentFlag.AlignTop)

    def paragraph(self, text: str) -> None:
        self.grid.addWidget(plain_label(text), self.grid.rowCount(), 0, 1, 3)


def show_keys(parent: QWidget | None, rows: list[tuple[str, str, str, str]]) -> None:
    """`rows` are (menu, text, key, hint) of every action."""
    page = Page(parent, "Keys and gestures")
    page.heading("With the pointer and the keyboard")
    for gesture, meaning in GESTURES:
        page.row(gesture, meaning)
    menu = ""
    for group, text, key, hint in rows:
        if group != menu:
            page.heading(group)
            menu = group
        shown = QKeySequence(key).toString(QKeySequence.SequenceFormat.NativeText)
        page.row(text, hint, shown)
    page.exec()


def cautions() -> list[tuple[str, str]]:
    """(place, sentence) of every caution, from `resources/cautions.csv`."""
    with (resources_folder() / "cautions.csv").open(encoding="utf-8", newline="") as table:
        return [(row["place"], row["text"]) for row in csv.DictReader(table)]


def show_cautions(parent: QWidget | None) -> None:
    page = Page(parent, "Cautions")
    place = ""
    for where, text in cautions():
        if where != place:
            page.heading(CAUTION_HEADINGS[where])
            place = where
        page.paragraph(text)
    page.exec()


def show_about(parent: QWidget | None) -> None:
    page = Page(parent, "About Loomwright")
    page.resize(480, 260)
    page.heading("Loomwright")
    try:
        page.paragraph(f"Version {version('loomwright')}")
    except PackageNotFoundError:
        page.paragraph("Run from its source folder")
    page.paragraph("A wiring map that is checked as it is drawn, for one-off bench harnesses.")
    page.paragraph(
        "MIT licence. It does not replace the vehicle maker's service information, local rules or a "
        "licensed technician."
    )
    page.exec()
