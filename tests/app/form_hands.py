"""What hands do in a form of entries: typing, choosing by keys, ticking; and a small job with one box."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QLineEdit

from app.dialogs.entries import (
    ChoiceEntry,
    Entry,
    LineEntry,
    NumberEntry,
    PairsEntry,
    TickEntry,
    WhenEntry,
    WindowEntry,
    show_number,
)
from core.edits.internals import add_internal
from core.edits.parts import add_part
from core.job.document import Job
from core.job.internals import Internal
from tests.strategies import plug

LEFT = Qt.MouseButton.LeftButton
CTRL = Qt.KeyboardModifier.ControlModifier
PINS = {str(number): "" for number in range(1, 9)} | {"4": "accessory"}


def box_job(*pieces: Internal) -> Job:
    job = add_part(Job(), plug("BOX", PINS))
    for piece in pieces:
        job = add_internal(job, "BOX", piece)
    return job


def choose(box: QComboBox, value: object) -> None:
    """By the arrow keys."""
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Home)
    for _ in range(box.count()):
        if box.currentData() == value:
            return
        QTest.keyClick(box, Qt.Key.Key_Down)
    assert box.currentData() == value


def type_in(line: QLineEdit, text: str) -> None:
    line.setFocus()
    QTest.keyClick(line, Qt.Key.Key_A, CTRL)
    QTest.keyClick(line, Qt.Key.Key_Delete)
    QTest.keyClicks(line, text)


def put(entry: Entry, value: Any) -> None:
    """State a value by keys and clicks."""
    match entry:
        case ChoiceEntry():
            choose(entry.box, value)
        case TickEntry():
            if entry.box.isChecked() != value:
                QTest.mouseClick(entry.box, LEFT, pos=QPoint(8, entry.box.height() // 2))
        case NumberEntry():
            type_in(entry.line, show_number(value * 100 if entry.in_percent and value else value))
        case LineEntry():
            type_in(entry.line, value)
        case WindowEntry():
            type_in(entry.least, show_number(value.least))
            type_in(entry.most, show_number(value.most))
        case WhenEntry():
            if entry.stated.count():
                choose(entry.stated, True)
            for key, box in entry.keys.items():
                if box.isChecked() != (key in value.keys):
                    QTest.mouseClick(box, LEFT, pos=QPoint(8, box.height() // 2))
            choose(entry.on, value.switch)
            choose(entry.off, value.unless)
        case PairsEntry():
            for number, (name, ohms) in enumerate(value.items()):
                type_in(entry.lines[number][0], name)
                type_in(entry.lines[number][1], show_number(ohms))
        case _:
            raise AssertionError(entry)
