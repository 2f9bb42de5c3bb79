"""The parts shelf: parts on this job, and the shop library to take more from."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QEvent, QMimeData, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QTreeWidget, QTreeWidgetItem, QVBoxLayout, QWidget

from app.commands import parts
from app.desk import Desk
from app.session import Change
from core.ids import in_order

PART_MIME = "application/x-loomwright-part"
_ENTRY = int(Qt.ItemDataRole.UserRole)
_TAG = _ENTRY + 1


class _Tree(QTreeWidget):
    """A list under headings, from which library parts can be dragged onto the map."""

    def mimeTypes(self) -> list[str]:
        return [PART_MIME]

    def mimeData(self, items: list[QTreeWidgetItem]) -> QMimeData:  # type: ignore[override]
        data = QMimeData()
        entry = items[0].data(0, _ENTRY) if items else None
        if entry is not None:
            data.setData(PART_MIME, QByteArray(str(entry).encode()))
        return data


class ShelfPanel(QWidget):
    """Search over both lists. Enter, double click or dragging puts a library part on the map."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self.search = QLineEdit()
        self.search.setPlaceholderText("Find a part")
        self.search.setAccessibleName("Find a part")
        self.search.setClearButtonEnabled(True)
        self.search.textChanged.connect(self._fill)
        self.search.installEventFilter(self)
        self.tree = _Tree()
        self.tree.setHeaderHidden(True)
        self.tree.setRootIsDecorated(False)
        self.tree.setIndentation(8)
        self.tree.setDragEnabled(True)
        self.tree.setDragDropMode(QTreeWidget.DragDropMode.DragOnly)
        self.tree.setAccessibleName("Parts on this job and shop library")
        self.tree.itemActivated.connect(self._use)
        self.tree.itemClicked.connect(self._show)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 4, 8, 8)
        column.setSpacing(8)
        column.addWidget(self.search)
        column.addWidget(self.tree, 1)
        desk.session.changed.connect(self._changed)
        desk.session.selection_changed.connect(self._mark_selected)
        self._fill()

    def take_focus(self) -> None:
        self.search.setFocus()
        self.search.selectAll()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """From the search field: Enter takes the first part found, Down goes into the list."""
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                first = self._first_entry()
                if first is not None and self.search.text().strip():
                    parts.add_from_library(self._desk, str(first.data(0, _ENTRY)))
                return True
            if event.key() == Qt.Key.Key_Down:
                self.tree.setFocus()
                first = self._first_entry()
                if first is not None:
                    self.tree.setCurrentItem(first)
                return True
        return super().eventFilter(watched, event)

    def _first_entry(self) -> QTreeWidgetItem | None:
        for i in range(self.tree.topLevelItemCount()):
            heading = self.tree.topLevelItem(i)
            for j in range(heading.childCount() if heading else 0):
                item = heading.child(j) if heading else None
                if item is not None and item.data(0, _ENTRY) is not None:
                    return item
        return None

    def _changed(self, change: Change) -> None:
        if change.delta.touched("parts"):
            self._fill()

    def _fill(self, _: str = "") -> None:
        wanted = self.search.text()
        self.tree.clear()
        on_job = [
            part
            for part in self._desk.session.job.parts.values()
            if all(word in f"{part.id} {part.name}".casefold() for word in wanted.casefold().split())
        ]
        if on_job:
            heading = self._heading("On this job")
            names = {part.id: part.name for part in on_job}
            for tag in in_order(names):
                self._item(heading, f"{tag}  {names[tag]}", _TAG, tag, f"{names[tag]}: select it on the map")
        groups: dict[str, QTreeWidgetItem] = {}
        found = self._desk.session.library.find(wanted)
        for entry in found:
            if entry.group not in groups:
                groups[entry.group] = self._heading(entry.group)
            self._item(
                groups[entry.group], entry.name, _ENTRY, entry.name, f"{entry.name}: drag it onto the map"
            )
        if not found and not on_job:
            self._heading("No such part. Try fewer letters.")
        self.tree.expandAll()
        self._mark_selected(self._desk.session.selection)

    def _heading(self, text: str) -> QTreeWidgetItem:
        item = QTreeWidgetItem([text])
        item.setFlags(Qt.ItemFlag.ItemIsEnabled)
        font = self.tree.font()
        font.setWeight(font.Weight.DemiBold)
        item.setFont(0, font)
        self.tree.addTopLevelItem(item)
        return item

    def _item(self, heading: QTreeWidgetItem, text: str, role: int, value: str, hint: str) -> None:
        item = QTreeWidgetItem([text])
        item.setData(0, role, value)
        item.setToolTip(0, hint)
        heading.addChild(item)

    def _use(self, item: QTreeWidgetItem) -> None:
        entry = item.data(0, _ENTRY)
        if entry is not None:
            parts.add_from_library(self._desk, str(entry))
        else:
            self._show(item)

    def _show(self, item: QTreeWidgetItem) -> None:
        tag = item.data(0, _TAG)
        if tag is not None:
            self._desk.session.select([str(tag)])
            self._desk.view.reveal([str(tag)])

    def _mark_selected(self, selection: object) -> None:
        heading = self.tree.topLevelItem(0)
        for j in range(heading.childCount() if heading else 0):
            item = heading.child(j) if heading else None
            if item is not None and item.data(0, _TAG) is not None:
                item.setSelected(item.data(0, _TAG) in self._desk.session.selection)
