"""What a hand does on the map: real mouse events at things."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.view import MapView

LEFT = Qt.MouseButton.LeftButton
NO_KEYS = Qt.KeyboardModifier.NoModifier


def shown(qtbot: QtBot, view: MapView) -> MapView:
    qtbot.addWidget(view)
    view.resize(1366, 768)
    view.show()
    qtbot.waitExposed(view)
    view.activateWindow()
    view.setFocus()
    QApplication.processEvents()
    view.backdrop.finish()
    return view


def spot(view: MapView, ref: str) -> QPoint:
    """Where a thing stands on the view: its middle."""
    outline = view.finder.outline(ref)
    point = outline[0].center() if outline is not None else view.finder.wire_middle(ref)
    assert point is not None, f"{ref} is not on the map"
    return view.mapFromScene(point)


def grip(view: MapView, part: str) -> QPoint:
    """A place where a part can be taken: its title."""
    block = view.sync.layout.blocks[part]
    return view.mapFromScene(QPointF(block.core.x + block.core.width / 2, block.core.y + 6))


def nothing_near(view: MapView) -> QPoint:
    """A free spot of the felt."""
    for x in range(20, view.viewport().width(), 40):
        for y in range(20, view.viewport().height(), 40):
            if view.hit(QPointF(x, y)).kind == "nothing":
                return QPoint(x, y)
    raise AssertionError("the map is full")


def take(view: MapView, start: QPoint, end: QPoint, keys: Qt.KeyboardModifier = NO_KEYS) -> None:
    """Press at one point and go to another; the button stays down."""
    QTest.mousePress(view.viewport(), LEFT, keys, start)
    for step in (1, 2, 3, 4):
        way = start + (end - start) * step / 4
        QTest.mouseMove(view.viewport(), way)
        QApplication.processEvents()


def drag(view: MapView, start: QPoint, end: QPoint, keys: Qt.KeyboardModifier = NO_KEYS) -> None:
    take(view, start, end, keys)
    QTest.mouseRelease(view.viewport(), LEFT, keys, end)
    QApplication.processEvents()


def click(view: MapView, at: QPoint, keys: Qt.KeyboardModifier = NO_KEYS) -> None:
    QTest.mouseClick(view.viewport(), LEFT, keys, at)
    QApplication.processEvents()


def press(view: MapView, *keys: Qt.Key) -> None:
    for key in keys:
        QTest.keyClick(view, key)
        QApplication.processEvents()
