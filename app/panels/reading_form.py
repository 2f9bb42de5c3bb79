"""What goes with every reading: who took it and when, how the circuit stood, the meter's own leads."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QCompleter,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QWidget,
)

from app.panels.readings_rows import STATE_WORDS, State
from app.tools.typed import resolve
from app.work.points import USUAL_BLACK, point_words, typed_value
from core.ids import kind_of
from core.job.document import Job
from core.job.record import BATTERY_POINTS


class ReadingForm(QWidget):
    """Filled once; it stays as it is from reading to reading."""

    state_changed = Signal()
    name_given = Signal(object)
    """str: who takes the readings."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.state = QComboBox()
        for state, words in STATE_WORDS.items():
            self.state.addItem(words[0].upper() + words[1:], state)
        self.state.setMinimumContentsLength(14)
        self.state.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.state.activated.connect(lambda _: self.state_changed.emit())
        self.name = QLineEdit(name)
        self.name.setMaxLength(200)
        self.name.editingFinished.connect(lambda: self.name_given.emit(self.name.text().strip()))
        self.date = QLineEdit(date.today().isoformat())
        self.date.setMaxLength(10)
        self.date.setFixedWidth(104)
        self.meter_leads = QLineEdit("0")
        self.meter_leads.setFixedWidth(56)
        self.meter_leads.setToolTip("Touch the meter's leads together on ohms: what it shows is taken off")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        self.leads_caption = named("Meter leads, ohm", self.meter_leads)
        for caption, field, room in (
            (named("Circuit", self.state), self.state, 3),
            (self.leads_caption, self.meter_leads, 0),
            (named("By", self.name), self.name, 2),
            (named("On", self.date), self.date, 0),
        ):
            row.addWidget(caption)
            row.addWidget(field, room)
        self.name.setMinimumWidth(60)

    @property
    def chosen_state(self) -> State:
        return next(state for state in STATE_WORDS if state == self.state.currentData())

    @property
    def who(self) -> str:
        return self.name.text().strip()

    @property
    def when(self) -> str:
        return self.date.text().strip()

    @property
    def lead_ohms(self) -> float | None:
        """What is taken off a reading in ohms; None where it is no number."""
        return typed_value(self.meter_leads.text() or "0")

    def show_ohms(self, shown: bool) -> None:
        """The meter's leads count for ohms alone."""
        self.leads_caption.setVisible(shown)
        self.meter_leads.setVisible(shown)


class TwoPoints(QWidget):
    """Two points by name: a row of its own in the sheet."""

    def __init__(self, job: Callable[[], Job], wanted: Callable[[str, str], object]) -> None:
        super().__init__()
        self._job = job
        self._wanted = wanted
        self.red, self.black = QLineEdit(), QLineEdit(point_words(job(), USUAL_BLACK))
        self.red.setPlaceholderText("RAD-4, J3, W2:a…")
        self.add = QPushButton("Add to the sheet")
        self.add.setObjectName("plain")
        self.add.clicked.connect(self._add)
        self.message = QLabel()
        self.message.setObjectName("quiet")
        self.message.setTextFormat(Qt.TextFormat.PlainText)
        self.message.setWordWrap(True)
        self.message.hide()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(6)
        for at, (words, field) in enumerate((("Red on", self.red), ("Black on", self.black))):
            grid.addWidget(named(words, field), at, 0)
            grid.addWidget(field, at, 1)
            field.returnPressed.connect(self._add)
            field.setMinimumWidth(60)
        grid.addWidget(self.add, 2, 0, 1, 2)
        grid.addWidget(self.message, 3, 0, 1, 2)

    def offer(self, points: list[str]) -> None:
        """What both fields complete to."""
        for field in (self.red, self.black):
            completer = QCompleter(points, field)
            completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
            field.setCompleter(completer)

    def _add(self) -> None:
        red, black = (point_from(self._job(), field.text()) for field in (self.red, self.black))
        text = self.black.text() if red else self.red.text()
        wrong = f"There is no point called {text.strip() or 'nothing'}." if not (red and black) else ""
        if red and black and red == black:
            wrong = "A reading is taken between two points."
        self.message.setText(wrong)
        self.message.setVisible(bool(wrong))
        if red and black and not wrong:
            self._wanted(red, black)


def point_from(job: Job, text: str) -> str | None:
    """The point that a person means: `RAD-4`, `J3`, `W2:a`, `W2 end a`, `body`; None where there is none."""
    plain = text.strip().replace("−", "-")
    supply = next((point for point in BATTERY_POINTS if point == plain.lower()), None)
    if supply is not None:
        return supply
    found = resolve(job, plain.replace(" end ", ":"))
    return f"{found}:a" if found is not None and kind_of(found) in ("wire", "conductor") else found


def named(words: str, field: QWidget) -> QLabel:
    """A caption that is also the field's name for screen readers."""
    field.setAccessibleName(words)
    caption = QLabel(words)
    caption.setObjectName("quiet")
    caption.setBuddy(field)
    caption.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Preferred)
    return caption
