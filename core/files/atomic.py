"""Files are written whole or not at all, and what the system says is put in plain words."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import stat
from pathlib import Path

from core.errors import FileProblem

_TEMPORARY = ".tmp"
_CAUSES = {
    errno.ENOENT: "there is no such file or folder",
    errno.ENOTDIR: "a part of its path is no folder",
    errno.EISDIR: "is a folder, not a file",
    errno.EACCES: "permission denied",
    errno.EPERM: "permission denied",
    errno.EROFS: "the disk is read-only",
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the quota of the disk is used up",
    errno.EFBIG: "the file is too large for the disk",
    errno.ENAMETOOLONG: "the name is too long",
    errno.ELOOP: "its links lead in a circle",
    errno.EIO: "the disk reports a fault",
    errno.ETXTBSY: "another program is using it",
    errno.EBUSY: "another program is using it",
}


def problem(path: Path, error: OSError, doing: str = "") -> FileProblem:
    """What the system refused, for people: `doing` is a phrase such as `cannot be saved`."""
    cause = _CAUSES.get(error.errno or 0, error.strerror or str(error))
    return FileProblem(str(path), f"{doing}: {cause}" if doing else cause)


def real_path(path: Path) -> Path:
    """Where a path leads: a link is written through, never replaced by a file. Raises FileProblem."""
    try:
        return path.resolve()
    except OSError as error:
        raise problem(path, error) from error
    except (ValueError, RuntimeError) as error:
        raise FileProblem(str(path), "is not a name that a file can have") from error


def read_whole(path: Path, most_bytes: int) -> bytes:
    """A regular file, and no more of it than one byte above `most_bytes`. Raises FileProblem."""
    try:
        kind = path.stat().st_mode
        if stat.S_ISDIR(kind):
            raise FileProblem(str(path), "is a folder, not a file")
        if not stat.S_ISREG(kind):
            raise FileProblem(str(path), "is a device or a pipe, not a file")
        with path.open("rb") as file:
            return file.read(most_bytes + 1)
    except OSError as error:
        raise problem(path, error) from error
    except ValueError as error:
        raise FileProblem(str(path), "is not a name that a file can have") from error


def write_whole(path: Path, data: bytes) -> None:
    """Puts `data` in place of the file at one stroke: it holds the old or the new bytes, whatever happens.

    An old file's permissions and owner are kept; a write-protected one is refused. Raises FileProblem;
    then the old file is untouched and nothing else is left behind.
    """
    target = real_path(path)
    temporary = _temporary(target)
    try:
        _refuse_what_is_protected(path, target)
        try:
            _write_through(temporary, data)
            _keep_permissions(target, temporary)
            temporary.replace(target)
        except BaseException:
            with contextlib.suppress(OSError):
                temporary.unlink(missing_ok=True)
            raise
        _sync_folder(target.parent)
    except OSError as error:
        raise problem(path, error, "cannot be written") from error


def sweep(path: Path) -> None:
    """Removes what a killed writer of that file, or of a file named after it, left. For its lock holder."""
    starts = (f".{path.name}~", f"..{path.name}.")
    with contextlib.suppress(OSError):
        for entry in os.scandir(path.parent):
            if entry.name.startswith(starts) and entry.name.endswith(_TEMPORARY):
                Path(entry.path).unlink(missing_ok=True)


def _sync_folder(folder: Path) -> None:
    """Makes a new name in a folder last through a power cut, where the system can."""
    if os.name != "posix":
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _refuse_what_is_protected(path: Path, target: Path) -> None:
    # A new file could take the place of a write-protected one, but that is not what protection means.
    if target.is_dir():
        raise FileProblem(str(path), "cannot be written: is a folder, not a file")
    if target.exists() and not os.access(target, os.W_OK):
        raise FileProblem(str(path), "cannot be written: it is write-protected")


def _temporary(target: Path) -> Path:
    # A long name is shortened: what is added must not make it longer than a file system allows.
    start = f".{target.name}~" if len(os.fsencode(target.name)) < 200 else ".loomwright~"
    return target.with_name(f"{start}{secrets.token_hex(6)}{_TEMPORARY}")


def _write_through(temporary: Path, data: bytes) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    with open(os.open(temporary, flags, 0o666), "wb") as file:  # noqa: PTH123  a descriptor, not a path
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _keep_permissions(target: Path, temporary: Path) -> None:
    try:
        old = target.stat()
    except FileNotFoundError:
        return
    if os.name == "posix":
        new = temporary.stat()
        if (old.st_uid, old.st_gid) != (new.st_uid, new.st_gid):
            with contextlib.suppress(OSError):
                os.chown(temporary, old.st_uid, old.st_gid)
    temporary.chmod(stat.S_IMODE(old.st_mode))
