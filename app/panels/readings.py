"""Readings: expected beside measured in every position, what would explain a difference, the drain."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.commands import reading as commands
from app.desk import Desk
from app.panels.dock import ElidedLabel
from app.panels.reading_form import ReadingForm, named
from app.panels.readings_aside import ReadingsAside
from app.panels.readings_position import PositionChoice
from app.panels.readings_rows import Row, Sheet, Sheets, parts_in
from app.panels.readings_table import ReadingsModel, ReadingsTable, Wanted
from app.session import Change
from app.theme import Tokens
from app.work.expected import Asked
from app.work.points import USUAL_BLACK, point_words, typed_value
from core.ids import part_of
from core.job.record import BATTERY_POINTS, Quantity

QUANTITIES: dict[Quantity, str] = {"volts": "Volts", "ohms": "Ohms, power off", "amps": "Amps"}
CAUTIONS: dict[Quantity, str] = {
    "volts": "Never measure at an airbag circuit. The vehicle maker's service information comes first.",
    "ohms": "Disconnect the power first. Never put a meter on ohms to an airbag circuit: it can fire.",
    "amps": "In series, never across a feed, and not above the meter's fuse: do not crank through it.",
}
"""What goes with each setting of a meter (common practice)."""
SHOWN: dict[Wanted, str] = {
    "all": "All places",
    "not read": "Not read yet",
    "read": "Read",
    "differs": "Differences",
}


class ReadingsPlace(QWidget):
    """Positions at the left, the meter sheet in the middle, at the right what it comes to."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._pairs: dict[Asked, None] = {}
        self._sheets = Sheets(desk.session.library)
        self._following = False
        self.setAccessibleName("Readings")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.positions = PositionChoice()
        self.positions.setFixedWidth(200)
        self.find_line = QLineEdit()
        self.find_line.setPlaceholderText("Find a point or function")
        self.find_line.setAccessibleName("Find a point or function")
        self.find_line.setClearButtonEnabled(True)
        self.part, self.shown = QComboBox(), QComboBox()
        self.quantity, self.black = QComboBox(), QComboBox()
        self.form = ReadingForm(desk.program.settings.user_name or desk.session.job.sheet.technician)
        self.model = ReadingsModel(desk.expected, self._enter)
        self.table = ReadingsTable(self.model, self._may_enter)
        self.nothing = QLabel()
        self.nothing.setObjectName("quiet")
        self.nothing.setTextFormat(Qt.TextFormat.PlainText)
        self.nothing.setWordWrap(True)
        self.caution = ElidedLabel()
        self.aside = ReadingsAside(desk, self._add_pair, self._take_back)
        self.aside.setFixedWidth(288)
        self._late = QTimer(self)
        self._late.setSingleShot(True)
        self._late.timeout.connect(self.refresh)
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        for quantity, words in QUANTITIES.items():
            self.quantity.addItem(words, quantity)
        for point in (USUAL_BLACK, *(point for point in BATTERY_POINTS if point != USUAL_BLACK)):
            self.black.addItem(point_words(self._desk.session.job, point), point)
        for wanted, words in SHOWN.items():
            self.shown.addItem(words, wanted)
        self.part.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.part.setMinimumContentsLength(8)
        self.part.setAccessibleName("Part")
        self.shown.setAccessibleName("Shown")
        head = QHBoxLayout()
        head.setSpacing(8)
        head.addWidget(self.find_line, 1)
        head.addWidget(self.part)
        head.addWidget(self.shown)
        head.addSpacing(8)
        head.addWidget(named("Meter on", self.quantity))
        head.addWidget(self.quantity)
        head.addWidget(named("black on", self.black))
        head.addWidget(self.black)
        middle = QVBoxLayout()
        middle.setSpacing(8)
        middle.addLayout(head)
        middle.addWidget(self.nothing)
        middle.addWidget(self.table, 1)
        middle.addWidget(self.caution)
        middle.addWidget(self.form)
        body = QWidget()
        row = QHBoxLayout(body)
        row.setContentsMargins(12, 10, 0, 10)
        row.setSpacing(12)
        row.addWidget(self.positions)
        row.addLayout(middle, 1)
        row.addWidget(self.aside)
        scroll = QScrollArea()
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidgetResizable(True)
        scroll.setWidget(body)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll)

    def _connect(self) -> None:
        desk, session = self._desk, self._desk.session
        session.changed.connect(self._changed)
        session.checked.connect(self._refresh_soon)
        session.selection_changed.connect(self._follow)
        desk.expected.turned.connect(self._refresh_soon)
        desk.expected.answered.connect(self._answered)
        self.positions.chosen.connect(self.refresh)
        self.positions.bench_changed.connect(self.refresh)
        self.find_line.textChanged.connect(self.refresh)
        for choice in (self.part, self.shown, self.quantity, self.black):
            choice.activated.connect(self.refresh)
        self.form.state_changed.connect(self.refresh)
        self.form.name_given.connect(self._keep_name)
        self.table.row_chosen.connect(self._show_row)
        self.table.take_back.connect(self._take_back)
        self.find_line.returnPressed.connect(self.take_focus)

    # What the window asks for

    def set_tokens(self, tokens: Tokens) -> None:
        self.model.set_tokens(tokens)
        self.aside.set_tokens(tokens)

    def take_focus(self) -> None:
        """The keyboard goes to the sheet's field."""
        self.table.setFocus()
        self.table.go_to_first()

    def show_points(self, asked: Asked) -> None:
        """Go to the row of two points in a position; they get one where they have none."""
        self.positions.position = asked.position
        self.positions.bench.setChecked(asked.bench)
        self.quantity.setCurrentIndex(self.quantity.findData(asked.quantity))
        self.find_line.clear()
        self.part.setCurrentIndex(0)
        self.shown.setCurrentIndex(0)
        self.form.state.setCurrentIndex(0)
        self.refresh()
        if not self.table.go_to(asked):
            self._pairs[asked] = None
            self.refresh()
            self.table.go_to(asked)
        self.table.setFocus()

    @property
    def sheet(self) -> Sheet:
        """How the meter and the car stand."""
        quantity = next(one for one in QUANTITIES if one == self.quantity.currentData())
        return Sheet(
            self.positions.position,
            quantity,
            str(self.black.currentData()),
            self.form.chosen_state,
            self.positions.bench.isChecked(),
        )

    def refresh(self, _: object = None) -> None:
        """The sheet as it is now."""
        if not self.isVisible():
            return
        session = self._desk.session
        sheet = self.sheet
        self.positions.fill(session.job, session.result.positions if session.result is not None else ())
        self.black.setEnabled(sheet.quantity != "amps")
        self.caution.setText(CAUTIONS[sheet.quantity])
        self.form.show_ohms(sheet.quantity == "ohms")
        pairs = [asked for asked in self._pairs if sheet.covers(asked)]
        found = self._sheets.rows(session.job, sheet, pairs)
        self._offer_parts(parts_in(found))
        before = self.table.current
        self.model.show(found, self._is_shown)
        if before is not None and self.table.current is None:
            # The same place in another position.
            here = replace(before.asked, position=sheet.position)
            if not self.table.go_to(here):
                self.table.go_to_first()
        self._say_nothing()
        self.aside.refresh(self.table.current)

    def _is_shown(self, row: Row) -> bool:
        part, wanted = self.part.currentData(), self.shown.currentData()
        if part and part not in (part_of(point) for point in (row.asked.red, row.asked.black)):
            return False
        words = self.find_line.text().strip().lower()
        if words and words not in f"{row.point} {row.what}".lower():
            return False
        if wanted == "all":
            return True
        if wanted == "differs":
            return row.last is not None and self.model.difference(row).kind != "agrees"
        return (row.last is None) is (wanted == "not read")

    def _offer_parts(self, tags: tuple[str, ...]) -> None:
        wanted = ("", *tags)
        if wanted != tuple(self.part.itemData(at) for at in range(self.part.count())):
            chosen = self.part.currentData()
            self.part.clear()
            for tag in wanted:
                self.part.addItem(tag or "All parts", tag)
            self.part.setCurrentIndex(max(0, self.part.findData(chosen)))

    def _say_nothing(self) -> None:
        words = ""
        if not self._desk.session.job.parts:
            words = "No parts yet: put the car's plug and the equipment on the map."
        elif not self.model.rows:
            words = "Nothing here to measure, as it is filtered."
        self.nothing.setText(words)
        self.nothing.setVisible(bool(words))

    # What others tell

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._desk.session.position and not self.model.rows:
            self.positions.position = self._desk.session.position
        self.refresh()

    def _changed(self, change: Change) -> None:
        before, after = change.before.readings, change.after.readings
        if len(after) < len(before):
            gone = next(reading for reading in before if reading not in after)
            words = commands.words_of(change.before, Asked.of(gone))
            self._desk.notices.say(f"The reading {words} is taken back.")
        if change.delta.meaning:
            self._refresh_soon()

    def _refresh_soon(self, _: object = None) -> None:
        if self.isVisible():
            self._late.start(0)

    def _answered(self, _: object) -> None:
        """Which readings differ is known only now."""
        if self.shown.currentData() == "differs":
            self._refresh_soon()

    def _follow(self, selection: frozenset[str]) -> None:
        """The row of what was selected on the map or in a list."""
        if self._following or not self.isVisible():
            return
        row = next((row for row in self.model.rows if row.ref in selection), None)
        if row is not None:
            self.table.go_to(row.asked)

    # What is typed

    def _may_enter(self) -> bool:
        """A reading without a name is worth nothing: the name comes first."""
        if self.form.who:
            return True
        self._desk.notices.refuse("First your name: it stands beside every reading.")
        self.form.name.setFocus()
        return False

    def _enter(self, row: Row, text: str) -> bool:
        value, lead_ohms = typed_value(text), self.form.lead_ohms
        if value is None or lead_ohms is None:
            wrong = text if value is None else self.form.meter_leads.text()
            self._desk.notices.refuse(f"“{wrong}” is no number: type it like 12.4, 35 mV or 4.7 k.")
            return False
        return commands.enter(self._desk, row.asked, value, lead_ohms, self.form.who, self.form.when)

    def _take_back(self, row: Row) -> None:
        if row.taken:
            commands.take_back(self._desk, row.asked, row.taken[-1][0])

    def _keep_name(self, name: str) -> None:
        if name:
            self._desk.program.settings.user_name = name

    def _add_pair(self, red: str, black: str) -> None:
        sheet = self.sheet
        self.show_points(Asked(red, black, sheet.quantity, sheet.position, bench=sheet.bench))

    def _show_row(self, row: Row | None) -> None:
        self.aside.show_row(row)
        if row is not None and row.ref and row.ref not in self._desk.session.selection:
            self._following = True
            self._desk.session.select([row.ref])
            self._following = False
