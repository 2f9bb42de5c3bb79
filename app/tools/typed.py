"""Joining by typing: a line beside the flag takes the name of the other end."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QCompleter, QLineEdit

from app.canvas.guide import in_words
from app.theme import TOUCH
from core.edits import joins
from core.edits.verdicts import Verdicts
from core.job.document import Job

if TYPE_CHECKING:
    from app.canvas.view import MapView

WIDTH = 170


class TypedConnection(QLineEdit):
    """Takes `CAM-1`, `J3`, `W2` or `W2:a`; Enter joins, Escape closes. The status says what it would do."""

    def __init__(self, view: MapView, source: str) -> None:
        super().__init__(view.viewport())
        self._view = view
        self._source = source
        self._verdicts = Verdicts(view.session.job, source, view.session.library)
        job = view.session.job
        self.setPlaceholderText("CAM-1, J3, W2…")
        self.setAccessibleName(f"The other end for {job.shown(source)}")
        self.setFixedSize(WIDTH, TOUCH)
        completer = QCompleter([job.shown(ref) for ref in view.walker.targets() if ref != source], self)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchStartsWith)
        self.setCompleter(completer)
        self.textChanged.connect(self._say)
        self.returnPressed.connect(self._join)
        view.session.changed.connect(self.close_line)
        self.installEventFilter(self)
        self._stand()

    def _stand(self) -> None:
        anchor = self._view.finder.anchor(self._source)
        if anchor is None:
            return
        at, way = self._view.mapFromScene(anchor[0]), anchor[1]
        port = self._view.viewport().rect()
        x = at.x() + 12 if way >= 0 else at.x() - 12 - WIDTH
        self.move(
            max(4, min(x, port.width() - WIDTH - 4)),
            max(4, min(at.y() - TOUCH // 2, port.height() - TOUCH - 4)),
        )
        self.show()
        self.setFocus()

    def _say(self, text: str) -> None:
        target = resolve(self._view.session.job, text)
        if target is None:
            self._view.say(f"{text}: no such end" if text.strip() else "")
            return
        verdict = self._verdicts.of(target)
        name = self._view.describe(target)
        self._view.say(f"{name} — {in_words(verdict.kind, verdict.reason)}")

    def _join(self) -> None:
        session, target = self._view.session, resolve(self._view.session.job, self.text())
        if target is None:
            session.refused.emit(f"There is no end called {self.text().strip() or 'nothing'}.")
            return
        shown = session.job.shown
        session.apply(
            f"Join {shown(self._source)} and {shown(target)}", partial(joins.join, a=self._source, b=target)
        )
        self.close_line()

    def close_line(self, _: object = None) -> None:
        if self.isHidden():
            return
        self.hide()
        self._view.session.changed.disconnect(self.close_line)
        self._view.setFocus()
        self.deleteLater()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        # Single letters are keys of the map: while typing they are letters.
        if event.type() == QEvent.Type.ShortcutOverride:
            event.accept()
            return True
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and event.key() == Qt.Key.Key_Escape
        ):
            self.close_line()
            return True
        return super().eventFilter(watched, event)


def resolve(job: Job, text: str) -> str | None:
    """The end, joint or wire that a person means; None where there is none."""
    plain = text.strip()
    found = job.terminal_from(plain)
    if found is not None:
        return found
    upper = plain.upper()
    if upper in job.joints or upper in job.lookup.conductors:
        return upper
    owner, colon, letter = plain.partition(":")
    end = f"{owner.upper()}:{letter.lower()}"
    return end if colon and letter.lower() in ("a", "b") and owner.upper() in job.lookup.conductors else None
