"""What a hand does on a meter sheet, and what an eye reads there."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.panels.readings import ReadingsPlace
from app.panels.readings_table import DIFFERENCE, EXPECTED, POINT
from app.window import JobWindow
from tests.app.jobs import terminal_with

LEFT = Qt.MouseButton.LeftButton
ENTER = Qt.Key.Key_Return
CTRL = Qt.KeyboardModifier.ControlModifier
WHO = "A. Marlow"


def opened(window: JobWindow) -> JobWindow:
    """With the Readings shown, by its key."""
    window.activateWindow()
    window.view.setFocus()
    QTest.keyClick(window.view, Qt.Key.Key_7, CTRL)
    QApplication.processEvents()
    assert window.readings.isVisible()
    return window


def place(window: JobWindow) -> ReadingsPlace:
    found: ReadingsPlace = window.readings
    return found


def row_of(window: JobWindow, point: str) -> int:
    return next(at for at, row in enumerate(window.readings.model.rows) if row.point == point)


def cell(window: JobWindow, point: str, column: int) -> str:
    model = window.readings.model
    return str(model.data(model.index(row_of(window, point), column), Qt.ItemDataRole.DisplayRole))


def ready(qtbot: QtBot, window: JobWindow, point: str) -> str:
    """What is expected at a point, once it is worked out."""
    qtbot.waitUntil(lambda: cell(window, point, EXPECTED) not in ("…", "checking…"))
    return cell(window, point, EXPECTED)


def shown(window: JobWindow, part: str, function: str) -> str:
    return window.session.job.shown(terminal_with(window.session.job, part, function))


def go_to(window: JobWindow, point: str) -> None:
    table = window.readings.table
    table.setFocus()
    table.setCurrentIndex(window.readings.model.index(row_of(window, point), POINT))
    QApplication.processEvents()


def focus() -> QWidget:
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def type_in(*texts: str) -> None:
    """What fingers do: the characters, then Enter."""
    for text in texts:
        for letter in text:
            QTest.keyClicks(focus(), letter)
        QTest.keyClick(focus(), ENTER)
        QApplication.processEvents()


def pick(window: JobWindow, name: str) -> None:
    """Click a position in the list."""
    positions = window.readings.positions.list
    item = next(i for at in range(positions.count()) if (i := positions.item(at)).text().split()[0] == name)
    QTest.mouseClick(positions.viewport(), LEFT, pos=positions.visualItemRect(item).center())
    QApplication.processEvents()


def difference(window: JobWindow, point: str) -> str:
    return cell(window, point, DIFFERENCE)
