"""One job's window: puts map, panels, menus and toolbar together. No logic of its own."""

from __future__ import annotations

from functools import partial
from typing import cast

from PySide6.QtCore import QByteArray, QPoint, Qt, Signal
from PySide6.QtGui import QAction, QCloseEvent
from PySide6.QtWidgets import QDockWidget, QLabel, QMainWindow, QStackedWidget, QWidget

from app.actions import ACTIONS, make_actions
from app.canvas.conflict_card import blocks_on
from app.canvas.view import MapView
from app.commands import checking, parts
from app.desk import Desk, Program
from app.dialogs.unsaved import may_close
from app.hint import EmptyHint
from app.menus import context_menu, fill_menu_bar
from app.notify import Notices
from app.panels.conflicts import ConflictsPanel
from app.panels.details import DetailsPanel
from app.panels.dock import ElidedLabel, Panel, PutAside
from app.panels.drawing import DrawingPlace
from app.panels.explain_card import ExplainCard
from app.panels.find import FindBar
from app.panels.key_strip import KeyStrip, MapPlace
from app.panels.lists import ListsPanel
from app.panels.meter_card import MeterCard
from app.panels.readings import ReadingsPlace
from app.panels.shelf import ShelfPanel
from app.panels.status import StatusWords
from app.session import Session
from app.style import style_sheet
from app.theme import Tokens
from app.toolbar import PLACES, MainBar
from app.work.check_service import CheckService
from app.work.expected import Asked, Expected
from app.work.explaining import Explaining
from app.work.job_file import JobFile

_LEFT, _RIGHT = Qt.DockWidgetArea.LeftDockWidgetArea, Qt.DockWidgetArea.RightDockWidgetArea
LIST_DOCK_LEAST_HEIGHT = 900
"""On lower screens the lists start hidden: the map comes first."""


