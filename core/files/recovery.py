"""What is written while a job is edited, so that a crash or a power cut takes a second of work at most.

The recovery of `NAME.loomjob` is `.NAME.loomjob.recovery` beside it. A job that was never saved, or whose
folder cannot be written, has its recovery in the user's data folder, under `unsaved`.
A recovery is a whole job file: `load_job` opens it.
"""

from __future__ import annotations

import contextlib
import secrets
from pathlib import Path

from filelock import FileLock

from core.errors import FileProblem
from core.files import SUFFIX
from core.files.atomic import problem, real_path, write_whole
from core.files.text import dump_job
from core.files.unsaved import given_up, taken
from core.job.document import Job
from core.paths import unsaved_folder


class Recovery:
    """Writes one open job's recovery. `path` is its file; None for a job that was never saved.

    A job that somebody else has open has no place beside its file: give `beside=False`.
    """

    def __init__(self, path: Path | None, *, beside: bool = True, folder: Path | None = None) -> None:
        self._target = real_path(path) if path is not None else None
        self._beside = beside and self._target is not None
        self._folder = folder
        self._lock: FileLock | None = None
        self._file = self._left_behind()
        self._written: bytes | None = None

    def _left_behind(self) -> Path | None:
        """What a crash left beside the file: ours now, and removed with the next save."""
        if self._target is None or not self._beside:
            return None
        file = _beside(self._target)
        return file if file.is_file() else None

    @property
    def file(self) -> Path | None:
        """Where the recovery stands; None as long as there is none."""
        return self._file

    def write(self, job: Job) -> None:
        """Keeps the job as it is now, at one stroke. Raises FileProblem where that is possible nowhere."""
        data = dump_job(job)
        if data == self._written:
            return
        if self._beside and self._target is not None:
            file = _beside(self._target)
            try:
                write_whole(file, data)
            except FileProblem:
                self._beside = False
            else:
                self._file, self._written = file, data
                return
        write_whole(self._place(), data)
        self._written = data

    def drop(self) -> None:
        """Removes the recovery: the job was saved, or its changes were given up."""
        if self._file is not None:
            with contextlib.suppress(OSError):
                self._file.unlink(missing_ok=True)
        self._file = self._written = None
        if self._lock is not None:
            given_up(self._lock)
            self._lock = None

    def _place(self) -> Path:
        if self._lock is not None and self._file is not None:
            return self._file
        folder = self._folder or unsaved_folder()
        stem = self._target.stem if self._target is not None else "unsaved"
        file = folder / f"{stem[:60]}-{secrets.token_hex(4)}{SUFFIX}"
        try:
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        except OSError as error:
            raise problem(file, error, "the recovery cannot be written") from error
        lock = taken(file)
        if lock is None:
            raise FileProblem(str(file), "the recovery cannot be written: it cannot be locked")
        self._lock, self._file = lock, file
        return file


def find_recovery(path: Path) -> Path | None:
    """The recovery beside a job file, if it is younger than the file and says something else.

    Only for who holds the job's lock: else it belongs to the one who has the job open.
    """
    target = real_path(path)
    recovery = _beside(target)
    try:
        if not recovery.is_file():
            return None
        if not target.exists():
            return recovery
        if recovery.stat().st_mtime_ns < target.stat().st_mtime_ns:
            return None
        return None if recovery.read_bytes() == target.read_bytes() else recovery
    except OSError as error:
        raise problem(recovery, error) from error


def drop_recovery(path: Path) -> None:
    """Removes the recovery beside a job file."""
    target = real_path(path)
    with contextlib.suppress(OSError):
        _beside(target).unlink(missing_ok=True)


def _beside(target: Path) -> Path:
    return target.with_name(f".{target.name}.recovery")
