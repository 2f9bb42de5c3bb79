"""The file behind one window: its lock, its saves, and the recovery written while it is edited."""

from __future__ import annotations

import contextlib
import logging
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QObject, QTimer

from app.session import Change, Session
from core.errors import FileProblem
from core.files.job_file import Stamp, open_job, save_job
from core.files.lock import JobLock
from core.files.recovery import Recovery, drop_recovery, find_recovery
from core.job.document import Job

log = logging.getLogger("loomwright")
RECOVERY_DELAY_MS = 500
"""From an edit to its recovery; the promise is one second."""


class Opened(NamedTuple):
    """A job file as it was opened. `recovered` is set where a crash left younger work than the file."""

    job: Job
    stamp: Stamp | None
    lock: JobLock
    recovered: Job | None


def open_file(path: Path) -> Opened:
    """Open a job file and take its lock where it is free. Raises FileProblem; then nothing is held."""
    lock = JobLock(path)
    try:
        job, stamp = open_job(path)
        recovered = _recovered(path) if lock.mine else None
    except FileProblem:
        lock.release()
        raise
    return Opened(job, stamp, lock, recovered)


def _recovered(path: Path) -> Job | None:
    """The work that a crash left beside the file; what cannot be read is left alone and said in the log."""
    found = find_recovery(path)
    if found is None:
        return None
    try:
        return open_job(found)[0]
    except FileProblem as problem:
        log.warning("recovery not readable: %s", problem)
        return None


class JobFile(QObject):
    """Saves, autosaves and locks for a session. Every save and every recovery is one stroke on the disk."""

    def __init__(self, session: Session, opened: Opened | None = None, path: Path | None = None) -> None:
        super().__init__(session)
        self._session = session
        self._lock = opened.lock if opened else None
        self._stamp = opened.stamp if opened else None
        self._recovery = Recovery(path, beside=bool(opened and opened.lock.mine))
        self.problem = ""
        session.set_file(path, opened.lock.because if opened and not opened.lock.mine else "")
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self.keep_work)
        session.changed.connect(self._changed)

    def save(self, path: Path) -> None:
        """Write the job to `path` and go on there. Raises FileProblem; the old file is then as it was."""
        job = self._session.job
        same = path == self._session.path and self._lock is not None and self._lock.mine
        lock = self._lock if same else JobLock(path)
        if lock is None or not lock.mine:
            because = lock.because if lock else "it cannot be locked"
            raise FileProblem(str(path), because)
        try:
            stamp = save_job(path, job, since=self._stamp if same else None)
        except FileProblem:
            if not same:
                lock.release()
            raise
        self._recovery.drop()
        if not same:
            if self._lock is not None:
                self._lock.release()
            drop_recovery(path)
            self._recovery = Recovery(path)
        self._lock, self._stamp = lock, stamp
        self._timer.stop()
        self._session.set_file(path)
        self._session.mark_saved(job)

    def keep_work(self) -> None:
        """Write the recovery now, where there is something to keep."""
        if not self._session.modified:
            self._recovery.drop()
            return
        try:
            self._recovery.write(self._session.job)
            self.problem = ""
        except FileProblem as problem:
            if not self.problem:
                self._session.refused.emit(f"Your work cannot be kept against a crash: {problem}")
            self.problem = str(problem)

    def close(self) -> None:
        """Give up the lock and the recovery: the job was saved, or the user gave its changes up."""
        self._timer.stop()
        self._recovery.drop()
        if self._lock is not None:
            with contextlib.suppress(OSError):
                self._lock.release()
            self._lock = None

    def _changed(self, change: Change) -> None:
        if not self._timer.isActive():
            self._timer.start(RECOVERY_DELAY_MS)
