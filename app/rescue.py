"""What can still be had of a job file that cannot be read: the last work kept, or an older version."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMessageBox, QWidget

from core.errors import FileProblem, UserError
from core.files.job_file import load_job, versions
from core.files.recovery import find_recovery
from core.job.document import Job


class Rescued(NamedTuple):
    """A job that can be read, and how it is told from others."""

    job: Job
    words: str


def find_rescue(path: Path) -> Rescued | None:
    """The youngest of the recovery and the kept versions of a job file that can be read."""
    for file in sorted(_candidates(path), key=_age, reverse=True):
        try:
            job = load_job(file)
        except FileProblem:
            continue
        kept = "the work kept while it was edited" if file.suffix == ".recovery" else "the version kept"
        return Rescued(job, f"{kept}, of {datetime.fromtimestamp(_age(file)):%Y-%m-%d %H:%M}")
    return None


def _candidates(path: Path) -> Iterable[Path]:
    yield from versions(path)
    try:
        recovery = find_recovery(path)
    except FileProblem:
        return
    if recovery is not None:
        yield recovery


def _age(file: Path) -> float:
    try:
        return file.stat().st_mtime
    except OSError:
        return 0.0


def offer(parent: QWidget | None, problem: UserError, rescued: Rescued) -> bool:
    """Tell the problem and ask whether the other one is to be opened instead."""
    box = QMessageBox(
        QMessageBox.Icon.Warning,
        "Loomwright",
        "The job could not be opened",
        QMessageBox.StandardButton.Open | QMessageBox.StandardButton.Cancel,
        parent,
    )
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setInformativeText(
        f"{problem}\n\nThere is {rescued.words}. It opens as a copy that is not saved; "
        "the file stays as it is until you save over it."
    )
    box.button(QMessageBox.StandardButton.Open).setText("Open that copy")
    box.setDefaultButton(QMessageBox.StandardButton.Open)
    return bool(box.exec() == QMessageBox.StandardButton.Open)
