"""What is written while a job is edited, so that a crash or a power cut takes a second of work at most.

The recovery of `NAME.loomjob` is `.NAME.loomjob.recovery` beside it. A job that was never saved, or whose
folder cannot be written, has its recovery in the user's data folder, under `unsaved`.
A recovery is a whole job file: `load_job` opens it.
"""

from __future__ import annotations

import contextlib
import secrets
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import platformdirs
from filelock import FileLock, Timeout

from core.errors import FileProblem
from core.files.atomic import problem, real_path, sweep, write_whole
from core.files.job_file import SUFFIX
from core.files.text import dump_job
from core.job.document import Job


def unsaved_folder() -> Path:
    """Where recoveries of jobs without a place of their own are kept."""
    return platformdirs.user_data_path("loomwright", appauthor=False) / "unsaved"


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
            _give_up(self._lock)
            self._lock = None

    def _place(self) -> Path:
        if self._lock is not None and self._file is not None:
            return self._file
        folder = self._folder or unsaved_folder()
        stem = self._target.stem if self._target is not None else "unsaved"
        file = folder / f"{stem[:60]}-{secrets.token_hex(4)}{SUFFIX}"
        try:
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            lock = FileLock(_lock_name(file), timeout=0, thread_local=False)
            lock.acquire()
        except (OSError, Timeout) as error:
            raise problem(file, error, "the recovery cannot be written") from error
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


@dataclass(frozen=True, slots=True)
class Unsaved:
    """A job that was open when its program ended, and that is in no file of its own."""

    path: Path
    name: str
    kept_at: datetime


def list_unsaved(folder: Path | None = None) -> tuple[Unsaved, ...]:
    """Every such job, the youngest first; none that a running program still has open."""
    folder = folder or unsaved_folder()
    found: list[Unsaved] = []
    with contextlib.suppress(OSError):
        for file in folder.glob(f"*{SUFFIX}"):
            lock = _free(file)
            if lock is None:
                continue
            with contextlib.suppress(FileNotFoundError):
                at = datetime.fromtimestamp(file.stat().st_mtime).astimezone()
                found.append(Unsaved(file, file.stem.rpartition("-")[0], at))
            lock.release()
    return tuple(sorted(found, key=lambda unsaved: unsaved.kept_at, reverse=True))


def drop_unsaved(unsaved: Unsaved) -> None:
    """Removes it: it was saved under a name, or given up."""
    lock = _free(unsaved.path)
    if lock is None:
        return
    sweep(unsaved.path)
    with contextlib.suppress(OSError):
        unsaved.path.unlink(missing_ok=True)
    _give_up(lock)


def _beside(target: Path) -> Path:
    return target.with_name(f".{target.name}.recovery")


def _lock_name(file: Path) -> Path:
    return file.with_name(f".{file.name}.lock")


def _free(file: Path) -> FileLock | None:
    """The lock of a file in the folder of unsaved jobs, taken; None where a running program has it."""
    lock = FileLock(_lock_name(file), timeout=0, thread_local=False)
    try:
        lock.acquire()
    except (OSError, Timeout):
        return None
    return lock


def _give_up(lock: FileLock) -> None:
    with contextlib.suppress(OSError):
        Path(lock.lock_file).unlink(missing_ok=True)
    lock.release()
