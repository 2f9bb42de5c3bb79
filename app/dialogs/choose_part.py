"""Choosing one part of the shop library."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit, QListWidget, QListWidgetItem, QWidget

from app.dialogs.forms import FormDialog
from core.library.library import Library
from core.library.model import LibraryPart


def choose_part(parent: QWidget | None, library: Library, title: str) -> LibraryPart | None:
    dialog = FormDialog(parent, title, "Take it")
    find = QLineEdit()
    find.setPlaceholderText("Find a part")
    find.setAccessibleName("Find a part")
    listed = QListWidget()
    listed.setAccessibleName("Parts found")
    listed.setMinimumHeight(280)
    dialog.form.addRow(find)
    dialog.form.addRow(listed)

    def fill(text: str) -> None:
        listed.clear()
        for entry in library.find(text):
            item = QListWidgetItem(entry.name)
            item.setData(Qt.ItemDataRole.UserRole, entry)
            listed.addItem(item)
        listed.setCurrentRow(0)
        dialog.agree.setEnabled(listed.count() > 0)

    find.textChanged.connect(fill)
    listed.itemActivated.connect(lambda item: dialog.accept())
    fill("")
    if not dialog.asked() or listed.currentItem() is None:
        return None
    chosen: LibraryPart = listed.currentItem().data(Qt.ItemDataRole.UserRole)
    return chosen
