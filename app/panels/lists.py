"""The lists under the map: joints, leads to trim, wires to cut, unused leads, materials. Edited in place."""

from __future__ import annotations

import html
from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, QTimer
from PySide6.QtGui import QColor, QIcon, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHeaderView,
    QLabel,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QTabWidget,
    QWidget,
)

from app.desk import Desk
from app.panels.conflict_filter import LEVEL_WORDS
from app.panels.details import swatch_icon
from app.panels.level_icon import level_icon
from app.panels.tables import LISTS, Cell, Table, table
from app.session import Change
from core.checks.finding import CheckResult, Conflict

Index = QModelIndex | QPersistentModelIndex
ROOT = QModelIndex()
WIDEST = 340
NOTHING = {
    "Joints": "No joints yet: join two leads on the map.",
    "Leads to trim": "No leads yet: put a part on the map.",
    "Wires to cut": "No wires yet: select two ends and join them with a wire between.",
    "Unused leads": "No lead is capped, pulled, left or still to decide.",
    "Materials": "Nothing to take from stock yet.",
}
"""What stands in an empty list."""


class TableModel(QAbstractTableModel):
    """One list. Rows are made anew when the document or the check is another one."""

    def __init__(self, desk: Desk, name: str) -> None:
        super().__init__()
        self._desk = desk
        self.name = name
        self.table = Table((), ())
        self._icons: dict[str, QIcon] = {}

    def show(self, shown: Table) -> None:
        """Swap the rows; where only texts changed, the view keeps its place."""
        if shown.headings == self.table.headings and len(shown.rows) == len(self.table.rows):
            self.table = shown
            if shown.rows:
                last = self.index(len(shown.rows) - 1, len(shown.headings) - 1)
                self.dataChanged.emit(self.index(0, 0), last)
            return
        self.beginResetModel()
        self.table = shown
        self.endResetModel()

    def cell(self, index: Index) -> Cell:
        return self.table.rows[index.row()].cells[index.column()]

    def rowCount(self, parent: Index = ROOT) -> int:
        return 0 if parent.isValid() else len(self.table.rows)

    def columnCount(self, parent: Index = ROOT) -> int:
        return 0 if parent.isValid() else len(self.table.headings)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = 0) -> Any:
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self.table.headings[section]
        return None

    def data(self, index: Index, role: int = 0) -> Any:
        cell = self.cell(index)
        conflicts = self.table.rows[index.row()].conflicts
        if conflicts and role == Qt.ItemDataRole.BackgroundRole:
            return QColor(self._desk.view.tokens.level_wash(conflicts[0].level))
        if conflicts and index.column() == 0:
            marked = self._marked(cell, conflicts, role)
            if marked is not None:
                return marked
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole, Qt.ItemDataRole.ToolTipRole):
            return cell.text
        if role == Qt.ItemDataRole.DecorationRole and cell.colour:
            if cell.colour not in self._icons:
                self._icons[cell.colour] = swatch_icon(cell.colour)
            return self._icons[cell.colour]
        return None

    def _marked(self, cell: Cell, conflicts: Sequence[Conflict], role: int) -> Any:
        """What stands first in a row in conflict: the level's mark and word, and what is said."""
        worst, tokens = conflicts[0], self._desk.view.tokens
        word = LEVEL_WORDS[worst.level]
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return f"{cell.text}  {word}"
            case Qt.ItemDataRole.DecorationRole:
                key = f"{worst.level} {tokens.name}"
                if key not in self._icons:
                    self._icons[key] = level_icon(worst.level, tokens)
                return self._icons[key]
            case Qt.ItemDataRole.ToolTipRole:
                said = (f"{LEVEL_WORDS[c.level]}: {c.message}" for c in conflicts)
                return "".join(f"<p>{html.escape(text)}</p>" for text in said)
            case Qt.ItemDataRole.AccessibleTextRole:
                return f"{cell.text}, {word}: {worst.message}"
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        flags = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        return flags | Qt.ItemFlag.ItemIsEditable if self.cell(index).set else flags

    def setData(self, index: Index, value: Any, role: int = 0) -> bool:
        cell = self.cell(index)
        setter, text = cell.set, str(value)
        if setter is None or text == cell.text:
            return False
        row = self.table.rows[index.row()]
        name = self._desk.session.job.shown(row.ref)
        what = self.table.headings[index.column()]
        return self._desk.session.apply(f"{what} of {name}", lambda job: setter(job, text))


