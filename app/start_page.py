"""The start page: recent jobs, sample jobs, recovered work. Nothing of the trade is imported for it."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from app.panels.dock import ElidedLabel
from core.paths import sample_jobs_folder, unsaved_folder

if TYPE_CHECKING:
    from app.settings import Settings
    from core.job.document import Job


Row = tuple[str, str, Callable[[], None]]
"""A name, a quiet line beside it, and what a press does."""


class Opener(Protocol):
    settings: Settings

    def open_path(self, path: Path) -> bool: ...
    def open_job(self, job: Job) -> None: ...
    def open_unsaved(self, path: Path) -> None: ...


class StartPage(QWidget):
    """Three short lists and two buttons."""

    def __init__(self, program: Opener) -> None:
        super().__init__(None, Qt.WindowType.Window)
        self._program = program
        self.setObjectName("start")
        self.setWindowTitle("Loomwright")
        self.resize(760, 620)
        self._scroll = QScrollArea()
        self._scroll.setWidgetResizable(True)
        self._scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self._scroll)

    def refresh(self) -> None:
        """Read the lists again."""
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(40, 32, 40, 32)
        column.setSpacing(8)
        title = QLabel("Loomwright")
        title.setObjectName("heading")
        column.addWidget(title)
        column.addWidget(
            _quiet("Pinouts in, a wiring map that is checked as it is drawn, a build drawing out.")
        )
        column.addSpacing(8)
        row = QHBoxLayout()
        row.addWidget(_button("&New job", self._new, "primary"))
        row.addWidget(_button("&Open a job…", self._open, "plain"))
        row.addStretch(1)
        column.addLayout(row)
        self._list(column, "Recovered work", self._recovered())
        self._list(column, "Recent jobs", [self._row(p) for p in self._recent()])
        samples = sorted((*sheet_of(p), p) for p in sample_jobs_folder().glob("*.loomjob"))
        rows = [(title, "", partial(self._open_path, p)) for _, title, p in samples]
        self._list(column, "Sample jobs, each opened as a copy", rows)
        column.addStretch(1)
        self._scroll.setWidget(body)

    def _list(self, column: QVBoxLayout, heading: str, rows: Sequence[Row]) -> None:
        if not rows:
            return
        label = QLabel(heading)
        label.setObjectName("section")
        column.addSpacing(12)
        column.addWidget(label)
        for name, where, action in rows:
            column.addWidget(RowButton(name, where, action))

    def _row(self, path: Path) -> Row:
        saved = datetime.fromtimestamp(path.stat().st_mtime)
        return path.stem, f"{path.parent}, saved {saved:%Y-%m-%d %H:%M}", partial(self._open_path, path)

    def _recent(self) -> list[Path]:
        return self._program.settings.recent

    def _recovered(self) -> list[Row]:
        """Jobs that were never saved. What reads them is imported only where a crash left any."""
        folder = unsaved_folder()
        if not (folder.is_dir() and any(folder.iterdir())):
            return []
        from core.files.unsaved import list_unsaved

        return [
            (
                unsaved.name if unsaved.name not in ("", "unsaved") else "A job that was never saved",
                f"kept {unsaved.kept_at:%Y-%m-%d %H:%M}",
                partial(self._open_unsaved, unsaved.path),
            )
            for unsaved in list_unsaved()
        ]

    def _open_unsaved(self, path: Path) -> None:
        self._program.open_unsaved(path)

    def _open_path(self, path: Path) -> None:
        self._program.open_path(path)

    def _new(self) -> None:
        from core.job.document import Job

        self._program.open_job(Job())

    def _open(self) -> None:
        name, _ = QFileDialog.getOpenFileName(self, "Open a job", "", "Loomwright jobs (*.loomjob)")
        if name:
            self._program.open_path(Path(name))


class RowButton(QPushButton):
    """A wide button: a name, and at its right a quiet line that gives way where there is no room."""

    def __init__(self, name: str, where: str, action: Callable[[], None]) -> None:
        super().__init__()
        self.setObjectName("row")
        self.setAccessibleName(f"{name}, {where}" if where else name)
        self.setToolTip(where)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 6, 12, 6)
        row.setSpacing(16)
        for text, style in ((name, "row-name"), (where, "quiet")):
            if text:
                label = ElidedLabel(text, style)
                if style == "quiet":
                    label.setAlignment(Qt.AlignmentFlag.AlignRight)
                label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
                row.addWidget(label, 3 if style == "quiet" else 2)
        self.setMinimumHeight(36)
        self.clicked.connect(lambda: action())


def sheet_of(path: Path) -> tuple[str, str]:
    """(number, title) on the sheet of a sample job; without a title, the name of the file."""
    try:
        sheet = json.loads(path.read_bytes())["sheet"]
        number, title = str(sheet.get("number", "")), str(sheet.get("title", ""))
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        number = title = ""
    return number, title or path.stem.replace("_", " ").capitalize()


def _quiet(text: str) -> QLabel:
    label = QLabel(text)
    label.setObjectName("quiet")
    return label


def _button(text: str, action: Callable[[], None], name: str) -> QPushButton:
    button = QPushButton(text)
    button.setObjectName(name)
    button.setAccessibleName(text.replace("&", ""))
    button.clicked.connect(lambda: action())
    return button
