"""One job's window: puts map, panels, menus and toolbar together. No logic of its own."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, Qt, Signal
from PySide6.QtGui import QAction, QCloseEvent
from PySide6.QtWidgets import (
    QDockWidget,
    QLabel,
    QMainWindow,
    QMenu,
    QPushButton,
    QSizePolicy,
    QStackedWidget,
    QToolBar,
    QToolButton,
    QWidget,
)

from app.actions import ACTIONS, MENUS, make_actions
from app.canvas.view import MapView
from app.commands import checking, joining, parts
from app.desk import Desk, Program
from app.dialogs.unsaved import may_close
from app.notify import Notices
from app.panels.conflicts import ConflictsPanel
from app.panels.details import DetailsPanel
from app.panels.drawing import DrawingPlace
from app.panels.find import FindBar
from app.panels.lists import ListsPanel
from app.panels.shelf import ShelfPanel
from app.panels.status import StatusWords
from app.session import Session
from app.style import style_sheet
from app.theme import Tokens
from app.work.check_service import CheckService
from app.work.job_file import JobFile

_FEATURES = QDockWidget.DockWidgetFeature.DockWidgetClosable | QDockWidget.DockWidgetFeature.DockWidgetMovable
LIST_DOCK_LEAST_HEIGHT = 900
"""On lower screens the lists start hidden: the map comes first."""


class JobWindow(QMainWindow):
    """Map in the middle, shelf at the left, conflicts and details at the right, lists below."""

    closed = Signal(object)

    def __init__(self, session: Session, file: JobFile, program: Program, tokens: Tokens) -> None:
        super().__init__()
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setDockNestingEnabled(True)
        self.setMinimumSize(900, 600)
        self._panels: dict[str, QDockWidget] = {}
        self.session = session
        session.setParent(self)
        self.view = MapView(session, tokens)
        self.checks = CheckService(session, self)
        self._places = QStackedWidget()
        self.setCentralWidget(self._places)
        self.desk = Desk(self, program, self, session, self.view, self.checks, file, Notices(self._places))
        self.drawing = DrawingPlace(self.desk)
        self._places.addWidget(self.view)
        self._places.addWidget(self.drawing)
        self.find_bar = FindBar(self.desk, self.view)
        self.shelf = ShelfPanel(self.desk)
        self.conflicts = ConflictsPanel(self.desk)
        self.details = DetailsPanel(self.desk)
        self.lists = ListsPanel(self.desk)
        self._add_panel("shelf", "Parts shelf", self.shelf, Qt.DockWidgetArea.LeftDockWidgetArea)
        self._add_panel("conflicts", "Conflicts", self.conflicts, Qt.DockWidgetArea.RightDockWidgetArea)
        self._add_panel("details", "Details", self.details, Qt.DockWidgetArea.RightDockWidgetArea)
        self._add_panel("lists", "Lists", self.lists, Qt.DockWidgetArea.BottomDockWidgetArea)
        self.actions_by_id = make_actions(self.desk, self)
        self._bind_map_keys()
        self._make_menus()
        self._make_toolbar()
        self._words = QLabel()
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self.statusBar().addWidget(self._words, 1)
        self.statusBar().setSizeGripEnabled(False)
        self._connect()
        self.set_tokens(tokens)
        self._retitle()
        self._enable()

    def set_tokens(self, tokens: Tokens) -> None:
        self.setStyleSheet(style_sheet(tokens))
        self.view.set_tokens(tokens)
        self.drawing.set_tokens(tokens)

    def show_place(self, name: str) -> None:
        """`map` or `drawing`."""
        self._places.setCurrentIndex(("map", "drawing").index(name))
        (self.view if name == "map" else self.drawing).setFocus()
        self.desk.notices.raise_()
        self._mark_place()

    def show_panel(self, name: str) -> None:
        dock = self._panels[name]
        dock.show()
        dock.raise_()
        widget = dock.widget()
        if widget is not None:
            widget.setFocus()

    def edit_find(self) -> None:
        self.show_place("map")
        self.find_bar.open()

    def find_part(self) -> None:
        self.show_panel("shelf")
        self.shelf.focus_search()

    def action_rows(self) -> list[tuple[str, str, str, str]]:
        """(menu, text, key, hint) of every action, for the page of keys."""
        return [(spec.menu, spec.text.replace("&", ""), spec.key, spec.hint) for spec in ACTIONS]

    def restore(self, geometry: QByteArray, panels: QByteArray) -> None:
        """As the last window was left; at the first run, a size that suits the screen."""
        if geometry.isEmpty() or not self.restoreGeometry(geometry):
            self.resize(self.screen().availableSize() * 0.94)
        if panels.isEmpty() or not self.restoreState(panels):
            self._panels["lists"].setVisible(self.screen().availableSize().height() >= LIST_DOCK_LEAST_HEIGHT)
            self.resizeDocks(
                [self._panels["shelf"], self._panels["conflicts"]], [200, 280], Qt.Orientation.Horizontal
            )
            self.resizeDocks([self._panels["lists"]], [208], Qt.Orientation.Vertical)
            right = [self._panels["conflicts"], self._panels["details"]]
            self.resizeDocks(right, [400, 240], Qt.Orientation.Vertical)

    def closeEvent(self, event: QCloseEvent) -> None:
        if not may_close(self.desk):
            event.ignore()
            return
        self.desk.program.settings.keep_window_state(self.saveGeometry(), self.saveState())
        self.desk.file.close()
        self.drawing.forget()
        self.closed.emit(self)
        event.accept()

    def _add_panel(self, name: str, title: str, widget: QWidget, area: Qt.DockWidgetArea) -> None:
        dock = QDockWidget(title, self)
        dock.setObjectName(name)
        dock.setWidget(widget)
        dock.setFeatures(_FEATURES)
        widget.setAccessibleName(title)
        self.addDockWidget(area, dock)
        self._panels[name] = dock

    def _bind_map_keys(self) -> None:
        """Single-letter keys live on the map alone; all others everywhere in the window."""
        for spec in ACTIONS:
            action = self.actions_by_id[spec.id]
            if spec.map_only:
                action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
                self.view.addAction(action)
            else:
                self.addAction(action)

    def _make_menus(self) -> None:
        menus = {name: self.menuBar().addMenu(f"&{name}") for name in MENUS}
        for spec in ACTIONS:
            if spec.separator:
                menus[spec.menu].addSeparator()
            menus[spec.menu].addAction(self.actions_by_id[spec.id])
        for menu in menus.values():
            menu.aboutToShow.connect(self._enable)

    def _make_toolbar(self) -> None:
        bar = QToolBar("Tools")
        bar.setObjectName("tools")
        bar.setMovable(False)
        self.addToolBar(bar)
        self._place_buttons = {}
        for name in ("map", "drawing"):
            button = QToolButton()
            button.setText(name.capitalize())
            button.setCheckable(True)
            button.clicked.connect(self.actions_by_id[name].trigger)
            button.setToolTip(self.actions_by_id[name].toolTip())
            self._place_buttons[name] = button
            bar.addWidget(button)
        bar.addSeparator()
        for spec in ACTIONS:
            if spec.toolbar and spec.id != "print":
                bar.addAction(self.actions_by_id[spec.id])
        gap = QWidget()
        gap.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        bar.addWidget(gap)
        self.status = QPushButton()
        self.status.setObjectName("status")
        self.status.clicked.connect(self.actions_by_id["conflicts"].trigger)
        bar.addWidget(self.status)
        bar.addAction(self.actions_by_id["print"])
        self._status_words = StatusWords(self.desk, self.status)
        self._mark_place()

    def _mark_place(self) -> None:
        shown = ("map", "drawing")[self._places.currentIndex()]
        for name, button in self._place_buttons.items():
            button.setChecked(name == shown)

    def _connect(self) -> None:
        session, view = self.session, self.view
        session.changed.connect(self._enable)
        session.selection_changed.connect(self._enable)
        session.checked.connect(self._enable)
        session.refused.connect(self.desk.notices.refuse)
        session.file_changed.connect(self._retitle)
        session.changed.connect(self._retitle)
        view.status_text.connect(self._words.setText)
        view.part_dropped.connect(lambda drop: parts.add_from_library(self.desk, drop[0], (drop[1], drop[2])))
        view.conflict_mend.connect(lambda mend: checking.apply_mend(self.desk, mend))
        view.note_opened.connect(lambda note: parts.edit_note(self.desk, note))
        view.menu_wanted.connect(self._show_context_menu)

    def _show_context_menu(self, wanted: object) -> None:
        """What can be done with what is selected, at the pointer."""
        menu = QMenu(self)
        self._enable()
        groups = ("Join",) if joining.selected_ends(self.desk) else ("Part", "Edit")
        for spec in ACTIONS:
            if spec.menu in groups and self.actions_by_id[spec.id].isEnabled():
                menu.addAction(self.actions_by_id[spec.id])
        menu.addSeparator()
        menu.addAction(self.actions_by_id["delete"])
        menu.popup(self.cursor().pos())

    def _enable(self, _: object = None) -> None:
        for spec in ACTIONS:
            action: QAction = self.actions_by_id[spec.id]
            action.setEnabled(spec.enabled(self.desk))
        stack = self.session.undo_stack
        self.actions_by_id["undo"].setText(f"&Undo {stack.undoText()}".rstrip())
        self.actions_by_id["redo"].setText(f"&Redo {stack.redoText()}".rstrip())

    def _retitle(self, _: object = None) -> None:
        sheet, path = self.session.job.sheet, self.session.path
        name = sheet.title or (path.stem if path else "New job")
        number = f"Job {sheet.number} · " if sheet.number else ""
        read_only = (
            f" (read only: {self.session.read_only_because})" if self.session.read_only_because else ""
        )
        self.setWindowTitle(f"{number}{name}[*]{read_only} — Loomwright")
        self.setWindowModified(self.session.modified)
