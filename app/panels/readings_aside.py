"""Beside the meter sheet: the drain with the key off, what would explain a difference, two free points."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.desk import Desk
from app.panels.dock import ElidedLabel
from app.panels.reading_form import TwoPoints
from app.panels.readings_rows import Difference, Row, compare
from app.theme import Tokens
from app.work.expected import Asked, Cause, Drain, same_circuit
from app.work.points import point_words, show_value
from core.ids import in_order, kind_of
from core.job.document import Job
from core.job.record import BATTERY_POINTS

MOST_CAUSES = 4
MOST_DRAWING = 8
"""More devices than this are told as one sum."""


class ReadingsAside(QScrollArea):
    """Drain at the top, then the row chosen, then a row for two points by name."""

    def __init__(
        self, desk: Desk, add_pair: Callable[[str, str], object], take_back: Callable[[Row], object]
    ) -> None:
        super().__init__()
        self._desk = desk
        self._row: Row | None = None
        self._offered: Job | None = None
        self._take_back = take_back
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWidgetResizable(True)
        self.drain = DrainBox()
        self.point = _words("row-name")
        self.compared = _words("compared")
        self.explained = _words("")
        self.take_back = QPushButton("Take the reading back")
        self.take_back.setAccessibleName("Take the reading back")
        self.take_back.clicked.connect(self._take_last_back)
        self.two_points = TwoPoints(lambda: desk.session.job, add_pair)
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 12, 8)
        column.setSpacing(8)
        column.addWidget(_section("Drain with the key off"))
        column.addWidget(self.drain)
        column.addSpacing(8)
        column.addWidget(_section("This reading"))
        for label in (self.point, self.compared, self.explained):
            column.addWidget(label)
        column.addWidget(self.take_back)
        column.addSpacing(8)
        column.addWidget(_section("Between any two points"))
        column.addWidget(self.two_points)
        column.addStretch(1)
        self.setWidget(body)
        self._late = QTimer(self)
        self._late.setSingleShot(True)
        self._late.timeout.connect(self._work_out)
        desk.expected.answered.connect(self._answered)
        desk.expected.explained.connect(self._explained)

    def set_tokens(self, tokens: Tokens) -> None:
        self.compared.setStyleSheet(
            f'QLabel[difference="agrees"] {{ color: {tokens.good}; }}'
            f'QLabel[difference="differs"] {{ color: {tokens.stop}; font-weight: 600; }}'
        )

    def _take_last_back(self) -> None:
        if self._row is not None:
            self._take_back(self._row)

    def refresh(self, row: Row | None) -> None:
        """Another document, check or sheet."""
        job = self._desk.session.job
        if self._offered is None or not same_circuit(self._offered, job):
            self._offered = job
            points = [*BATTERY_POINTS, *in_order(job.joints), *in_order(job.lookup.conductors)]
            terminals = [ref for part in job.parts.values() for ref in part.cavities]
            self.two_points.offer([point_words(job, point) for point in (*points, *terminals)])
        self.show_row(row)
        self._late.start(0)

    def show_row(self, row: Row | None) -> None:
        """What stands in a row, in sentences."""
        self._row = row
        self.take_back.setVisible(row is not None and bool(row.taken))
        self.point.setText(self._point_words(row) if row is not None else "Choose a row of the sheet.")
        last = row.last if row is not None else None
        self.compared.setVisible(last is not None)
        self._compare()
        self._late.start(0)

    def _point_words(self, row: Row) -> str:
        job, asked = self._desk.session.job, row.asked
        lifted = f", lead of {point_words(job, asked.lifted)} lifted" if asked.lifted else ""
        state = "" if asked.loaded else ", equipment unplugged"
        bench = ", on the bench supply" if asked.bench else ""
        red, black = point_words(job, asked.red), point_words(job, asked.black)
        return f"Red on {red}, black on {black}, in {asked.position}{state}{lifted}{bench}"

    def _answered(self, asked: frozenset[Asked]) -> None:
        if self._row is not None and self._row.asked in asked:
            self.show_row(self._row)

    def _compare(self) -> None:
        row = self._row
        if row is None or row.last is None:
            self._say_explained("")
            return
        if row.gone:
            found = Difference("none", f"{row.gone} is not on this job any more.")
        else:
            found = compare(self._desk.expected.of(row.asked), row.last)
        read = show_value(row.last.net_value, row.last.quantity)
        taken = f"Read {read} by {row.last.name}{f' on {row.last.date}' if row.last.date else ''}"
        self.compared.setText(f"{taken}: {found.words}" if found.words else taken)
        self.compared.setProperty("difference", found.kind)
        self.compared.style().unpolish(self.compared)
        self.compared.style().polish(self.compared)
        self._say_explained("Looking for what would explain it…" if found.kind == "differs" else "")

    def _say_explained(self, words: str) -> None:
        self.explained.setText(words)
        self.explained.setVisible(bool(words))

    def _work_out(self) -> None:
        """The drain, and what would explain the difference: asked after the sheet is on the screen."""
        if not self.isVisible():
            return
        self.drain.show_drain(self._desk.expected.drain())
        row = self._row
        if row is None or row.last is None or row.gone:
            return
        answer = self._desk.expected.of(row.asked)
        if compare(answer, row.last).kind == "differs":
            self._desk.expected.explain(row.asked, row.last.net_value)

    def _explained(self, found: tuple[Asked, float, tuple[Cause, ...]]) -> None:
        """Where more ohms than the job says would give what was read."""
        asked, measured, causes = found
        row = self._row
        if row is None or row.last is None or (row.asked, row.last.net_value) != (asked, measured):
            return
        job = self._desk.session.job
        said = [cause_words(job, cause) for cause in causes[:MOST_CAUSES]]
        if len(causes) > MOST_CAUSES:
            said.append(f"and {len(causes) - MOST_CAUSES} more places")
        if causes[0].path:
            said.insert(0, "What would explain it:")
        self._say_explained("\n".join(said))


class DrainBox(QWidget):
    """What the battery gives with the key off, who takes it, and how long that goes well."""

    def __init__(self) -> None:
        super().__init__()
        self.total = _words("heading")
        self.days = _words("")
        self._rows = QGridLayout()
        self._rows.setContentsMargins(0, 0, 0, 0)
        self._rows.setHorizontalSpacing(8)
        self._rows.setVerticalSpacing(2)
        self._rows.setColumnStretch(0, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.total)
        column.addWidget(self.days)
        column.addLayout(self._rows)
        self._shown: Drain | None = None
        self.show_drain(None)

    def show_drain(self, drain: Drain | None) -> None:
        """None while it is being worked out."""
        if drain is None:
            self.total.setText("checking…")
            self.days.setText("")
            self.days.hide()
            self._fill(())
            self._shown = None
            return
        if drain == self._shown:
            return
        self._shown = drain
        self.total.setText(show_value(drain.amps, "amps"))
        self.days.setText(drain.words)
        self.days.setVisible(bool(drain.words))
        self._fill(drain.by)

    def _fill(self, by: Sequence[tuple[str, float]]) -> None:
        while (item := self._rows.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        rest = by[MOST_DRAWING:]
        more = [(f"{len(rest)} more", sum(amps for _, amps in rest))] if rest else []
        for at, (name, amps) in enumerate((*by[:MOST_DRAWING], *more)):
            self._rows.addWidget(ElidedLabel(name), at, 0)
            value = QLabel(show_value(amps, "amps"))
            value.setTextFormat(Qt.TextFormat.PlainText)
            self._rows.addWidget(value, at, 1, Qt.AlignmentFlag.AlignRight)


def cause_words(job: Job, cause: Cause) -> str:
    """`0.42 Ω more between RAD-4 and J3 (W2)`, `an open between …`."""
    if not cause.path:
        return f"{cause.words[:1].upper()}{cause.words[1:]}."
    much = "an open" if cause.ohms is None else f"{show_value(cause.ohms, 'ohms')} more"
    first, last = cause.path[0], cause.path[-1]
    through = [ref for ref in cause.path[1:-1] if kind_of(ref) in ("wire", "conductor")]
    way = f" ({', '.join(through)})" if through else ""
    return f"• {much} between {point_words(job, first)} and {point_words(job, last)}{way}"


def _words(name: str) -> QLabel:
    label = QLabel()
    label.setObjectName(name)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    return label


def _section(words: str) -> QLabel:
    label = QLabel(words)
    label.setObjectName("section")
    return label
