"""The meter sheet as a table: type what the meter shows, Enter, and on to the next row."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html import escape
from typing import Any, Literal

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QHeaderView,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from app.panels.readings_rows import Difference, Row, compare
from app.theme import TOUCH, Tokens
from app.work.expected import Answer, Asked, Expected
from app.work.points import show_value
from core.circuit.probe import AIRBAG

Index = QModelIndex | QPersistentModelIndex
ROOT = QModelIndex()
HEADINGS = ("Point", "What is there", "Expected", "Measured", "Difference", "Read by")
POINT, WHAT, EXPECTED, MEASURED, DIFFERENCE, BY = range(6)
WIDTHS = (126, 150, 108, 92, 168, 120)
Wanted = Literal["all", "read", "not read", "differs"]


class ReadingsModel(QAbstractTableModel):
    """The rows that are shown. What is expected is asked for when a row is looked at."""

    def __init__(self, expected: Expected, enter: Callable[[Row, str], bool]) -> None:
        super().__init__()
        self._expected = expected
        self._enter = enter
        self.all: Sequence[Row] = ()
        self.rows: list[Row] = []
        self.entered: Asked | None = None
        """The row whose field has just been filled."""
        self._place: dict[Asked, int] = {}
        self._colours: dict[str, QColor] = {}
        expected.answered.connect(self._answered)

    def set_tokens(self, tokens: Tokens) -> None:
        self._colours = {
            "agrees": QColor(tokens.good),
            "differs": QColor(tokens.stop),
            "quiet": QColor(tokens.quiet),
        }
        self._tell()

    def show(self, found: Sequence[Row], kept: Callable[[Row], bool]) -> None:
        """Swap the rows for those of another sheet or document that are `kept`."""
        self.all = found
        rows = [row for row in found if kept(row)]
        if [row.asked for row in rows] == [row.asked for row in self.rows]:
            self.rows = rows
            self._tell()
            return
        self._expected.drop(row.asked for row in self.rows)
        self.beginResetModel()
        self.rows = rows
        self._place = {row.asked: at for at, row in enumerate(rows)}
        self.endResetModel()

    def place_of(self, asked: Asked) -> int | None:
        return self._place.get(asked)

    def difference(self, row: Row) -> Difference:
        """How the last reading of a row compares with what is expected there."""
        if row.last is None:
            return Difference("none", "")
        return Difference("none", "place is gone") if row.gone else compare(self.answer(row), row.last)

    def answer(self, row: Row) -> Answer | None:
        return Answer(None, f"{row.gone} is gone") if row.gone else self._expected.of(row.asked)

    def _tell(self) -> None:
        if self.rows:
            self.dataChanged.emit(self.index(0, 0), self.index(len(self.rows) - 1, len(HEADINGS) - 1))

    def _answered(self, asked: frozenset[Asked]) -> None:
        for one in asked:
            at = self._place.get(one)
            if at is not None:
                self.dataChanged.emit(self.index(at, EXPECTED), self.index(at, DIFFERENCE))

    def rowCount(self, parent: Index = ROOT) -> int:
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = ROOT) -> int:
        return 0 if parent.isValid() else len(HEADINGS)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = 0) -> Any:
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return HEADINGS[section]
        return None

    def data(self, index: Index, role: int = 0) -> Any:
        row, column = self.rows[index.row()], index.column()
        if role == Qt.ItemDataRole.EditRole and column == MEASURED:
            return ""
        if role == Qt.ItemDataRole.ForegroundRole:
            return self._colours.get(self._colour(row, column))
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{HEADINGS[column]}: {self.text(row, column) or 'nothing'}"
        if role == Qt.ItemDataRole.ToolTipRole:
            return _as_plain(self._long(row, column))
        return self.text(row, column) if role == Qt.ItemDataRole.DisplayRole else None

    def text(self, row: Row, column: int) -> str:
        """What stands in a cell."""
        match column:
            case 0:
                return row.point
            case 1:
                return f"gone: {row.gone}" if row.gone else row.what
            case 2:
                return self._expected_words(row)
            case 3:
                return show_value(row.last.value, row.last.quantity) if row.last is not None else ""
            case 4:
                return self._difference_words(row)
            case _:
                return ", ".join(filter(None, (row.last.name, row.last.date))) if row.last is not None else ""

    def _difference_words(self, row: Row) -> str:
        found = self.difference(row)
        return {"agrees": "✓ ", "differs": "≠ "}.get(found.kind, "") + found.words

    def _expected_words(self, row: Row) -> str:
        if row.gone:
            return "–"
        answer = self.answer(row)
        if answer is None:
            return "checking…" if self._expected.engine is None else "…"
        return (
            show_value(answer.value, row.asked.quantity)
            if answer.value is not None
            else answer.words.partition(":")[0]
        )

    def _colour(self, row: Row, column: int) -> str:
        if column == DIFFERENCE:
            return self.difference(row).kind
        return "quiet" if column in (WHAT, BY) else ""

    def _long(self, row: Row, column: int) -> str:
        if column == EXPECTED and not row.gone and (answer := self.answer(row)) is not None:
            return answer.words or self.text(row, column)
        if column in (MEASURED, BY) and row.taken:
            return "\n".join(
                f"{show_value(reading.value, reading.quantity)}, {reading.name} {reading.date}".rstrip()
                for _, reading in row.taken
            )
        return self.text(row, column)

    def flags(self, index: Index) -> Qt.ItemFlag:
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        row = self.rows[index.row()]
        known = self._expected.known(row.asked)
        airbag = known is not None and known.words == AIRBAG
        editable = index.column() == MEASURED and not row.gone and not airbag
        return flags | Qt.ItemFlag.ItemIsEditable if editable else flags

    def setData(self, index: Index, value: Any, role: int = 0) -> bool:
        row, text = self.rows[index.row()], str(value).strip()
        taken = bool(text) and self._enter(row, text)
        self.entered = row.asked if taken else None
        return taken


class _Editor(QStyledItemDelegate):
    """A line for the number."""

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        line = QLineEdit(parent)
        line.setMaxLength(40)
        model = index.model()
        point = model.rows[index.row()].point if isinstance(model, ReadingsModel) else ""
        line.setAccessibleName(f"Measured at {point}")
        return line


class ReadingsTable(QTableView):
    """Typing on any row starts its field; Enter takes the value and goes to the next row."""

    row_chosen = Signal(object)
    """Row under the keyboard; None where there is none."""
    take_back = Signal(object)
    """Row: the Delete key was pressed on it."""

    def __init__(self, model: ReadingsModel, may_enter: Callable[[], bool]) -> None:
        super().__init__()
        self._rows = model
        self._may_enter = may_enter
        self.setModel(model)
        self.setItemDelegate(_Editor(self))
        self.setAccessibleName("Meter sheet")
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.AnyKeyPressed
        )
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(TOUCH)
        header = self.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setStretchLastSection(True)
        for column, width in enumerate(WIDTHS):
            self.setColumnWidth(column, width)
        self._late = QTimer(self)
        self._late.setSingleShot(True)
        self._late.timeout.connect(self._tell)
        self.selectionModel().currentChanged.connect(self._tell)
        model.modelReset.connect(self._moved)
        model.dataChanged.connect(self._moved)

    @property
    def current(self) -> Row | None:
        at = self.currentIndex()
        return self._rows.rows[at.row()] if at.isValid() and at.row() < len(self._rows.rows) else None

    def go_to(self, asked: Asked) -> bool:
        """Put the keyboard on the row of these points, on its field. False where it is not shown."""
        at = self._rows.place_of(asked)
        if at is None:
            return False
        self._stand_on(at)
        return True

    def go_to_first(self) -> None:
        """Put the keyboard on a field, where it is on none."""
        if not self.currentIndex().isValid():
            self._stand_on(0)

    def _stand_on(self, at: int) -> None:
        if 0 <= at < self._rows.rowCount():
            self.setCurrentIndex(self._rows.index(at, MEASURED))

    def _moved(self, *_: object) -> None:
        self._late.start(0)

    def _tell(self, *_: object) -> None:
        self.row_chosen.emit(self.current)

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """After Enter, on to the next row."""
        entered, self._rows.entered = self._rows.entered, None
        super().closeEditor(editor, QAbstractItemDelegate.EndEditHint.NoHint)
        if hint == QAbstractItemDelegate.EndEditHint.SubmitModelCache and entered is not None:
            self._stand_on(min(self.currentIndex().row() + 1, self._rows.rowCount() - 1))
        self.setFocus()

    def edit(self, index: Index, *rest: Any) -> Any:
        """Wherever the row is typed on, the value goes into its field."""
        if not rest:
            super().edit(index)
            return None
        trigger = rest[0]
        typed = QAbstractItemView.EditTrigger.AnyKeyPressed | QAbstractItemView.EditTrigger.EditKeyPressed
        starts = bool(trigger & (typed | QAbstractItemView.EditTrigger.DoubleClicked))
        field = self._rows.index(index.row(), MEASURED)
        if starts and index.isValid() and self._rows.flags(field) & Qt.ItemFlag.ItemIsEditable:
            if not self._may_enter():
                return False
            if field != index:
                self.setCurrentIndex(field)
            return super().edit(field, *rest)
        return super().edit(index, *rest)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        row = self.current
        if event.key() == Qt.Key.Key_Delete and row is not None:
            if row.taken:
                self.take_back.emit(row)
            return
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and self.state() == QAbstractItemView.State.EditingState:
            return  # the field's own: it closes by itself, and the next row comes then
        if enter and row is not None:
            self._stand_on(min(self.currentIndex().row() + 1, self._rows.rowCount() - 1))
            return
        super().keyPressEvent(event)


def _as_plain(text: str) -> str:
    """A tool tip that shows the text as it is: the words of users may look like markup."""
    return f"<qt>{escape(text).replace(chr(10), '<br>')}</qt>" if text else ""
