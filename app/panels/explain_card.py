"""A conflict that explains itself, on the map: its steps with volts and amps, one after the other."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
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
)

from app.canvas.access import announce
from app.canvas.conflict_card import blocks_on
from app.canvas.sight import around_things
from app.canvas.view import LEAST_SCALE, MapView
from app.dialogs.forms import breakable, plain_label
from app.panels.dock import ElidedLabel
from app.work.explaining import Explaining, amps_words, place_words, volts_words

WIDTH = 340
ROW_HEIGHT = 28
EDGE = 10
LEAST_ROWS = 3
AROUND = 50.0
READABLE, NEAREST = 0.9, 1.25
"""Scales of the map: from the first its flags are read at ease, beyond the second nothing is gained."""
LEVEL_WORDS = {"stop": "Stop", "look": "Look", "note": "Note"}
_COLUMNS = ("", "Place", "Volts", "Amps")
_RIGHT = (2, 3)


class _Steps(QTableWidget):
    """The steps; arrows to either side go on and back as well."""

    def __init__(self, go: Callable[[int], object]) -> None:
        super().__init__(0, len(_COLUMNS))
        self._go = go
        self.setObjectName("steps")
        self.setAccessibleName("Steps")
        self.setHorizontalHeaderLabels(list(_COLUMNS))
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(ROW_HEIGHT)
        header = self.horizontalHeader()
        header.setMinimumSectionSize(24)
        header.setHighlightSections(False)
        for column in (0, *_RIGHT):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        for column in range(len(_COLUMNS)):
            heading = self.horizontalHeaderItem(column)
            if heading is not None:
                heading.setTextAlignment(_side(column))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self._go(1 if event.key() == Qt.Key.Key_Right else -1)
        else:
            super().keyPressEvent(event)

    def put(self, row: int, column: int, text: str, tip: str = "") -> None:
        item = self.item(row, column)
        if item is None:
            item = QTableWidgetItem()
            item.setTextAlignment(_side(column))
            self.setItem(row, column, item)
        item.setText(text)
        item.setToolTip(tip)


class ExplainCard(QFrame):
    """Floats on the map while a conflict explains itself."""

    def __init__(self, explaining: Explaining, view: MapView) -> None:
        super().__init__(view.viewport())
        self._explaining = explaining
        self._view = view
        self._key = ""
        self._taking = False
        self.setObjectName("meter")
        self.setAccessibleName("Explain a conflict")
        self.setFixedWidth(WIDTH)
        self.level = QLabel()
        self.level.setObjectName("tag")
        self.rule = ElidedLabel("", "row-name")
        self.message = plain_label("")
        self.position = QComboBox()
        self.position.setAccessibleName("Position that the steps are told in")
        self.position.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.position.activated.connect(lambda _: explaining.show_position(self.position.currentText()))
        self.steps = _Steps(self.go)
        self.steps.currentCellChanged.connect(self._chosen)
        self.back = QPushButton("Back")
        self.forward = QPushButton("Next")
        self.count = QLabel()
        self.count.setObjectName("quiet")
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 6, 12, 12)
        column.setSpacing(6)
        column.addLayout(self._title())
        column.addWidget(self.message)
        column.addLayout(self._in_position())
        column.addWidget(self.steps)
        column.addLayout(self._turning())
        explaining.changed.connect(self._refresh)
        view.conflict_shown.connect(self._another_shown)
        view.card.callout.explain_wanted.connect(explaining.start)
        view.installEventFilter(self)
        view.viewport().installEventFilter(self)
        self.hide()

    def go(self, by: int) -> None:
        """So many steps on, or back."""
        self._explaining.go_to(self._explaining.at + by)

    def _title(self) -> QHBoxLayout:
        close = QToolButton()
        close.setObjectName("close")
        close.setAccessibleName("End explaining")
        close.setToolTip("End explaining (Escape)")
        close.clicked.connect(self._explaining.end)
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self.level, 0, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.rule, 1)
        row.addWidget(close)
        return row

    def _in_position(self) -> QHBoxLayout:
        words = QLabel("Volts against the body, in")
        words.setObjectName("quiet")
        words.setBuddy(self.position)
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(words)
        row.addWidget(self.position, 1)
        return row

    def _turning(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(8)
        for button, by, words in ((self.back, -1, "Previous step"), (self.forward, 1, "Next step")):
            button.setAccessibleName(words)
            button.setToolTip(f"{words} ({'Shift+F9' if by < 0 else 'F9'})")
            button.clicked.connect(lambda _=False, by=by: self.go(by))
        row.addWidget(self.back)
        row.addWidget(self.forward)
        row.addStretch(1)
        row.addWidget(self.count)
        return row

    # What it shows

    def _refresh(self) -> None:
        conflict, view = self._explaining.conflict, self._view
        if conflict is None:
            if self.isVisible():
                self._put_away()
            return
        begins = not self.isVisible() or self._key != conflict.key
        self._key = conflict.key
        self.level.setText(LEVEL_WORDS[conflict.level])
        self.level.setProperty("level", conflict.level)
        self.level.style().polish(self.level)
        self.rule.setText(conflict.rule[:1].upper() + conflict.rule[1:])
        self.message.setText(breakable(conflict.message))
        self._fill_positions()
        self._fill_steps()
        refs = [step.ref for step in self._explaining.steps]
        told = self._explaining.at + 1 if refs else 0
        view.overlay.show_way(view.session.job, refs, told, conflict.level)
        if begins:
            view.show_conflict(conflict)
            view.card.put_aside(True)
            self._bring_into_sight(refs)
            self.show()
            self.raise_()
            self.steps.setFocus()
        else:
            view.reveal(refs[told - 1 : told])
        self._place()
        self._say()

    def _put_away(self) -> None:
        """The map without the way, with the callout of the conflict."""
        here = QApplication.focusWidget()
        had_focus = here is not None and self.isAncestorOf(here)
        self._key = ""
        self.hide()
        self._view.overlay.show_way(self._view.session.job, ())
        self._view.card.put_aside(False)
        if had_focus:
            self._view.setFocus()

    def _bring_into_sight(self, refs: list[str]) -> None:
        """The whole way beside the card, near enough to read."""
        view = self._view
        around = around_things(view.finder, refs)
        if around is None:
            return
        wide = around.adjusted(-AROUND, -AROUND, AROUND, AROUND)
        free = view.viewport().rect().adjusted(0, 0, -WIDTH - 2 * EDGE, 0)
        fits = min(free.width() / wide.width(), free.height() / wide.height())
        if not view.visible_rect().contains(around) or view.scale_now < min(fits, READABLE):
            view.show_scale(max(min(fits, NEAREST), LEAST_SCALE), free.center(), around.center())

    def _fill_positions(self) -> None:
        names = list(self._explaining.positions)
        if [self.position.itemText(at) for at in range(self.position.count())] != names:
            self.position.clear()
            self.position.addItems(names)
        self.position.setCurrentIndex(self.position.findText(self._explaining.position))
        self.position.setEnabled(len(names) > 1)

    def _fill_steps(self) -> None:
        job, library = self._view.session.job, self._view.session.library
        self._taking = True
        self.steps.setRowCount(len(self._explaining.steps))
        for row, step in enumerate(self._explaining.steps):
            place, what = place_words(job, library, step)
            self.steps.put(row, 0, str(row + 1))
            self.steps.put(row, 1, f"{place}  {what}".strip(), f"{place}: {what}")
            self.steps.put(row, 2, volts_words(step))
            self.steps.put(row, 3, amps_words(step))
        self.steps.setCurrentCell(self._explaining.at, 1)
        self._taking = False
        self.count.setText(f"{self._explaining.at + 1} of {len(self._explaining.steps)}")
        self.back.setEnabled(self._explaining.at > 0)
        self.forward.setEnabled(self._explaining.at + 1 < len(self._explaining.steps))

    def _say(self) -> None:
        """The step in words, for the status line and for screen readers."""
        step = self._explaining.step
        if step is None:
            return
        place, what = place_words(self._view.session.job, self._view.session.library, step)
        told = [volts_words(step), amps_words(step)]
        words = ", ".join(word for word in told if word != "–")
        text = f"Step {self.count.text()}: {place} {what}".rstrip() + (f": {words}" if words else "")
        self.steps.setAccessibleName(f"Steps. {text}")
        self._view.say(text)
        announce(self._view, text)

    def _chosen(self, row: int, *_: int) -> None:
        if not self._taking and row >= 0:
            self._explaining.go_to(row)

    def _another_shown(self, key: object) -> None:
        if self._explaining.conflict is not None and key != self._explaining.conflict.key:
            self._explaining.end()

    # Where it stands

    def _place(self) -> None:
        """In the corner of the map that hides least of the parts and of the way; as high as its steps."""
        port = self._view.viewport()
        layout = self.layout()
        rows = self.steps.rowCount() * ROW_HEIGHT + self.steps.horizontalHeader().sizeHint().height() + 4
        self.steps.setFixedHeight(rows)
        if layout is not None:
            layout.activate()
            over = layout.heightForWidth(WIDTH) - (port.height() - 2 * EDGE)
            if over > 0:
                self.steps.setFixedHeight(max(LEAST_ROWS * ROW_HEIGHT, rows - over))
                layout.activate()
            self.setFixedHeight(max(layout.heightForWidth(WIDTH), layout.minimumSize().height()))
        right, low = port.width() - WIDTH - EDGE, port.height() - self.height() - EDGE
        corners = (QPoint(right, EDGE), QPoint(right, low), QPoint(EDGE, low), QPoint(EDGE, EDGE))
        self.move(min(corners, key=lambda corner: self._hidden(QRect(corner, self.size()))))

    def _hidden(self, card: QRect) -> int:
        """What a card there would hide, in square pixels; a step or another card counts for very much."""
        cuts = (card.intersected(block) for block in blocks_on(self._view))
        area = sum(cut.width() * cut.height() for cut in cuts if cut.isValid())
        others = (other for other in self._view.viewport().findChildren(QFrame, "meter") if other is not self)
        area += sum(100_000 for other in others if other.isVisible() and card.intersects(other.geometry()))
        marks = (self._view.mapFromScene(mark.at) for mark in self._view.map_scene.steps.marks)
        return area + sum(100_000 for mark in marks if card.contains(mark))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if self.isHidden():
            return False
        if watched is self._view.viewport():
            if event.type() == QEvent.Type.Resize:
                self._place()
            return False
        escape = event.type() == QEvent.Type.KeyPress and _key(event) == Qt.Key.Key_Escape
        if escape and self._view.gestures.tool is None:
            self._explaining.end()
            return True
        return False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._explaining.end()
        else:
            super().keyPressEvent(event)


def _side(column: int) -> Qt.AlignmentFlag:
    across = Qt.AlignmentFlag.AlignRight if column in _RIGHT else Qt.AlignmentFlag.AlignLeft
    return across | Qt.AlignmentFlag.AlignVCenter


def _key(event: QEvent) -> int:
    return event.key() if isinstance(event, QKeyEvent) else 0
