"""Jobs that were never saved: what a crash left of them, in the user's data folder."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from filelock import FileLock, Timeout

from core.files import SUFFIX
from core.files.atomic import sweep
from core.paths import unsaved_folder


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
            lock = taken(file)
            if lock is None:
                continue
            with contextlib.suppress(FileNotFoundError):
                at = datetime.fromtimestamp(file.stat().st_mtime).astimezone()
                found.append(Unsaved(file, file.stem.rpartition("-")[0], at))
            given_up(lock)
    return tuple(sorted(found, key=lambda unsaved: unsaved.kept_at, reverse=True))


def drop_unsaved(unsaved: Unsaved) -> None:
    """Removes it: it was saved under a name, or given up."""
    lock = taken(unsaved.path)
    if lock is None:
        return
    sweep(unsaved.path)
    with contextlib.suppress(OSError):
        unsaved.path.unlink(missing_ok=True)
    given_up(lock)


def taken(file: Path) -> FileLock | None:
    """The lock of a file in the folder of unsaved jobs; None where a running program has it."""
    lock = FileLock(file.with_name(f".{file.name}.lock"), timeout=0, thread_local=False)
    try:
        lock.acquire()
    except (OSError, Timeout):
        return None
    return lock


def given_up(lock: FileLock) -> None:
    """Removes the lock's file while it is held, so that who waits for it asks anew; then releases it."""
    with contextlib.suppress(OSError):
        Path(lock.lock_file).unlink(missing_ok=True)
    lock.release()
