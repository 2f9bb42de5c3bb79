"""Fields of a form that know what they ask for: a number with its unit, key positions, pairs of words."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from app.dialogs.forms import plain_label
from core.circuit.positions import KEYS
from core.job.base import SHORT_TEXT_LENGTH
from core.job.internals import LiveIn, VoltWindow

_NUMBER = re.compile(r"^(?P<sign>[+-]?)(?P<digits>[0-9.,]*[0-9][.,]?(?:e[+-]?[0-9]+)?) *(?P<unit>\S*)$", re.I)
_THOUSANDS = re.compile(r"^[1-9][0-9]{0,2}(,[0-9]{3})+$")
_PREFIXES = {"": 1.0, "m": 1e-3, "k": 1e3, "M": 1e6}


class Unreadable(ValueError):
    """What was typed is not what was asked for; says why in the user's words."""


class Missing(Unreadable):
    """Nothing was stated where something must be."""


def read_number(text: str, unit: str = "") -> float | None:
    """`4.7`, `4,7`, `4.7 k`, `500 mA`, in the unit itself; None for nothing typed. Raises Unreadable."""
    text = text.strip().replace("−", "-").replace("Ω", "ohm")
    if not text:
        return None
    found = _NUMBER.fullmatch(text)
    if found is None or not (scale := _scale(found["unit"], unit)):
        raise Unreadable(f"not a number in {unit}" if unit else "not a number")
    digits = found["digits"]
    if _THOUSANDS.fullmatch(digits):
        raise Unreadable(f"write {digits.replace(',', '')}, or with a point {digits.replace(',', '.')}")
    try:
        number = float(found["sign"] + digits.replace(",", "."))
    except ValueError:
        raise Unreadable("not a number") from None
    return number if scale == 1 else float(f"{number * scale:.15g}")


def _scale(written: str, unit: str) -> float:
    """What a written unit such as `mA` or `k` stands for; 0 where it is none of this unit."""
    for prefix, scale in _PREFIXES.items():
        if written in (prefix, prefix + unit):
            return scale
    return 0.0


def show_number(number: float | None) -> str:
    """As people type it, and so that reading it gives the very same number."""
    if number is None:
        return ""
    return str(int(number)) if number == int(number) else repr(number)


class Entry(QWidget):
    """One thing that is asked for, with the room for saying why it cannot be so.

    `read` gives the value or raises Unreadable; None is nothing stated.
    """

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(2)
        self._wrong = plain_label("")
        self._wrong.setObjectName("wrong")
        self._wrong.hide()

    def fill(self, *widgets: QWidget) -> None:
        """Put the widgets in, below each other; the first takes the keyboard."""
        for widget in widgets:
            self.column.addWidget(widget)
        self.column.addWidget(self._wrong)
        first = widgets[0]
        self.setFocusProxy(first.focusProxy() or first)

    def name(self, label: str, help_words: str = "") -> None:
        """For screen readers, and for the pointer that rests."""
        for widget in self.named():
            widget.setAccessibleName(label)
            widget.setAccessibleDescription(help_words)
            widget.setToolTip(help_words)

    def named(self) -> Sequence[QWidget]:
        """What the label is the name of."""
        proxy = self.focusProxy()
        return [proxy] if proxy is not None else []

    def read(self) -> Any:
        raise NotImplementedError

    def complain(self, why: str) -> None:
        """Say below the field what is wrong; the empty string takes it back."""
        self._wrong.setText(why)
        self._wrong.setVisible(bool(why))
        for widget in self.named():
            widget.setProperty("wrong", bool(why))
            widget.style().polish(widget)

    @property
    def complaint(self) -> str:
        return self._wrong.text()


class NumberEntry(Entry):
    """A number. `grey` stands there while nothing is typed; a share is typed `in_percent`."""

    def __init__(self, value: float | None, unit: str, grey: str = "", in_percent: bool = False) -> None:
        super().__init__()
        self._value, self._unit, self.in_percent = value, unit, in_percent
        self._shown = show_number(round(100 * value, 12) if in_percent and value is not None else value)
        self.line = QLineEdit(self._shown)
        self.line.setPlaceholderText(grey)
        self.line.textChanged.connect(lambda _: self.changed.emit())
        self.fill(self.line)

    def read(self) -> float | None:
        if self.line.text().strip() == self._shown:
            return self._value
        number = read_number(self.line.text(), self._unit)
        return number / 100 if self.in_percent and number is not None else number


