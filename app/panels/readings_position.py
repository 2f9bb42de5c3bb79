"""Which position a meter sheet is for: the standard set with what was read in each, or any other."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFrame,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.panels.readings_rows import count_taken
from app.theme import TOUCH
from app.work.live import parted
from app.work.switches import known_switches, switch_words
from core.circuit.positions import KEYS, Position, ordered
from core.job.document import Job
from core.job.internals import Switch
from core.job.internals.common import STANDARD_SWITCHES

_NAME = Qt.ItemDataRole.UserRole


class PositionChoice(QScrollArea):
    """The list of positions; below it key and switches for any other, and the bench supply."""

    chosen = Signal(object)
    """str: name of the position."""
    bench_changed = Signal(object)
    """bool: readings on the bench supply."""

    def __init__(self) -> None:
        super().__init__()
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWidgetResizable(True)
        self.position: str = KEYS[0]
        self.list = QListWidget()
        self.list.setAccessibleName("Positions")
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        self.list.currentItemChanged.connect(self._picked)
        self.key = QComboBox()
        self.key.setAccessibleName("Key")
        for key in KEYS:
            self.key.addItem(key.capitalize(), key)
        self.key.activated.connect(self._composed)
        self.bench = QCheckBox("On the bench supply")
        self.bench.toggled.connect(lambda on: self.bench_changed.emit(on))
        self.switches: dict[Switch, QCheckBox] = {}
        self._own: tuple[Switch, ...] = ()
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 8, 8)
        column.setSpacing(6)
        column.addWidget(_section("Key position"))
        column.addWidget(self.list)
        column.addWidget(_section("Any other"))
        column.addWidget(self.key)
        self._ticks = QVBoxLayout()
        self._ticks.setSpacing(0)
        column.addLayout(self._ticks)
        column.addWidget(_section("Supply"))
        column.addWidget(self.bench)
        column.addStretch(1)
        self.setWidget(body)

    def fill(self, job: Job, standard: Sequence[str]) -> None:
        """The positions of the standard set, those with readings, and the one chosen."""
        read = (reading.position for reading in job.readings)
        names = tuple(dict.fromkeys((*standard, *read, self.position)))
        self._show_switches(job)
        self.list.blockSignals(True)
        self._show_names(job, names)
        self.list.setCurrentRow(names.index(self.position))
        self.list.blockSignals(False)
        self._show_composed()

    def go_to(self, name: str) -> None:
        """Choose a position, one of the list or any other."""
        if name != self.position:
            self.position = name
            self.chosen.emit(name)

    def _show_names(self, job: Job, names: Sequence[str]) -> None:
        while self.list.count() > len(names):
            self.list.takeItem(self.list.count() - 1)
        while self.list.count() < len(names):
            self.list.addItem(QListWidgetItem())
        for at, name in enumerate(names):
            item, count = self.list.item(at), count_taken(job, name)
            item.setText(f"{name}  ({count} read)" if count else name)
            item.setToolTip(name)
            item.setData(_NAME, name)
        self.list.setFixedHeight(len(names) * max(TOUCH, self.list.sizeHintForRow(0)) + 4)

    def _show_switches(self, job: Job) -> None:
        self._own = known_switches(job)
        wanted = (*STANDARD_SWITCHES, *self._own)
        if tuple(self.switches) != wanted:
            for tick in self.switches.values():
                self._ticks.removeWidget(tick)
                tick.hide()
                tick.deleteLater()
            self.switches = {}
            for switch in wanted:
                tick = self.switches[switch] = QCheckBox(switch_words(job, switch))
                tick.clicked.connect(partial(self._composed, 0))
                self._ticks.addWidget(tick)

    def _show_composed(self) -> None:
        here = parted(self.position)
        self.key.setCurrentIndex(KEYS.index(here.key))
        for switch, tick in self.switches.items():
            tick.setChecked(switch in here.switches)

    def _composed(self, _: int = 0, __: bool = False) -> None:
        on = (switch for switch, tick in self.switches.items() if tick.isChecked())
        self.go_to(Position(KEYS[self.key.currentIndex()], ordered(on, self._own)).name)

    def _picked(self, item: QListWidgetItem | None) -> None:
        if item is not None:
            self.go_to(str(item.data(_NAME)))


def _section(words: str) -> QLabel:
    label = QLabel(words)
    label.setObjectName("section")
    return label