class JobWindow(QMainWindow):
    """Map in the middle, shelf at the left, conflicts and details at the right, lists below."""

    closed = Signal(object)

    def __init__(self, session: Session, file: JobFile, program: Program, tokens: Tokens) -> None:
        super().__init__()
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setDockNestingEnabled(True)
        self.setCorner(Qt.Corner.BottomLeftCorner, _LEFT)
        self.setCorner(Qt.Corner.BottomRightCorner, _RIGHT)
        self.setMinimumSize(720, 480)
        self.panels: dict[str, QDockWidget] = {}
        self.session = session
        session.setParent(self)
        self.view = MapView(session, tokens)
        self.checks = CheckService(session, self)
        self._places = QStackedWidget()
        self.setCentralWidget(self._places)
        notices, meter = Notices(self._places), self.view.gestures.meter
        expected = Expected(session, self.checks, self)
        explaining = Explaining(session, self.checks, self)
        self.desk = Desk(
            self, program, self, session, self.view, self.checks, file, notices, expected, meter, explaining
        )
        self.explain = ExplainCard(explaining, self.view)
        self.meter = MeterCard(
            meter,
            session,
            expected,
            self.view.viewport(),
            self.show_reading,
            partial(blocks_on, self.view),
            meter.tips_on_view,
        )
        self.readings = ReadingsPlace(self.desk)
        self.drawing = DrawingPlace(self.desk)
        self.key_strip = KeyStrip(session)
        self._places.addWidget(MapPlace(self.key_strip, self.view))
        self._places.addWidget(self.readings)
        self._places.addWidget(self.drawing)
        self._aside = PutAside(self.panels)
        self.find_bar = FindBar(self.desk, self.view)
        self.shelf = ShelfPanel(self.desk)
        self.conflicts = ConflictsPanel(self.desk)
        self.details = DetailsPanel(self.desk)
        self.lists = ListsPanel(self.desk)
        self._add_panel("shelf", "Parts shelf", self.shelf, _LEFT)
        self._add_panel("conflicts", "Conflicts", self.conflicts, _RIGHT, self.conflicts.fresh)
        self._add_panel("details", "Details", self.details, _RIGHT)
        self._add_panel("lists", "Lists", self.lists, Qt.DockWidgetArea.BottomDockWidgetArea)
        self.hint = EmptyHint(self.desk, self.view)
        self.actions_by_id = make_actions(self.desk, self)
        self._bind_map_keys()
        for menu in fill_menu_bar(self.menuBar(), self.actions_by_id):
            menu.aboutToShow.connect(self._enable)
        self.bar = MainBar(self.actions_by_id)
        self.addToolBar(self.bar)
        self._status_words = StatusWords(self.desk, self.bar.status, self.bar.fit_in)
        self.bar.mark_place("map")
        self._words = ElidedLabel(style="status-words")
        self.statusBar().addWidget(self._words, 1)
        self.statusBar().setSizeGripEnabled(False)
        self._connect()
        self.set_tokens(tokens)
        self._retitle()
        self._enable()
        self.view.setFocus()

    def set_tokens(self, tokens: Tokens) -> None:
        self.setStyleSheet(style_sheet(tokens))
        self.view.set_tokens(tokens)
        self.drawing.set_tokens(tokens)
        self.readings.set_tokens(tokens)

    def show_place(self, name: str) -> None:
        """One of PLACES."""
        if name == "readings":
            self._aside.put()
        else:
            self._aside.bring_back()
        self._places.setCurrentIndex(PLACES.index(name))
        {"map": self.view.setFocus, "readings": self.readings.take_focus}.get(name, self.drawing.setFocus)()
        self.desk.notices.raise_()
        self.bar.mark_place(name)

    def show_reading(self, asked: Asked) -> None:
        self.show_place("readings")
        self.readings.show_points(asked)

    def show_panel(self, name: str) -> None:
        dock = self.panels[name]
        dock.show()
        dock.raise_()
        match name:
            case "shelf":
                self.shelf.take_focus()
            case "conflicts":
                self.conflicts.take_focus()
            case "details":
                self.details.take_focus()
            case _:
                self.lists.take_focus()

    def edit_field(self, label: str) -> None:
        self.show_panel("details")
        self.details.take_focus(label)

    def edit_find(self) -> None:
        self.show_place("map")
        self.find_bar.open()

    def find_part(self) -> None:
        self.show_panel("shelf")

    def action_rows(self) -> list[tuple[str, str, str, str]]:
        """(menu, text, key, hint) of every action, for the page of keys."""
        return [(spec.menu, spec.text.replace("&", ""), spec.key, spec.hint) for spec in ACTIONS]

    def restore(self, geometry: QByteArray, panels: QByteArray) -> None:
        """As the last window was left; at the first run, a size that suits the screen."""
        if geometry.isEmpty() or not self.restoreGeometry(geometry):
            self.resize(self.screen().availableSize() * 0.94)
        if panels.isEmpty() or not self.restoreState(panels):
            self.panels["lists"].setVisible(self.screen().availableSize().height() >= LIST_DOCK_LEAST_HEIGHT)
            sides = [self.panels["shelf"], self.panels["conflicts"]]
            narrow = self.screen().availableSize().width() < 1200
            self.resizeDocks(sides, [188, 264] if narrow else [232, 288], Qt.Orientation.Horizontal)
            self.resizeDocks([self.panels["lists"]], [208], Qt.Orientation.Vertical)
            right = [self.panels["conflicts"], self.panels["details"]]
            self.resizeDocks(right, [400, 260], Qt.Orientation.Vertical)

    def closeEvent(self, event: QCloseEvent) -> None:
        if not may_close(self.desk):
            event.ignore()
            return
        self._aside.bring_back()
        self.desk.program.settings.keep_window_state(self.saveGeometry(), self.saveState())
        self.desk.file.close()
        self.drawing.forget()
        self.closed.emit(self)
        event.accept()

    def _add_panel(
        self, name: str, title: str, widget: QWidget, area: Qt.DockWidgetArea, state: QLabel | None = None
    ) -> None:
        self.panels[name] = Panel(name, title, widget, state, self)
        self.addDockWidget(area, self.panels[name])

    def _bind_map_keys(self) -> None:
        """Single-letter keys live on the map alone; all others everywhere in the window."""
        for spec in ACTIONS:
            action = self.actions_by_id[spec.id]
            if spec.map_only:
                action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
                self.view.addAction(action)
            else:
                self.addAction(action)

    def _connect(self) -> None:
        session, view = self.session, self.view
        session.changed.connect(self._enable)
        session.undo_stack.indexChanged.connect(self._enable)  # after the change was told
        session.selection_changed.connect(self._enable)
        session.checked.connect(self._enable)
        session.refused.connect(self.desk.notices.refuse)
        session.file_changed.connect(self._retitle)
        session.changed.connect(self._retitle)
        view.conflict_shown.connect(self._enable)
        self.desk.explaining.changed.connect(self._enable)
        view.status_text.connect(self._words.setText)
        view.part_dropped.connect(lambda drop: parts.add_from_library(self.desk, drop[0], (drop[1], drop[2])))
        view.conflict_mend.connect(lambda mend: checking.apply_mend(self.desk, mend))
        view.note_opened.connect(lambda note: parts.edit_note(self.desk, note))
        view.menu_wanted.connect(self._show_context_menu)

    def _show_context_menu(self, wanted: object) -> None:
        """What can be done with what is selected; `wanted` is (id under the pointer, where)."""
        self._enable()
        _, where = cast("tuple[str, QPoint]", wanted)
        menu = context_menu(self.desk, self.actions_by_id, self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(where)

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
        state = "Read only · " if read_only else "Not saved · " if self.session.modified else ""
        self.bar.job_name.setText(f"{state}{number}{name}")
        self.bar.fit_in()
