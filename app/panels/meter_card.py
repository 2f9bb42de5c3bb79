"""The meter's readout on the map: its two points, and what it shows in every position."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QFrame,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QSizePolicy,
    QTableWidget,
    QTableWidgetItem,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.canvas.meter import LETTERS, Letter
from app.panels.dock import ElidedLabel
from app.session import Session
from app.tools.meter import Meter
from app.work.expected import Asked, Expected
from app.work.points import point_words, show_value, what_is_there
from core.job.record import Quantity

WIDTH = 264
ROW_HEIGHT = 24
EDGE = 10
_PROBE_COUNTS = 1_000_000
QUANTITIES: dict[Quantity, str] = {"volts": "Volts", "ohms": "Ohms", "amps": "Amps"}


class MeterCard(QFrame):
    """Floats on the map while the meter is out; its title can be dragged out of the way."""

    def __init__(
        self,
        meter: Meter,
        session: Session,
        expected: Expected,
        port: QWidget,
        enter: Callable[[Asked], object],
        blocks: Callable[[], Iterable[QRect]],
        tips: Callable[[], Iterable[QPoint]],
    ) -> None:
        super().__init__(port)
        self._meter = meter
        self._session = session
        self._expected = expected
        self._port = port
        self._enter = enter
        self._blocks = blocks
        self._tips = tips
        self._moved = False
        self._corner = ""
        self._taken: QPoint | None = None
        self._asked: dict[Asked, int] = {}
        self.setObjectName("meter")
        self.setAccessibleName("Meter")
        self.setFixedWidth(WIDTH)
        self.chips: dict[Letter, QToolButton] = {}
        self.red_words = ElidedLabel("", "row-name")
        self.black = QComboBox()
        self.black.setAccessibleName("Black point")
        self.black.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.black.activated.connect(lambda _: meter.put_black(str(self.black.currentData())))
        self.settings: dict[Quantity, QToolButton] = {}
        self.values = self._table()
        self.words = QLabel()
        self.words.setObjectName("quiet")
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.words.setWordWrap(True)
        self.enter = QPushButton("Enter a reading here…")
        self.enter.setAccessibleName("Enter a reading here")
        self.enter.clicked.connect(self._enter_here)
        column = QVBoxLayout(self)
        column.setContentsMargins(10, 4, 10, 10)
        column.setSpacing(6)
        column.addLayout(self._title())
        column.addLayout(self._point("red", self.red_words))
        column.addLayout(self._point("black", self.black))
        column.addLayout(self._setting())
        column.addWidget(self.values)
        column.addWidget(self.words)
        column.addWidget(self.enter)
        meter.changed.connect(self.refresh)
        expected.answered.connect(self._answered)
        expected.turned.connect(self.refresh)
        session.checked.connect(self.refresh)
        session.position_changed.connect(self.refresh)
        port.installEventFilter(self)
        self.hide()

    def _title(self) -> QHBoxLayout:
        row = QHBoxLayout()
        name = QLabel("Meter")
        name.setObjectName("panel-name")
        name.setCursor(Qt.CursorShape.SizeAllCursor)
        close = QToolButton()
        close.setObjectName("close")
        close.setAccessibleName("Put the meter away")
        close.setToolTip("Put the meter away (Escape)")
        close.clicked.connect(self._meter.end)
        row.addWidget(name, 1)
        row.addWidget(close)
        return row

    def _point(self, letter: Letter, field: QWidget) -> QHBoxLayout:
        chip = self.chips[letter] = QToolButton()
        chip.setObjectName(f"probe-{letter}")
        chip.setText(LETTERS[letter])
        chip.setCheckable(True)
        chip.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        chip.setAccessibleName(f"The next point is the {letter} one")
        chip.setToolTip(f"Then a click on the map puts the {letter} point")
        chip.clicked.connect(partial(self._next, letter))
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(chip)
        row.addWidget(field, 1)
        return row

    def _setting(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(4)
        for quantity, words in QUANTITIES.items():
            button = self.settings[quantity] = QToolButton()
            button.setText(words)
            button.setCheckable(True)
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            button.setAccessibleName(f"Meter on {words.lower()}")
            button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
            button.clicked.connect(partial(self._set, quantity))
            row.addWidget(button)
        return row

    def _table(self) -> QTableWidget:
        table = QTableWidget(0, 2)
        table.setObjectName("meter-values")
        table.setAccessibleName("Meter: no red point yet")
        table.setShowGrid(False)
        table.setWordWrap(False)
        table.setTabKeyNavigation(False)
        table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        table.setTextElideMode(Qt.TextElideMode.ElideRight)
        table.verticalHeader().hide()
        table.verticalHeader().setMinimumSectionSize(ROW_HEIGHT)
        table.verticalHeader().setDefaultSectionSize(ROW_HEIGHT)
        table.horizontalHeader().hide()
        table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        table.horizontalHeader().setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        return table

    def _next(self, letter: Letter, _: bool = False) -> None:
        self._meter.set_next(letter)

    def _set(self, quantity: Quantity, _: bool = False) -> None:
        self._meter.set_quantity(quantity)

    def _enter_here(self) -> None:
        positions = list(self._asked)
        if positions:
            self._enter(positions[max(0, self.values.currentRow())])

    # What it shows

    def positions(self) -> Sequence[str]:
        """The standard set of the last check, and the position shown on the map."""
        result = self._session.result
        checked = result.positions if result is not None else ()
        return tuple(dict.fromkeys((*checked, *filter(None, [self._session.position]))))

    def refresh(self, _: object = None) -> None:
        """Everything anew: the points, the setting, the positions."""
        meter, job = self._meter, self._session.job
        if not meter.out:
            self._expected.drop(self._asked)
            self._asked = {}
            self._moved = False
            self._corner = ""
            self.hide()
            return
        for letter, chip in self.chips.items():
            chip.setChecked(letter == meter.next)
        for quantity, button in self.settings.items():
            button.setChecked(quantity == meter.quantity)
        what = what_is_there(job, self._session.library, meter.red) if meter.red else ""
        red = ", ".join(filter(None, (point_words(job, meter.red) if meter.red else "", what)))
        self.red_words.setText(red or "click a lead, joint or wire")
        self._show_black()
        self._show_rows()
        self._place()
        self.show()
        self.raise_()

    def _show_black(self) -> None:
        meter, job = self._meter, self._session.job
        here = meter.asked("off")
        black = here.black if here is not None else meter.black
        self.black.clear()
        for point in dict.fromkeys((black, "battery -", "body", "battery +")):
            self.black.addItem(point_words(job, point), point)
        self.black.setCurrentIndex(0)

    def _show_rows(self) -> None:
        asked = [a for name in self.positions() if (a := self._meter.asked(name)) is not None]
        if list(self._asked) != asked:
            self._expected.drop(self._asked)
            self._asked = {one: at for at, one in enumerate(asked)}
        names = self.positions()
        current = self.values.currentRow()
        self.values.setRowCount(len(names))
        for at, name in enumerate(names):
            shown = name == self._session.position
            self._put(at, 0, f"▸ {name}" if shown else name, name)
            self._put(at, 1, "–", "")
        if 0 <= current < len(names):
            self.values.setCurrentCell(current, 0)
        for one in reversed(asked):
            self._show_answer(one)
        job, meter = self._session.job, self._meter
        self.values.setAccessibleName(
            f"Meter from {point_words(job, meter.red)} to {point_words(job, meter.black)}"
            if meter.red
            else "Meter: no red point yet"
        )
        self.enter.setEnabled(bool(asked))
        self._fit_rows()

    def _put(self, row: int, column: int, text: str, tip: str) -> None:
        item = self.values.item(row, column)
        if item is None:
            item = QTableWidgetItem()
            align = Qt.AlignmentFlag.AlignVCenter
            item.setTextAlignment(
                align | (Qt.AlignmentFlag.AlignRight if column else Qt.AlignmentFlag.AlignLeft)
            )
            self.values.setItem(row, column, item)
        item.setText(text)
        item.setToolTip(tip)

    def _show_answer(self, asked: Asked) -> None:
        at, answer = self._asked[asked], self._expected.of(asked)
        if answer is None:
            self._put(at, 1, "checking…" if self._expected.engine is None else "…", "")
        elif answer.value is not None:
            self._put(at, 1, show_value(answer.value, asked.quantity), answer.words)
        else:
            self._put(at, 1, answer.words.partition(":")[0], answer.words)
        self._show_words()

    def _show_words(self) -> None:
        """The words of the answers that have no number, once."""
        known = (self._expected.known(asked) for asked in self._asked)
        said = dict.fromkeys(answer.words for answer in known if answer is not None and answer.words)
        self.words.setText("; ".join(said))
        self.words.setVisible(bool(said))

    def _answered(self, asked: frozenset[Asked]) -> None:
        mine = [one for one in self._asked if one in asked]
        for one in mine:
            self._show_answer(one)
        if mine:
            self._place()

    # Where it stands

    def _fit_rows(self) -> None:
        room = self._port.height() - 2 * EDGE - 260
        wanted = self.values.rowCount() * ROW_HEIGHT + 4
        self.values.setFixedHeight(max(3 * ROW_HEIGHT, min(wanted, room)))

    def _place(self) -> None:
        layout = self.layout()
        if layout is not None:
            layout.activate()
            self.setFixedHeight(max(layout.heightForWidth(WIDTH), layout.minimumSize().height()))
        self._move_to(self.pos() if self._moved else self._free_corner())

    def _free_corner(self) -> QPoint:
        """The corner of the map where the card hides least of the parts; it stays there."""
        right, low = self._port.width() - WIDTH - EDGE, self._port.height() - self.height() - EDGE
        corners = {
            "upper right": QPoint(right, EDGE),
            "lower right": QPoint(right, low),
            "lower left": QPoint(EDGE, low),
            "upper left": QPoint(EDGE, EDGE),
        }
        size = self.size()
        if not self._corner or any(QRect(corners[self._corner], size).contains(tip) for tip in self._tips()):
            self._corner = min(corners, key=lambda name: self._hidden(QRect(corners[name], size)))
        return corners[self._corner]

    def _hidden(self, card: QRect) -> int:
        """How much of the parts a card there would hide, in square pixels; a probe counts for very much."""
        cuts = (card.intersected(block) for block in self._blocks())
        area = sum(cut.width() * cut.height() for cut in cuts if cut.isValid())
        return area + sum(_PROBE_COUNTS for tip in self._tips() if card.contains(tip))

    def _move_to(self, at: QPoint) -> None:
        most_x, most_y = self._port.width() - self.width() - EDGE, self._port.height() - self.height() - EDGE
        self.move(max(EDGE, min(at.x(), most_x)), max(EDGE, min(at.y(), most_y)))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self._fit_rows()
            self._place()
        return super().eventFilter(watched, event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._taken = event.position().toPoint()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._taken is not None:
            self._moved = True
            self._move_to(self.mapToParent(event.position().toPoint()) - self._taken)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._taken = None
