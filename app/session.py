"""One open job: its document, selection, undo stack and last check. Everything on the screen listens here."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from core.checks.finding import CheckResult
from core.errors import EditRefused
from core.job.delta import Delta, delta
from core.job.document import Job
from core.library.library import Library

if TYPE_CHECKING:
    from core.circuit.shown import Shown

Edit = Callable[[Job], Job]


@dataclass(frozen=True)
class Change:
    """One step from a document to the next. `text` says what was done, in the user's words."""

    before: Job
    after: Job
    delta: Delta
    text: str


class _Swap(QUndoCommand):
    """The only undo command: it swaps references. Both documents were computed before it was pushed."""

    def __init__(self, session: Session, text: str, before: Job, after: Job) -> None:
        super().__init__(text)
        self._session = session
        self._before = before
        self._after = after

    def redo(self) -> None:
        self._session._show(self._before, self._after, self.text())

    def undo(self) -> None:
        self._session._show(self._after, self._before, self.text())


class Session(QObject):
    """Owns the document. Views read `job` and listen to `changed`; they edit through `apply` alone."""

    changed = Signal(object)
    """Change: the document is another one now."""
    selection_changed = Signal(object)
    """frozenset of ids that are selected."""
    checked = Signal(object)
    """CheckResult: a check has finished; its `job` says of which document."""
    refused = Signal(object)
    """str: why an edit was not made."""
    position_changed = Signal(object)
    """str: the key position to show on the map, such as `run+lights`; empty where none is."""
    shown_changed = Signal(object)
    """Shown: what stands where in that position; None where none is shown or the check is not finished."""
    file_changed = Signal(object)
    """The path, the read-only state or the saved state is another one now (argument None)."""

    def __init__(self, job: Job, library: Library, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._job = job
        self.library = library
        self._selection: frozenset[str] = frozenset()
        self._result: CheckResult | None = None
        self._position = ""
        self._shown: Shown | None = None
        self._path: Path | None = None
        self._read_only_because = ""
        self._saved_job: Job | None = job
        self.undo_stack = QUndoStack(self)

    @property
    def job(self) -> Job:
        return self._job

    @property
    def selection(self) -> frozenset[str]:
        return self._selection

    @property
    def result(self) -> CheckResult | None:
        """The last finished check; stale where its `job` is not this one."""
        return self._result

    @property
    def position(self) -> str:
        """The key position to show; empty where none is."""
        return self._position

    @property
    def shown(self) -> Shown | None:
        """What stands where in that position; never of another document than this one means."""
        return self._shown

    @property
    def path(self) -> Path | None:
        return self._path

    @property
    def read_only_because(self) -> str:
        """Why the job cannot be saved here; empty where it can."""
        return self._read_only_because

    @property
    def modified(self) -> bool:
        return self._saved_job is not self._job

    def apply(self, text: str, edit: Edit) -> bool:
        """Make an edit and push it as one step. False where it was refused or changed nothing."""
        try:
            after = edit(self._job)
        except EditRefused as refusal:
            self.refused.emit(str(refusal))
            return False
        if after is self._job or after == self._job:
            return False
        self.undo_stack.push(_Swap(self, text, self._job, after))
        return True

    def select(self, refs: Iterable[str]) -> None:
        wanted = frozenset(refs)
        if wanted != self._selection:
            self._selection = wanted
            self.selection_changed.emit(wanted)

    def toggle(self, ref: str) -> None:
        self.select(self._selection ^ {ref})

    def take_result(self, result: CheckResult) -> None:
        """A finished check from whoever runs them."""
        self._result = result
        self.checked.emit(result)

    def show_position(self, name: str) -> None:
        """Show what is live in a key position, such as `run+lights`; the empty string ends it."""
        if name != self._position:
            self._position = name
            self.position_changed.emit(name)

    def take_shown(self, shown: Shown | None) -> None:
        """What stands where in the position, from whoever runs the checks."""
        if shown is not self._shown:
            self._shown = shown
            self.shown_changed.emit(shown)

    def set_file(self, path: Path | None, read_only_because: str = "") -> None:
        self._path = path
        self._read_only_because = read_only_because
        self.file_changed.emit(None)

    def mark_saved(self, saved: Job | None) -> None:
        """`saved` is the document that the file now holds; None when it holds none of them."""
        self._saved_job = saved
        self.file_changed.emit(None)

    def _show(self, before: Job, after: Job, text: str) -> None:
        was_modified = self.modified
        self._job = after
        self.changed.emit(Change(before, after, delta(before, after), text))
        if was_modified != self.modified:
            self.file_changed.emit(None)
