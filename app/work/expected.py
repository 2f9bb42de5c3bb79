"""What a meter should show: asked of the last finished check's engine, a few answers at a time."""

from __future__ import annotations

import logging
import time
from collections.abc import Generator, Iterable, Iterator
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
    from app.work.check_service import CheckService
    from core.circuit.drain import Draw
    from core.circuit.engine import Engine
    from core.circuit.probe import Probe

_log = logging.getLogger(__name__)

SLICE_S = 0.008
MOST_METERED = 250
"""In a job of more wires than this the 10 Mohm of a meter on volts are left out: each would take a solve."""


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
class Cause:
    """One stretch of the way, ids in order, and how many ohms more in it; None: it is open.

    A cause without a path has `words` alone: why none was found.
    """

    path: tuple[str, ...]
    ohms: float | None
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
    explained = Signal(object)
    """(Asked, what was measured, tuple of Cause): what would explain it, the likeliest first."""
    turned = Signal(object)
    """None: another circuit, or its check is finished; ask again."""

    def __init__(self, session: Session, checks: CheckService, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._checks = checks
        self._answers: dict[Asked, Answer] = {}
        self._waiting: dict[Asked, None] = {}
        self._checked: Job | None = None
        self._bench: Iterator[None] | None = None
        self._question: tuple[Asked, float] | None = None
        self._looking: Generator[None, None, list[Cause]] | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._pump)
        session.changed.connect(self._changed)
        session.checked.connect(self._check_finished)

    @property
    def engine(self) -> Engine | None:
        """The engine of the circuit as it is now; None while its check is not finished."""
        return self._checks.engine() if self._checked is not None else None

    def drain(self) -> Drain | None:
        """The drain with the key off; None while the check is not finished."""
        engine = self.engine
        return None if engine is None else _drain(engine)

    def explain(self, asked: Asked, measured: float) -> None:
        """Look for what would make the meter show this; `explained` tells. Only the last question counts."""
        engine = self.engine
        self._question = (asked, measured)
        self._looking = None if engine is None else _explaining(engine, asked, measured)
        self._wake()

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
            self._bench = self._looking = None
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
        wanted = self._waiting or self._looking is not None
        if wanted and self._checked is not None and not self._timer.isActive():
            self._timer.start(0)

    def _pump(self) -> None:
        engine = self.engine
        if engine is None:
            return
        until = time.monotonic() + SLICE_S
        done: list[Asked] = []
        while self._waiting and (not done or time.monotonic() < until):
            # The last asked for is what is looked at now.
            asked = next(reversed(self._waiting))
            if asked.bench and not self._bench_ready(engine, until):
                break
            del self._waiting[asked]
            self._answers[asked] = _worked_out(engine, asked)
            done.append(asked)
        if not self._waiting:
            self._look(until)
        self._wake()
        if done:
            self.answered.emit(frozenset(done))

    def _look(self, until: float) -> None:
        """Go on looking for what explains a reading, after all that is waited for in the sheet."""
        looking, question = self._looking, self._question
        if looking is None or question is None:
            return
        try:
            while time.monotonic() < until:
                next(looking)
        except StopIteration as found:
            self._looking = None
            self.explained.emit((*question, tuple(found.value)))

    def _bench_ready(self, engine: Engine, until: float) -> bool:
        """The circuit on the bench supply is worked out when it is first asked for, in slices too."""
        if self._bench is None:
            self._bench = iter(engine.other.steps())
        for _ in self._bench:
            if time.monotonic() > until:
                return False
        return True


def _worked_out(engine: Engine, asked: Asked) -> Answer:
    try:
        return _at_once(engine, asked) or _metered(engine, asked)
    except Exception:
        _log.exception("the reading %r could not be worked out", asked)
        return Answer(None, "could not be worked out")


def _metered(engine: Engine, asked: Asked) -> Answer:
    shown = engine.reading(_probe(asked), parted(asked.position))
    return Answer(shown.value, shown.words)


def _at_once(engine: Engine, asked: Asked) -> Answer | None:
    """Volts of a large job as it is, from its operating point; None where the meter has to be held to it."""
    plain = asked == Asked(asked.red, asked.black, "volts", asked.position)
    if not plain or len(engine.job.lookup.conductors) <= MOST_METERED:
        return None
    point = engine.point(parted(asked.position))
    red, black = point.volts(asked.red), point.volts(asked.black)
    return None if red is None or black is None else Answer(red - black)


def _explaining(engine: Engine, asked: Asked, measured: float) -> Generator[None, None, list[Cause]]:
    from core.circuit.explain import explaining

    try:
        found = yield from explaining(engine, _probe(asked), parted(asked.position), measured)
    except Exception:
        _log.exception("the reading %r could not be explained", asked)
        return [Cause((), None, "what would explain it could not be worked out")]
    causes = [Cause(stretch.path, stretch.ohms) for stretch in found.stretches]
    return causes or [Cause((), None, found.words)]


def _probe(asked: Asked) -> Probe:
    from core.circuit.probe import Probe

    return Probe(asked.red, asked.black, asked.quantity, asked.lifted, asked.loaded, asked.bench)


def _drain(engine: Engine) -> Drain:
    from core.circuit.drain import drain

    found = drain(engine)
    hours = f"{found.battery_amp_hours:g} Ah{'' if found.battery_stated else ', assumed'}"
    words = []
    if found.days_to_half is not None:
        words.append(f"The battery ({hours}) is half empty in {_days(found.days_to_half)}.")
    else:
        words.append("Next to nothing is drawn.")
    unknown = dict.fromkeys(name.partition("#")[0] for name in found.not_stated)
    if unknown:
        words.append(f"Not counted, for nobody stated what they draw: {', '.join(unknown)}.")
    for after in found.after_run:
        long = f"{after.minutes:g} min" if after.minutes is not None else "some time"
        words.append(f"{after.where.partition('#')[0]} stays awake for {long} after key-off.")
    parts = engine.job.parts
    by = ((f"{tag} {parts[tag].name}" if tag in parts else tag, amps) for tag, amps in _pairs(found.by_part))
    return Drain(found.amps, tuple(by), " ".join(words))


def _pairs(draws: Iterable[Draw]) -> Iterator[tuple[str, float]]:
    return ((draw.name, draw.amps) for draw in draws)


def _days(days: float) -> str:
    """`54 days`, `3.5 days`, `14 hours`, `more than a year`."""
    if days > 365:
        return "more than a year"
    if days < 1:
        return f"{days * 24:.2g} hours"
    return f"{days:.0f} days" if days >= 10 else f"{days:.1f} days"


def same_circuit(before: Job, after: Job) -> bool:
    """Whether two documents differ in nothing that a meter would notice."""
    if before is after:
        return True
    step = delta(before, after)
    touched = {*step.added, *step.removed, *step.changed} - {"notes"}
    return not touched and (before.settings is after.settings or before.settings == after.settings)