class LineEntry(Entry):
    """A line of words."""

    def __init__(self, value: str, grey: str = "") -> None:
        super().__init__()
        self.line = QLineEdit(value)
        self.line.setMaxLength(SHORT_TEXT_LENGTH)
        self.line.setPlaceholderText(grey)
        self.line.setCursorPosition(0)
        self.line.textChanged.connect(lambda _: self.changed.emit())
        self.fill(self.line)

    def read(self) -> str:
        return self.line.text().strip()


class TickEntry(Entry):
    """Yes or no, with its words beside the box."""

    def __init__(self, value: bool, words: str) -> None:
        super().__init__()
        self.box = QCheckBox(words)
        self.box.setChecked(value)
        self.box.toggled.connect(lambda _: self.changed.emit())
        self.fill(self.box)

    def read(self) -> bool:
        return self.box.isChecked()


class ChoiceEntry(Entry):
    """One of a few (value, words). Where the value is none of them, nothing is chosen yet."""

    def __init__(self, value: object, choices: Iterable[tuple[object, str]], unchosen: str = "") -> None:
        super().__init__()
        self.box = choice_box(choices)
        self.box.setPlaceholderText(unchosen)
        self._unchosen = unchosen
        self.box.setCurrentIndex(self.box.findData(value))
        self.box.currentIndexChanged.connect(lambda _: self.changed.emit())
        self.fill(self.box)

    def read(self) -> Any:
        if self.box.currentIndex() < 0:
            raise Missing(self._unchosen)
        return self.box.currentData()


class WindowEntry(Entry):
    """The least and the most volts."""

    def __init__(self, value: VoltWindow | None, grey: str = "") -> None:
        super().__init__()
        self.least = QLineEdit(show_number(value.least) if value else "")
        self.most = QLineEdit(show_number(value.most) if value else "")
        self.least.setPlaceholderText(grey)
        for line in (self.least, self.most):
            line.textChanged.connect(lambda _: self.changed.emit())
        self.fill(side_by_side(self.least, plain("to"), self.most))

    def named(self) -> Sequence[QWidget]:
        return [self.least, self.most]

    def name(self, label: str, help_words: str = "") -> None:
        super().name(label, help_words)
        self.least.setAccessibleName(f"{label}, least")
        self.most.setAccessibleName(f"{label}, most")

    def read(self) -> VoltWindow | None:
        least, most = read_number(self.least.text(), "V"), read_number(self.most.text(), "V")
        if least is None and most is None:
            return None
        if least is None or most is None:
            raise Unreadable("state both, the least and the most")
        if least > most:
            raise Unreadable("the least is more than the most")
        if max(abs(least), abs(most)) > 1000:
            raise Unreadable("must be at most 1000")
        return VoltWindow(least=least, most=most)


class WhenEntry(Entry):
    """Key positions to tick, a switch that must be on, and one that must be off.

    Where nothing need be stated, `unstated` says what is assumed then.
    """

    def __init__(
        self, value: LiveIn | None, switches: Sequence[tuple[str, str]], unstated: str | None = None
    ) -> None:
        super().__init__()
        shown = value or LiveIn(keys=())
        self.stated = choice_box([(False, unstated), (True, "in these positions:")] if unstated else [])
        self.stated.setCurrentIndex(int(value is not None))
        self.keys = {key: QCheckBox(key.capitalize()) for key in KEYS}
        for key, box in self.keys.items():
            box.setChecked(key in shown.keys)
            box.toggled.connect(lambda _: self.changed.emit())
        needed = ((name, f"only with {words} on") for name, words in switches)
        barred = ((name, f"not with {words} on") for name, words in switches)
        self.on = choice_box([("", "no switch needed"), *needed])
        self.off = choice_box([("", "no exception"), *barred])
        self.on.setCurrentIndex(self.on.findData(shown.switch or ""))
        self.off.setCurrentIndex(self.off.findData(shown.unless or ""))
        self._details = [*self.keys.values(), self.on, self.off]
        ticks = side_by_side(*self.keys.values(), stretch=False)
        rows = [ticks, side_by_side(self.on, self.off)]
        self._optional = unstated is not None
        self.fill(*([self.stated] if self._optional else []), *rows)
        for choice in (self.stated, self.on, self.off):
            choice.currentIndexChanged.connect(self._enable)
        self._enable()

    def named(self) -> Sequence[QWidget]:
        return [*([self.stated] if self._optional else []), *self._details]

    def name(self, label: str, help_words: str = "") -> None:
        super().name(label, help_words)
        for key, box in self.keys.items():
            box.setAccessibleName(f"{label}: {key}")
        self.on.setAccessibleName(f"{label}: only with a switch on")
        self.off.setAccessibleName(f"{label}: not with a switch on")

    def _enable(self, _: object = None) -> None:
        for widget in self._details:
            widget.setVisible(not self._optional or bool(self.stated.currentData()))
        self.changed.emit()

    def read(self) -> LiveIn | None:
        if self._optional and not self.stated.currentData():
            return None
        keys = tuple(key for key, box in self.keys.items() if box.isChecked())
        return LiveIn(keys=keys, switch=self.on.currentData() or None, unless=self.off.currentData() or None)


