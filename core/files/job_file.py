"""Job files: opened whole or refused, saved at one stroke, with the last versions kept.

Beside `NAME.loomjob` stands a hidden folder `.NAME.loomjob.versions` with the last saved versions,
numbered upwards: `NAME-0007.loomjob` is younger than `NAME-0006.loomjob`. Each opens like any job.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
from dataclasses import dataclass
from pathlib import Path

from core.errors import FileProblem
from core.files.atomic import problem, read_whole, real_path, sweep, write_whole
from core.files.json_text import MOST_BYTES, check_limits, check_size
from core.files.text import dump_job, parse_job
from core.job.document import Job

KEPT_VERSIONS = 5


@dataclass(frozen=True, slots=True)
class Stamp:
    """What a file held when it was read or written. Equal stamps mean equal contents."""

    size: int
    digest: bytes


class ChangedOnDisk(FileProblem):
    """Somebody else changed the file after it was opened here. Nothing was overwritten."""


def load_job(path: Path) -> Job:
    """The job in a file. Raises FileProblem."""
    return open_job(path)[0]


def open_job(path: Path) -> tuple[Job, Stamp]:
    """The job in a file, and the stamp that `save_job` asks for later. Raises FileProblem."""
    data = read_whole(path, MOST_BYTES)
    check_size(len(data), str(path))
    return parse_job(data, str(path)), _stamp(data)


def save_job(path: Path, job: Job, keep: int = KEPT_VERSIONS, *, since: Stamp | None = None) -> Stamp:
    """Saves the job and gives the file's new stamp. The version that stood there is kept, `keep` at most.

    With `since` (the stamp from opening or the last save) a file that somebody else changed meanwhile is
    not overwritten. Raises ChangedOnDisk or FileProblem; the old file is then as it was.
    """
    data = dump_job(job)
    check_limits(data, str(path))
    target = real_path(path)
    new = _stamp(data)
    old = _stamp_of(target)
    if old is not None and since is not None and old != since:
        raise ChangedOnDisk(str(path), "was changed by another program since it was opened; not overwritten")
    if old == new:
        return new
    if old is not None and keep > 0:
        try:
            _keep_version(target, keep)
        except OSError as error:
            raise problem(path, error, "cannot be saved, because its last version cannot be kept") from error
    write_whole(path, data)
    return new


def versions(path: Path) -> tuple[Path, ...]:
    """The kept versions of a job file, the youngest first."""
    numbered = sorted(_numbered(real_path(path)), reverse=True)
    return tuple(version for _, version in numbered)


def _stamp(data: bytes) -> Stamp:
    return Stamp(len(data), hashlib.blake2b(data, digest_size=16).digest())


def _stamp_of(target: Path) -> Stamp | None:
    try:
        target.stat()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise problem(target, error, "cannot be saved") from error
    # A file above the limit was never opened here: its first part is enough to tell that it differs.
    return _stamp(read_whole(target, MOST_BYTES))


def _folder(target: Path) -> Path:
    return target.with_name(f".{target.name}.versions")


def _numbered(target: Path) -> list[tuple[int, Path]]:
    start, end = f"{target.stem}-", target.suffix
    found = []
    with contextlib.suppress(FileNotFoundError, NotADirectoryError):
        for entry in _folder(target).iterdir():
            number = entry.name.removeprefix(start).removesuffix(end)
            if entry.name.startswith(start) and number.isascii() and number.isdecimal():
                found.append((int(number), entry))
    return found


def _keep_version(target: Path, keep: int) -> None:
    _folder(target).mkdir(exist_ok=True)
    kept = sorted(_numbered(target))
    number = kept[-1][0] + 1 if kept else 1
    version = _folder(target) / f"{target.stem}-{number:04}{target.suffix}"
    if kept and kept[-1][1].stat().st_ino == target.stat().st_ino and os.name == "posix":
        return  # a save that was interrupted kept this very version already
    try:
        version.hardlink_to(target)
    except OSError:
        sweep(version)
        write_whole(version, target.read_bytes())  # a disk without links
    kept.append((number, version))
    for _, old in kept[:-keep]:
        old.unlink(missing_ok=True)
