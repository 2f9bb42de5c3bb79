"""The conflict that explains itself: its steps, the one that is shown, and the position they are told in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from app.session import Session
from app.work.check_service import CheckService
from app.work.points import point_words, show_value, what_is_there
from core.checks.finding import CheckResult, Conflict
from core.ids import kind_of
from core.job.document import Job
from core.library.library import Library

if TYPE_CHECKING:
    from core.checks.explain import Step

LEAST_AMPS = 0.0005
LEAST_DROP_VOLTS = 0.0005


class Explaining(QObject):
    """Goes through the steps of one conflict. It ends when the conflict is not found any more."""

    changed = Signal()
    """Another conflict, step or position; or it has ended."""

    def __init__(self, session: Session, checks: CheckService, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._checks = checks
        self.conflict: Conflict | None = None
        self.steps: Sequence[Step] = ()
        self.at = 0
        self.position = ""
        session.checked.connect(self._checked)

    @property
    def positions(self) -> Sequence[str]:
        """Those of the conflict; of one that stands in none, all that were checked."""
        if self.conflict is not None and self.conflict.positions:
            return self.conflict.positions
        return self._session.result.positions if self._session.result is not None else ()

    @property
    def step(self) -> Step | None:
        """The step that is shown."""
        return self.steps[self.at] if self.steps else None

    def start(self, conflict: Conflict) -> None:
        """Begin at the cause, in the position that the conflict is worst in."""
        self.conflict, self.at, self.position = conflict, 0, ""
        self._tell()

    def end(self) -> None:
        if self.conflict is not None:
            self.conflict, self.steps, self.at, self.position = None, (), 0, ""
            self.changed.emit()

    def go_to(self, at: int) -> None:
        """Show a step by its place; past the ends it stays."""
        at = max(0, min(at, len(self.steps) - 1))
        if self.conflict is not None and at != self.at:
            self.at = at
            self.changed.emit()

    def show_position(self, name: str) -> None:
        """Tell the same steps in another position."""
        if self.conflict is not None and name != self.position:
            self.position = name
            self._tell()

    def _checked(self, result: CheckResult) -> None:
        if self.conflict is None:
            return
        key = self.conflict.key
        now = next((c for c in result.conflicts if c.key == key), None)
        if now is None:
            self.end()
            return
        self.conflict = now
        if self.position not in self.positions:
            self.position = ""
        self._tell()

    def _tell(self) -> None:
        # The circuit is read with the first check, after the map is on the screen.
        from core.checks.explain import Step, explain, way, worst_position

        assert self.conflict is not None
        engine = self._checks.engine()
        if engine is None:
            self.steps = tuple(Step(ref) for ref in way(self.conflict))
        else:
            if not self.position:
                self.position = worst_position(self.conflict, engine).name
            self.steps = explain(self.conflict, engine, engine.position(self.position))
        self.at = min(self.at, max(0, len(self.steps) - 1))
        self.changed.emit()


def place_words(job: Job, library: Library, step: Step) -> tuple[str, str]:
    """A step's place and what it is: `RAD-2`, `constant`; `W3`, `wire, RD`."""
    what = what_is_there(job, library, step.ref)
    match kind_of(step.ref):
        case "wire" | "conductor" | "wire end":
            what = ", ".join(filter(None, ("wire", what)))
        case "part":
            what = job.parts[step.ref].name if step.ref in job.parts else ""
    return point_words(job, step.ref), what


def volts_words(step: Step) -> str:
    """`12.58 V`, `loses 40 mV`, `floating`; a dash where nothing is known."""
    if step.state == "floating":
        return "floating"
    if step.volts is not None:
        return show_value(step.volts, "volts")
    if step.drop_volts is not None and abs(step.drop_volts) >= LEAST_DROP_VOLTS:
        return f"loses {show_value(abs(step.drop_volts), 'volts')}"
    return "–"


def amps_words(step: Step) -> str:
    """Whichever way they go; a dash where there are none."""
    if step.amps is None or abs(step.amps) < LEAST_AMPS:
        return "–"
    return show_value(abs(step.amps), "amps")