class _Editor(QStyledItemDelegate):
    """A list of choices where a cell has them, else a line. Rows in conflict lie on their level's wash."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        wash = index.data(Qt.ItemDataRole.BackgroundRole)
        # A style sheet that gives cells a border leaves their background out.
        if wash is not None and not option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(option.rect, wash)
        super().paint(painter, option, index)

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        model = index.model()
        choices = model.cell(index).choices if isinstance(model, TableModel) else ()
        if not choices:
            return super().createEditor(parent, option, index)
        box = QComboBox(parent)
        box.addItems(list(choices))
        box.activated.connect(lambda _: self._take(box))
        return box

    def updateEditorGeometry(self, editor: QWidget, option: QStyleOptionViewItem, index: Index) -> None:
        super().updateEditorGeometry(editor, option, index)
        if isinstance(editor, QComboBox):
            editor.resize(max(editor.width(), editor.sizeHint().width()), editor.height())

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        if isinstance(editor, QComboBox):
            editor.setCurrentText(str(index.data()))
        else:
            super().setEditorData(editor, index)

    def setModelData(self, editor: QWidget, model: Any, index: Index) -> None:
        if isinstance(editor, QComboBox):
            model.setData(index, editor.currentText())
        else:
            super().setModelData(editor, model, index)

    def _take(self, box: QComboBox) -> None:
        self.commitData.emit(box)
        self.closeEditor.emit(box)


class ListsPanel(QTabWidget):
    """The lists in tabs. A row selected here is selected on the map, and the other way round."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._following = False
        self.models: dict[str, TableModel] = {}
        self.views: dict[str, QTableView] = {}
        self._nothing: dict[str, QLabel] = {}
        self.setDocumentMode(True)
        for name in LISTS:
            self._add(name)
        self._late = QTimer(self)
        self._late.setSingleShot(True)
        self._late.timeout.connect(self._refresh)
        self.currentChanged.connect(self._refresh)
        desk.session.changed.connect(self._changed)
        desk.session.checked.connect(self._checked)
        desk.session.selection_changed.connect(self._follow)
        self._refresh()

    def _add(self, name: str) -> None:
        model = TableModel(self._desk, name)
        view = QTableView()
        view.setModel(model)
        view.setItemDelegate(_Editor(view))
        view.setAccessibleName(name)
        view.setShowGrid(False)
        view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        view.setWordWrap(False)
        view.verticalHeader().hide()
        view.verticalHeader().setDefaultSectionSize(28)
        view.setTabKeyNavigation(False)
        view.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        view.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        view.horizontalHeader().setStretchLastSection(True)
        view.selectionModel().selectionChanged.connect(self._chosen)
        nothing = QLabel(NOTHING[name], view.viewport())
        nothing.setObjectName("quiet")
        nothing.move(8, 8)
        self.models[name] = model
        self.views[name] = view
        self._nothing[name] = nothing
        self.addTab(view, name)

    def take_focus(self) -> None:
        view = self.views[self.shown]
        view.setFocus()
        if not view.currentIndex().isValid() and view.model().rowCount():
            view.setCurrentIndex(view.model().index(0, 0))

    @property
    def shown(self) -> str:
        return LISTS[self.currentIndex()]

    def _changed(self, change: Change) -> None:
        if change.delta.meaning and self.isVisible():
            self._late.start(0)

    def _checked(self, _: CheckResult) -> None:
        if self.isVisible():
            self._late.start(0)

    def showEvent(self, event: Any) -> None:
        super().showEvent(event)
        self._refresh()

    def _refresh(self, _: object = None) -> None:
        session = self._desk.session
        open_ends = session.result.open_ends if session.result else ()
        known = tuple(end for end in open_ends if session.job.end_exists(end))
        conflicts = session.result.conflicts if session.result else ()
        result = CheckResult(session.job, conflicts, known, (), ())
        model = self.models[self.shown]
        first = not model.table.rows
        model.show(table(self.shown, session.job, result, session.library))
        self._nothing[self.shown].setVisible(not model.table.rows)
        if first and model.table.rows:
            view = self.views[self.shown]
            view.resizeColumnsToContents()
            for column in range(model.columnCount()):
                view.setColumnWidth(column, min(view.columnWidth(column) + 20, WIDEST))
        if any(row.conflicts for row in model.table.rows):
            view = self.views[self.shown]
            needed = view.sizeHintForColumn(0) + 12
            if view.columnWidth(0) < needed:
                view.setColumnWidth(0, min(needed, WIDEST))

    def _chosen(self) -> None:
        if self._following:
            return
        model, view = self.models[self.shown], self.views[self.shown]
        refs = [model.table.rows[index.row()].ref for index in view.selectionModel().selectedRows()]
        refs = [ref for ref in refs if ref]
        if refs:
            self._following = True
            self._desk.session.select(refs)
            self._desk.view.reveal(refs)
            self._following = False

    def _follow(self, selection: frozenset[str]) -> None:
        """Show the row of what was selected on the map."""
        if self._following or not self.isVisible():
            return
        self._following = True
        model, view = self.models[self.shown], self.views[self.shown]
        view.clearSelection()
        for number, row in enumerate(model.table.rows):
            if row.ref in selection:
                view.selectRow(number)
                break
        self._following = False
