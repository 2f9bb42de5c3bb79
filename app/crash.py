"""What happens on an error that nobody foresaw: log it, keep the work, say so, go on if that is safe."""

from __future__ import annotations

import logging
import sys
import time
from collections.abc import Callable
from pathlib import Path
from types import TracebackType

import platformdirs

log = logging.getLogger("loomwright")
SECONDS_BETWEEN = 10.0


def log_folder() -> Path:
    return Path(platformdirs.user_log_dir("loomwright", appauthor=False))


class CrashGuard:
    """Installed as `sys.excepthook`. The second unforeseen error within ten seconds ends the program.

    `keep_work` writes every open job's recovery file; `tell` shows a message; `leave` ends the program.
    """

    def __init__(
        self,
        keep_work: Callable[[], None],
        tell: Callable[[str], None],
        leave: Callable[[], None],
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._keep_work = keep_work
        self._tell = tell
        self._leave = leave
        self._clock = clock
        self._last = -SECONDS_BETWEEN

    def install(self) -> None:
        sys.excepthook = self.handle

    def handle(self, kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            self._leave()
            return
        log.error("unforeseen error", exc_info=(kind, error, trace))
        now = self._clock()
        again = now - self._last < SECONDS_BETWEEN
        self._last = now
        try:
            self._keep_work()
        except Exception:
            log.exception("the work could not be kept")
        if again:
            self._leave()
            return
        self._tell(
            "Something went wrong inside Loomwright. Your work was kept. "
            f"The details are in {log_folder() / 'loomwright.log'}. "
            "If it happens again at once, the program will close."
        )


def start_log() -> None:
    """Write the log to the user's log folder; without one, to the error stream alone."""
    folder = log_folder()
    handler: logging.Handler
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handler = logging.FileHandler(folder / "loomwright.log", encoding="utf-8", delay=True)
    except OSError:
        handler = logging.StreamHandler()
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
    log.addHandler(handler)