class PairsEntry(Entry):
    """Lines of two fields, such as a button and its ohms. An empty line waits below; an emptied one goes.

    `make` gives the value of the pairs of texts, or raises Unreadable.
    """

    def __init__(
        self,
        rows: Iterable[tuple[str, str]],
        captions: tuple[str, str],
        make: Callable[[list[tuple[str, str]]], Any],
    ) -> None:
        super().__init__()
        self._captions, self._make = captions, make
        self.lines: list[tuple[QLineEdit, QLineEdit]] = []
        inside = QWidget()
        self._grid = QGridLayout(inside)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(4)
        for row in rows:
            self._add(*row)
        self._add("", "")
        inside.setFocusProxy(self.lines[0][0])
        self.fill(inside)

    def named(self) -> Sequence[QWidget]:
        return [line for pair in self.lines for line in pair]

    def name(self, label: str, help_words: str = "") -> None:
        """Each field is named by its caption and the number of its line."""
        for widget in self.named():
            widget.setAccessibleDescription(help_words)
            widget.setToolTip(help_words)

    def _add(self, *texts: str) -> None:
        number = len(self.lines) + 1
        pair = (QLineEdit(texts[0]), QLineEdit(texts[1]))
        for column, (line, caption) in enumerate(zip(pair, self._captions, strict=True)):
            line.setMaxLength(SHORT_TEXT_LENGTH)
            line.setPlaceholderText(caption.lower())
            line.setAccessibleName(f"{caption} {number}")
            line.textChanged.connect(self._typed)
            self._grid.addWidget(line, number, column)
        self.lines.append(pair)
        if number > 1:
            self.setTabOrder(self.lines[-2][1], pair[0])
        self.setTabOrder(*pair)

    def _typed(self, _: str) -> None:
        if any(line.text().strip() for line in self.lines[-1]):
            self._add("", "")
        self.changed.emit()

    def read(self) -> Any:
        pairs = [(first.text().strip(), second.text().strip()) for first, second in self.lines]
        return self._make([pair for pair in pairs if any(pair)])


class Choice(QComboBox):
    """A box of choices that the wheel scrolls past."""

    def wheelEvent(self, event: QWheelEvent) -> None:
        event.ignore()


def choice_box(choices: Iterable[tuple[object, str]]) -> QComboBox:
    box = Choice()
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(8)
    for value, words in choices:
        box.addItem(words, value)
    return box


def plain(text: str) -> QLabel:
    label = plain_label(text)
    label.setWordWrap(False)
    label.setObjectName("quiet")
    return label


def side_by_side(*widgets: QWidget, stretch: bool = True) -> QWidget:
    """Widgets in a row; with `stretch` its fields share the room, else they stand at the left."""
    row = QWidget()
    line = QHBoxLayout(row)
    line.setContentsMargins(0, 0, 0, 0)
    line.setSpacing(8 if stretch else 14)
    for widget in widgets:
        line.addWidget(widget, int(stretch and not isinstance(widget, QLabel)))
    if not stretch:
        line.addStretch(1)
    row.setFocusProxy(widgets[0])
    return row
