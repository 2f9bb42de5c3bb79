"""Runs the checks beside the user: in slices of a few milliseconds on the event loop, never in a thread."""

from __future__ import annotations

import time
from collections.abc import Generator
from typing import TYPE_CHECKING

from PySide6.QtCore import QEventLoop, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QGuiApplication

from app.session import Change, Session
from app.work.live import parted
from core.checks.finding import CheckResult

if TYPE_CHECKING:
    from core.checks.runner import Checker
    from core.circuit.engine import Engine

SLICE_S = 0.005
LEAST_BETWEEN_MS = 150
"""A new document closes the running check at most this often; in between the old one finishes."""


class CheckService(QObject):
    """Owns the one checker of a window. `running` tells whether what is shown may be out of date."""

    running = Signal(object)
    """bool: a check is under way."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._checker: Checker | None = None
        self._steps: Generator[None, None, CheckResult] | None = None
        self._wanted = True
        self._started_at = -1.0
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._pump)
        session.changed.connect(self._document_changed)
        session.position_changed.connect(self._show_position)

    def start(self) -> None:
        """Check the document as it stands."""
        self._wanted = True
        self._timer.start(0)

    @property
    def busy(self) -> bool:
        return self._wanted or self._steps is not None

    def wait_until_idle(self, timeout_ms: int = 10_000) -> bool:
        """Run the event loop until the check of the present document is finished."""
        until = time.monotonic() + timeout_ms / 1000
        while self.busy and time.monotonic() < until:
            QGuiApplication.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 10)
        return not self.busy

    def engine(self) -> Engine | None:
        """What answers for the circuit of the present document; None until its check is finished."""
        return None if self.busy or self._checker is None else self._checker.engine()

    def final_result(self) -> CheckResult:
        """A check of the present document as for print and hand-over: what is open counts."""
        steps = _checker(self._session, final=True).run(self._session.job)
        while True:
            try:
                next(steps)
            except StopIteration as finished:
                result: CheckResult = finished.value
                return result

    def _document_changed(self, change: Change) -> None:
        if not change.delta.meaning:
            return
        self._wanted = True
        self._session.take_shown(None)
        if not self._timer.isActive():
            self._timer.start(0)
        self.running.emit(True)

    def _show_position(self, _: object = None) -> None:
        """Tell the session what stands where in its position; nothing while that may be out of date."""
        name, ready = self._session.position, not self.busy and self._checker is not None
        shown = self._checker.shown(parted(name)) if name and ready and self._checker else None
        self._session.take_shown(shown)

    def _pump(self) -> None:
        if QGuiApplication.mouseButtons() != Qt.MouseButton.NoButton:
            self._timer.start(30)
            return
        now = time.monotonic()
        if self._wanted and (self._steps is None or now - self._started_at > LEAST_BETWEEN_MS / 1000):
            self._begin(now)
        if self._steps is None:
            return
        until = now + SLICE_S
        try:
            while time.monotonic() < until:
                next(self._steps)
        except StopIteration as finished:
            self._steps = None
            self._session.take_result(finished.value)
            self._show_position()
            if not self._wanted:
                self.running.emit(False)
        if self.busy:
            self._timer.start(0)

    def _begin(self, now: float) -> None:
        if self._steps is not None:
            self._steps.close()
        self._wanted = False
        self._started_at = now
        if self._checker is None:
            self._checker = _checker(self._session, final=False)
        self._steps = self._checker.run(self._session.job)


def _checker(session: Session, *, final: bool) -> Checker:
    """The rules and the net graph are read with the first check, after the map is on the screen."""
    from core.checks.runner import Checker

    return Checker(session.library, final=final)
