"""The style sheet, made from the theme's tokens."""

from __future__ import annotations

from string import Template

from app.theme import RADIUS, TOUCH, Tokens

_SHEET = Template(
    """
* { font-family: "Source Sans Pro"; }
QMainWindow, QDialog, QStackedWidget, QScrollArea, QScrollArea > QWidget > QWidget { background: $panel; color: $ink; }
QWidget { color: $ink; }
QMenuBar { background: $panel; padding: 2px 8px; }
QMenuBar::item { padding: 6px 10px; border-radius: ${radius}px; }
QMenuBar::item:selected { background: $action_wash; }
QMenu { background: $raised; border: 1px solid $hairline; padding: 6px; }
QMenu::item { padding: 6px 28px 6px 14px; border-radius: 4px; }
QMenu::item:selected { background: $action_wash; }
QMenu::item:disabled { color: $quiet; }
QMenu::separator { height: 1px; background: $hairline; margin: 5px 8px; }
QToolBar { background: $panel; border: none; border-bottom: 1px solid $hairline; spacing: 6px; padding: 5px 12px; }
QToolBar QToolButton, QPushButton {
    min-height: ${touch}px; padding: 2px 12px; border: 1px solid $hairline; border-radius: ${radius}px;
    background: $raised; color: $ink;
}
QToolBar QToolButton:hover, QPushButton:hover { border-color: $action; }
QToolBar QToolButton:pressed, QPushButton:pressed { background: $action_wash; }
QToolBar QToolButton:disabled, QPushButton:disabled { color: $quiet; background: $panel; }
QToolBar QToolButton:focus, QPushButton:focus { border: 2px solid $action; padding: 1px 11px; }
QToolBar QToolButton:checked { background: $ink; color: $panel; border-color: $ink; }
QPushButton#primary, QToolButton#primary { background: $action; color: $on_action; border-color: $action; font-weight: 600; }
QPushButton#primary:hover { border-color: $ink; }
QPushButton#primary:disabled { background: $hairline; border-color: $hairline; color: $quiet; }
QPushButton#open { border: 1px dashed $action; background: $action_wash; text-align: left; }
QPushButton#quiet { border-color: transparent; background: transparent; color: $action; padding: 2px 6px; }
QPushButton#quiet:hover { background: $action_wash; }
QPushButton#status { font-weight: 600; border: none; color: $on_level; padding: 2px 16px; }
QPushButton#status[status="red"] { background: $stop; }
QPushButton#status[status="amber"] { background: $look; }
QPushButton#status[status="green"] { background: $good; }
QPushButton#status[status="none"] { background: $hairline; color: $ink; }
QPushButton#status:focus { border: 2px solid $ink; padding: 1px 14px; }
QLineEdit, QPlainTextEdit, QTextEdit, QSpinBox, QDoubleSpinBox, QComboBox {
    min-height: 26px; background: $raised; color: $ink; border: 1px solid $hairline; border-radius: ${radius}px;
    padding: 1px 8px; selection-background-color: $action; selection-color: $on_action;
}
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QSpinBox:focus, QComboBox:focus { border-color: $action; }
QLineEdit:disabled, QComboBox:disabled { color: $quiet; background: $panel; }
QComboBox QAbstractItemView { background: $raised; border: 1px solid $hairline; selection-background-color: $action_wash;
    selection-color: $ink; }
QListWidget, QTreeWidget, QTreeView, QListView, QTableView { background: $panel; border: none; outline: none;
    alternate-background-color: $raised; }
QListView::item, QTreeView::item { min-height: ${touch}px; padding: 0 6px; border-radius: 4px; color: $ink; }
QListView::item:hover, QTreeView::item:hover { background: $action_wash; }
QListView::item:selected, QTreeView::item:selected { background: $action_wash; color: $ink; }
QTableView { gridline-color: $hairline; selection-background-color: $action_wash; selection-color: $ink; }
QHeaderView { background: $panel; }
QHeaderView::section { background: $panel; color: $quiet; border: none; border-bottom: 1px solid $hairline;
    padding: 5px 8px; font-weight: 600; }
QTableCornerButton::section { background: $panel; border: none; }
QDockWidget { color: $ink; titlebar-close-icon: none; }
QDockWidget::title { background: $panel; padding: 8px 12px 4px 12px; text-align: left; font-weight: 600; }
QDockWidget > QWidget { background: $panel; }
QMainWindow::separator { background: $hairline; width: 1px; height: 1px; }
QMainWindow::separator:hover { background: $action; }
QTabWidget::pane { border: none; }
QTabBar { background: $panel; }
QTabBar::tab { background: transparent; padding: 7px 14px; color: $quiet; border-bottom: 2px solid transparent; }
QTabBar::tab:selected { color: $ink; border-bottom: 2px solid $action; font-weight: 600; }
QTabBar::tab:hover { color: $ink; }
QScrollBar:vertical { background: transparent; width: 11px; margin: 0; }
QScrollBar:horizontal { background: transparent; height: 11px; margin: 0; }
QScrollBar::handle { background: $hairline; border-radius: 4px; min-height: 28px; min-width: 28px; margin: 2px; }
QScrollBar::handle:hover { background: $quiet; }
QScrollBar::add-line, QScrollBar::sub-line, QScrollBar::add-page, QScrollBar::sub-page { background: none; border: none;
    width: 0; height: 0; }
QStatusBar { background: $panel; border-top: 1px solid $hairline; color: $quiet; }
QStatusBar::item { border: none; }
QToolTip { background: $raised; color: $ink; border: 1px solid $hairline; padding: 4px 6px; }
QLabel#heading { font-weight: 600; font-size: 13pt; }
QLabel#section { font-weight: 600; color: $quiet; }
QLabel#quiet { color: $quiet; }
QLabel#tag { color: $on_level; border-radius: 9px; padding: 1px 9px; font-weight: 600; }
QLabel#tag[level="stop"] { background: $stop; }
QLabel#tag[level="look"] { background: $look; }
QLabel#tag[level="note"] { background: $note; }
QFrame#card { background: $raised; border: 1px solid $hairline; border-radius: ${radius}px; }
QFrame#card[level="stop"] { border-left: 4px solid $stop; }
QFrame#card[level="look"] { border-left: 4px solid $look; }
QFrame#card[level="note"] { border-left: 4px solid $note; }
QFrame#card[shown="yes"] { background: $action_wash; }
QFrame#notices { background: $ink; border-radius: ${radius}px; }
QFrame#notices QLabel { color: $panel; }
QFrame#notices[level="look"] { background: $look; }
QFrame#notices[level="stop"] { background: $stop; }
QFrame#notices[level="look"] QLabel, QFrame#notices[level="stop"] QLabel { color: $on_level; }
QFrame#notices QToolButton { border: none; background: transparent; color: $panel; min-height: 24px; min-width: 24px; }
QCheckBox, QRadioButton { min-height: ${touch}px; spacing: 8px; }
"""
)


def style_sheet(tokens: Tokens) -> str:
    """The whole style sheet for one set of tokens."""
    values = {name: getattr(tokens, name) for name in tokens.__dataclass_fields__}
    return _SHEET.substitute(values, radius=RADIUS, touch=TOUCH)
