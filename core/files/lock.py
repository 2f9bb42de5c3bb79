"""Who has a job open. The system's own lock decides, so a killed program leaves nothing locked.

Beside `NAME.loomjob` stand, while it is open, `.NAME.loomjob.lock` (the lock) and `.NAME.loomjob.user`
(who holds it, for the others to read). Either may be left by a killed program; neither then means anything.
"""

from __future__ import annotations

import contextlib
import errno
import getpass
import json
import os
import socket
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path

from filelock import FileLock, Timeout

from core.errors import FileProblem
from core.files.atomic import problem, real_path, sweep, write_whole

_MOST_BYTES = 4096
_MOST_CHARACTERS = 100


@dataclass(frozen=True, slots=True)
class Holder:
    """Who has a job open, on which machine, and since when (ISO date and time, that machine's clock)."""

    name: str
    host: str
    since: str


class JobLock:
    """The right to write one job file, from making until `release` or the end of the process.

    `mine` says whether this process has it. If not, `holder` is who has, where that is known, and
    `because` says in words why the job is read-only here.
    """

    def __init__(self, path: Path) -> None:
        """Takes the lock if it is free. Never waits. Raises FileProblem only for an impossible path."""
        self._target = real_path(path)
        self._lock = FileLock(
            _beside(self._target, "lock"), timeout=0, thread_local=False, fallback_to_soft=False
        )
        self.mine = False
        self.holder: Holder | None = None
        self.because = ""
        if not self._target.parent.is_dir():
            self.because = "its folder does not exist"
            return
        try:
            self._lock.acquire()
        except Timeout:
            self.holder = _read_holder(self._target)
            self.because = "somebody else has it open"
            if self.holder is not None:
                self.because = f"{self.holder.name} has it open on {self.holder.host}"
        except OSError as error:
            self._without_lock(error)
        else:
            self.mine = True
            self._taken()

    def release(self) -> None:
        """Gives the lock back and removes its files. A second call does nothing."""
        if self.mine and self._lock.is_locked:
            with contextlib.suppress(OSError):
                _beside(self._target, "user").unlink(missing_ok=True)
            if os.name == "posix":
                # Removed while it is still held: who waits for it sees that it lost its name and asks anew.
                with contextlib.suppress(OSError):
                    _beside(self._target, "lock").unlink(missing_ok=True)
            self._lock.release()
        self.mine = False

    def _without_lock(self, error: OSError) -> None:
        if error.errno in (errno.ENOSYS, errno.EOPNOTSUPP, errno.ENOLCK):
            # A disk without locks. The stamp that save_job compares still guards against overwriting.
            self.mine = True
        else:
            self.because = f"nothing can be written beside it ({problem(self._target, error).cause})"

    def _taken(self) -> None:
        if self._target.exists() and not os.access(self._target, os.W_OK):
            self.release()
            self.because = "the file is write-protected"
            return
        sweep(self._target)
        now = datetime.now().astimezone().isoformat(timespec="seconds")
        holder = Holder(_own_name(), socket.gethostname() or "this machine", now)
        with contextlib.suppress(FileProblem):
            write_whole(_beside(self._target, "user"), json.dumps(asdict(holder)).encode())


def _beside(target: Path, ending: str) -> Path:
    return target.with_name(f".{target.name}.{ending}")


def _own_name() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return "somebody"


def _read_holder(target: Path) -> Holder | None:
    try:
        with _beside(target, "user").open("rb") as file:
            said = json.loads(file.read(_MOST_BYTES))
        words = [_one_line(said[key]) for key in ("name", "host", "since")]
    except (OSError, ValueError, LookupError, TypeError, RecursionError):
        return None
    return Holder(*words)


def _one_line(text: object) -> str:
    return "".join(c for c in str(text) if c.isprintable())[:_MOST_CHARACTERS]
