"""What a meter should show: asked of the last finished check's engine, a few answers at a time."""

from __future__ import annotations

import logging
import time
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from app.session import Change, Session
from app.work.live import parted
from core.checks.finding import CheckResult
from core.job.delta import delta
from core.job.document import Job
from core.job.record import Quantity, Reading

if TYPE_CHECKING:
    from core.circuit.engine import Engine

    from app.work.check_service import CheckService

_log = logging.getLogger(__name__)

SLICE_S = 0.008


@dataclass(frozen=True)
class Asked:
    """One place of the meter's two points, what it is set to, and how the circuit stands."""

    red: str
    black: str
    quantity: Quantity
    position: str
    loaded: bool = True
    lifted: str | None = None
    bench: bool = False

    @classmethod
    def of(cls, reading: Reading) -> Asked:
        """What the meter was set to for a reading that was taken."""
        return cls(
            reading.red,
            reading.black,
            reading.quantity,
            reading.position,
            reading.loaded,
            reading.lifted,
            reading.bench,
        )


@dataclass(frozen=True)
class Answer:
    """What the meter should show, in volts, ohms or amps; `words` say why there is no number."""

    value: float | None
    words: str = ""


@dataclass(frozen=True)
class Drain:
    """Amps from the battery with the key off, who takes them (most first), and what that means."""

    amps: float
    by: tuple[tuple[str, float], ...]
    words: str = ""


class Expected(QObject):
    """Works out what is asked, on the event loop. What is known is forgotten when the circuit changes."""

    answered = Signal(object)
    """frozenset of Asked: these have answers now."""
    turned = Signal(object)
    """None: another circuit, or its check is finished; ask again."""

    def __init__(self, session: Session, checks: CheckService, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._checks = checks
        self._answers: dict[Asked, Answer] = {}
        self._waiting: dict[Asked, None] = {}
        self._checked: Job | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._pump)
        session.changed.connect(self._changed)
        session.checked.connect(self._check_finished)

    @property
    def engine(self) -> Engine | None:
        """The engine of the circuit as it is now; None while its check is not finished."""
        return self._engine() if self._checked is not None else None

    def _engine(self) -> Engine | None:
        return getattr(self._checks, "engine", lambda: None)()

    def drain(self) -> Drain | None:
        return None

    def explained(self, asked: Asked, reading: Reading) -> str:
        return ""

    def known(self, asked: Asked) -> Answer | None:
        """The answer where it was worked out already."""
        return self._answers.get(asked)

    def of(self, asked: Asked) -> Answer | None:
        """The answer where it is known; else it is worked out soon, and `answered` tells."""
        known = self._answers.get(asked)
        if known is None:
            self._waiting.pop(asked, None)
            self._waiting[asked] = None
            self._wake()
        return known

    def drop(self, asked: Iterable[Asked]) -> None:
        """Nobody looks at these any more."""
        for one in asked:
            self._waiting.pop(one, None)

    def _changed(self, change: Change) -> None:
        if self._checked is not None and not same_circuit(self._checked, change.after):
            self._checked = None
            self._answers.clear()
            self._timer.stop()
            self.turned.emit(None)

    def _check_finished(self, result: CheckResult) -> None:
        if not same_circuit(result.job, self._session.job):
            return
        fresh = self._checked is None
        self._checked = result.job
        if fresh:
            self.turned.emit(None)
        self._wake()

    def _wake(self) -> None:
        if self._waiting and self._checked is not None and not self._timer.isActive():
            self._timer.start(0)

    def _pump(self) -> None:
        engine = self.engine
        if engine is None:
            return
        until = time.monotonic() + SLICE_S
        done: list[Asked] = []
        while self._waiting and (not done or time.monotonic() < until):
            # The last asked for is what is looked at now.
            asked, _ = self._waiting.popitem()
            self._answers[asked] = _worked_out(engine, asked)
            done.append(asked)
        self._wake()
        if done:
            self.answered.emit(frozenset(done))


def _worked_out(engine: Engine, asked: Asked) -> Answer:
    from core.circuit.probe import Probe

    probe = Probe(asked.red, asked.black, asked.quantity, asked.lifted, asked.loaded, asked.bench)
    try:
        shown = engine.reading(probe, parted(asked.position))
    except Exception:
        _log.exception("the reading %r could not be worked out", asked)
        return Answer(None, "could not be worked out")
    return Answer(shown.value, shown.words)


def same_circuit(before: Job, after: Job) -> bool:
    """Whether two documents differ in nothing that a meter would notice."""
    if before is after:
        return True
    step = delta(before, after)
    touched = {*step.added, *step.removed, *step.changed} - {"notes"}
    return not touched and (before.settings is after.settings or before.settings == after.settings)
