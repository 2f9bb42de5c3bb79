"""The details panel's list of what a part does inside, with real clicks and keys."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QMenu, QWidget

from app.dialogs.entries import NumberEntry
from app.panels.internal_form import InternalForm
from app.panels.internals import InsidePanel
from app.window import JobWindow
from core.job.document import Job
from core.job.internals import ButtonLadder, Diode, Fuse, LiveIn, Load
from tests.app.form_hands import LEFT, box_job, put, type_in

Open = Callable[[Job], JobWindow]


@pytest.fixture
def window(open_window: Open) -> JobWindow:
    opened = open_window(box_job(Fuse(a="A-1", b="A-2", amps=10), Diode(anode="A-3", cathode="A-5")))
    opened.session.select(["BOX"])
    opened.show_panel("details")
    return opened


def inside(window: JobWindow) -> InsidePanel:
    panel = window.details.inside
    assert panel is not None
    return panel


def push(window: JobWindow, widget: QWidget) -> None:
    window.details.ensureWidgetVisible(widget)
    QApplication.processEvents()
    assert widget.isVisible()
    QTest.mouseClick(widget, LEFT)
    QApplication.processEvents()


def answering(act: Callable[[InternalForm], None]) -> list[bool]:
    """What to do in the form that is about to open."""
    done: list[bool] = []

    def when_open() -> None:
        dialog = QApplication.activeModalWidget()
        if not isinstance(dialog, InternalForm):
            QTimer.singleShot(0, when_open)
            return
        try:
            act(dialog)
            done.append(True)
        finally:
            if dialog.isVisible():
                QTest.keyClick(dialog, Qt.Key.Key_Escape)

    QTimer.singleShot(0, when_open)
    return done


def test_a_piece_is_changed_and_that_is_one_step(window: JobWindow) -> None:
    panel, session = inside(window), window.session
    assert [row.words for row in panel.stated] == ["Fuse 10 A between 1 and 2", "Diode from 3 to 5"]
    before = session.job

    def change(form: InternalForm) -> None:
        amps = form.entries["amps"]
        assert isinstance(amps, NumberEntry)
        type_in(amps.line, "15")
        QTest.keyClick(amps.line, Qt.Key.Key_Return)

    done = answering(change)
    push(window, panel.stated[0])
    assert done == [True]
    assert session.job.parts["BOX"].internals[0] == Fuse(a="A-1", b="A-2", amps=15)
    assert session.undo_stack.undoText() == "Change fuse of BOX"
    assert panel is inside(window), "the form was made anew under the user's hands"
    assert panel.stated[0].words == "Fuse 15 A between 1 and 2"
    session.undo_stack.undo()
    assert session.job == before
    assert panel.stated[0].words == "Fuse 10 A between 1 and 2"


def test_escape_leaves_all_as_it_was(window: JobWindow) -> None:
    before = window.session.job

    def think_better(form: InternalForm) -> None:
        put(form.entries["amps"], 30.0)
        QTest.keyClick(form, Qt.Key.Key_Escape)

    done = answering(think_better)
    push(window, inside(window).stated[0])
    assert done == [True]
    assert window.session.job is before


def test_a_piece_is_removed_and_the_keyboard_stays_near(window: JobWindow) -> None:
    panel = inside(window)
    push(window, panel.removers[0])
    assert [row.words for row in panel.stated] == ["Diode from 3 to 5"]
    assert window.session.undo_stack.undoText() == "Remove fuse from BOX"
    panel.removers[0].setFocus()
    QTest.keyClick(panel.removers[0], Qt.Key.Key_Space)
    assert panel.stated == []
    assert window.session.job.parts["BOX"].internals == ()


def test_a_piece_is_added_by_the_menu_with_keys_alone(window: JobWindow) -> None:
    panel = inside(window)
    window.activateWindow()
    panel.add.setFocus()
    QTest.keyClick(panel.add, Qt.Key.Key_Space)
    menu = next(m for m in panel.findChildren(QMenu) if m.isVisible())
    groups = [action.text() for action in menu.actions()]
    assert groups[:2] == ["Where volts come from", "What is fed"]
    for _ in range(groups.index("In the line") + 1):
        QTest.keyClick(menu, Qt.Key.Key_Down)
    QTest.keyClick(menu, Qt.Key.Key_Right)
    below = menu.actions()[groups.index("In the line")].menu()
    assert isinstance(below, QMenu)
    names = [action.text() for action in below.actions()]
    while (now := below.activeAction()) is None or now.text() != "Resistor…":
        QTest.keyClick(below, Qt.Key.Key_Down)
    assert names.count("Resistor…") == 1

    def fill(form: InternalForm) -> None:
        for name, value in (("a", "A-6"), ("b", "A-7"), ("ohms", 470.0)):
            put(form.entries[name], value)
        QTest.keyClick(form.agree, Qt.Key.Key_Space)

    done = answering(fill)
    QTest.keyClick(below, Qt.Key.Key_Return)
    QApplication.processEvents()
    assert done == [True]
    assert panel.stated[-1].words == "Resistor 470 ohm between 6 and 7"
    assert window.session.undo_stack.undoText() == "Add resistor to BOX"


def test_what_a_pin_implies_can_be_stated(window: JobWindow) -> None:
    panel = inside(window)
    assert [row.words for row in panel.implied] == [
        "Is fed at 4, its amps not stated; must work in accessory, run and running"
    ]

    def state(form: InternalForm) -> None:
        put(form.entries["amps"], 3.0)
        QTest.mouseClick(form.agree, LEFT)

    done = answering(state)
    push(window, panel.implied[0])
    assert done == [True]
    needed = LiveIn(keys=("accessory", "run", "running"))
    assert window.session.job.parts["BOX"].internals[-1] == Load(plus="A-4", amps=3, needed=needed)
    assert panel.implied == []
    assert panel.stated[-1].words == "Draws 3 A at 4; must work in accessory, run and running"


def test_user_text_is_never_markup(open_window: Open) -> None:
    ladder = ButtonLadder(signal="A-1", reference="A-2", ohms={"<b>Up</b> & on": 470})
    window = open_window(box_job(ladder))
    window.session.select(["BOX"])
    row = inside(window).stated[0]
    label = row.findChild(QLabel)
    assert isinstance(label, QLabel)
    assert label.textFormat() == Qt.TextFormat.PlainText
    assert "<b>Up</b> & on 470 ohm" in label.text()


def test_rows_are_in_sight_and_big_enough(window: JobWindow) -> None:
    panel = inside(window)
    for widget in (*panel.stated, *panel.removers, *panel.implied, panel.add):
        window.details.ensureWidgetVisible(widget)
        QApplication.processEvents()
        assert widget.height() >= 28
        right = widget.mapTo(window.details.viewport(), widget.rect().topRight()).x()
        assert right <= window.details.viewport().width()
        assert widget.accessibleName()


def test_no_panel_of_pieces_for_what_is_no_part(window: JobWindow) -> None:
    window.session.select(["BOX.A-1"])
    assert window.details.inside is None
    window.session.select([])
    assert window.details.inside is None
