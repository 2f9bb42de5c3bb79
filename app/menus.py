"""The menu bar, and the menu at the pointer."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QMenuBar, QWidget

from app.actions import ACTIONS, MENUS
from app.commands import joining
from app.desk import Desk

_FOR_ENDS = (
    ("join", "type join", "join by wire", "join by cable", "swap", "unjoin"),
    ("cap", "pull", "leave", "reopen"),
    ("details", "zoom selection", "delete"),
)
_FOR_THINGS = (
    ("change part", "replace", "mate", "unmate", "open pair", "done"),
    ("cut", "copy"),
    ("details", "zoom selection", "delete"),
)
_FOR_NOTHING = (
    ("add part", "blank plug", "note", "paste"),
    ("select all", "find", "fit", "flip", "arrange"),
)


def fill_menu_bar(bar: QMenuBar, actions: Mapping[str, QAction]) -> list[QMenu]:
    menus = {name: bar.addMenu(f"&{name}") for name in MENUS}
    for spec in ACTIONS:
        if spec.separator:
            menus[spec.menu].addSeparator()
        menus[spec.menu].addAction(actions[spec.id])
    return list(menus.values())


def context_menu(desk: Desk, actions: Mapping[str, QAction], parent: QWidget) -> QMenu:
    """What can be done now with what is selected, and nothing else."""
    menu = QMenu(parent)
    groups: tuple[tuple[str, ...], ...]
    if joining.selected_ends(desk):
        groups = _FOR_ENDS
    else:
        groups = _FOR_THINGS if desk.session.selection else _FOR_NOTHING
    for group in groups:
        menu.addSeparator()
        menu.addActions([actions[name] for name in group if actions[name].isEnabled()])
    for action in menu.actions():
        # A letter is a key of the map too, and that comes first: the menu would stay open.
        action.triggered.connect(menu.close)
    return menu
