"""Entering what the meter showed, and taking it back, with real keys."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from app.application import Application
from app.panels.readings_table import DIFFERENCE, EXPECTED, MEASURED
from app.window import JobWindow
from app.work.expected import Asked, Cause
from app.work.points import show_value, typed_value
from core.circuit.positions import Position
from core.edits.parts import remove_parts
from core.job.document import Job
from core.library.library import Library
from tests.app.jobs import joined_job, terminal_with
from tests.app.sheet_hands import (
    CTRL,
    WHO,
    cell,
    difference,
    focus,
    go_to,
    opened,
    pick,
    place,
    ready,
    row_of,
    shown,
    type_in,
)

Open = Callable[[Job], JobWindow]


@pytest.fixture
def program(program: Application) -> Application:
    program.settings.user_name = WHO
    return program


@pytest.fixture
def window(open_window: Open, library: Library) -> JobWindow:
    return opened(open_window(joined_job(library)))


# Entering


def test_type_enter_type_enter(window: JobWindow, qtbot: QtBot) -> None:
    """Only figures and Enter: each goes into its row, with the name and today's date."""
    model = place(window).model
    go_to(window, model.rows[0].point)
    wanted = [row.asked for row in model.rows[:3]]
    type_in("12.4", "0,03 V", "35 mV")
    readings = window.session.job.readings
    assert [Asked.of(reading) for reading in readings] == wanted
    assert [reading.value for reading in readings] == [12.4, 0.03, 0.035]
    assert {(reading.name, reading.date) for reading in readings} == {(WHO, date.today().isoformat())}
    assert place(window).table.currentIndex().row() == 3
    assert cell(window, model.rows[0].point, MEASURED) == "12.40 V"
    item = place(window).positions.list.currentItem()
    assert item.text() == "off  (3 read)"


def test_a_reading_that_agrees_and_one_that_differs(window: JobWindow, qtbot: QtBot) -> None:
    constant, ground = shown(window, "REC", "constant"), shown(window, "REC", "ground")
    expected = typed_value(ready(qtbot, window, constant))
    assert expected is not None
    go_to(window, constant)
    type_in(f"{expected:.2f}")
    qtbot.waitUntil(lambda: difference(window, constant) == "✓ agrees")
    go_to(window, ground)
    type_in("1.5")
    qtbot.waitUntil(lambda: difference(window, ground).startswith("≠ differs by 1."))
    model = place(window).model
    colours = [
        model.data(model.index(row_of(window, point), DIFFERENCE), Qt.ItemDataRole.ForegroundRole).name()
        for point in (constant, ground)
    ]
    assert colours[0] != colours[1]


def test_what_would_explain_it_is_said_with_its_ohms_and_place(window: JobWindow, qtbot: QtBot) -> None:
    """By Ohm's law: the ohms it names, times the amps there, are about the volts that are missing."""
    page, job = place(window), window.session.job
    pick(window, "running")
    pin = terminal_with(job, "REC", "constant")
    constant = job.shown(pin)
    expected = typed_value(ready(qtbot, window, constant))
    assert expected is not None
    told: list[tuple[Asked, float, tuple[Cause, ...]]] = []
    window.desk.expected.explained.connect(told.append)
    go_to(window, constant)
    type_in("13.5")
    go_to(window, constant)
    qtbot.waitUntil(lambda: "more between" in page.aside.explained.text(), timeout=20_000)
    words = page.aside.explained.text()
    assert "What would explain it:" in words
    assert "differs by −" in page.aside.compared.text()
    assert WHO in page.aside.compared.text()
    asked, measured, causes = told[-1]
    assert (asked.red, measured) == (pin, 13.5)
    engine = window.desk.expected.engine
    assert engine is not None
    amps = engine.point(Position("running")).amps(pin)
    ohms = causes[0].ohms
    assert amps is not None
    assert ohms is not None
    assert show_value(ohms, "ohms") in words
    assert abs(amps) * ohms == pytest.approx(expected - 13.5, rel=0.25)


def test_the_same_reading_again_replaces_it_another_day_is_kept_beside(window: JobWindow) -> None:
    constant = shown(window, "REC", "constant")
    go_to(window, constant)
    type_in("1.24")
    go_to(window, constant)
    type_in("12.4")
    assert [reading.value for reading in window.session.job.readings] == [12.4]
    place(window).form.date.setText("2031-05-06")
    go_to(window, constant)
    type_in("12.2")
    assert [reading.value for reading in window.session.job.readings] == [12.4, 12.2]
    assert cell(window, constant, MEASURED) == "12.20 V"
    place(window).form.date.setText("yesterday")
    go_to(window, constant)
    type_in("12")
    assert len(window.session.job.readings) == 2
    assert "Date" in window.desk.notices.text


def test_what_is_no_number_is_refused_and_nothing_kept(window: JobWindow) -> None:
    go_to(window, shown(window, "REC", "constant"))
    type_in("twelve")
    assert not window.session.job.readings
    assert "twelve" in window.desk.notices.text
    assert place(window).table.hasFocus()


def test_without_a_name_the_name_comes_first(window: JobWindow, program: Application) -> None:
    form = place(window).form
    form.name.clear()
    go_to(window, shown(window, "REC", "constant"))
    QTest.keyClicks(focus(), "1")
    assert form.name.hasFocus()
    type_in("B. Field")
    assert program.settings.user_name == "B. Field"
    go_to(window, shown(window, "REC", "constant"))
    type_in("12.4")
    assert window.session.job.readings[0].name == "B. Field"


def test_escape_leaves_the_field_as_it_was(window: JobWindow) -> None:
    go_to(window, shown(window, "REC", "constant"))
    QTest.keyClicks(focus(), "7")
    assert isinstance(focus(), QLineEdit)
    QTest.keyClick(focus(), Qt.Key.Key_Escape)
    assert not window.session.job.readings
    assert place(window).table.hasFocus()


# Taking back


def test_a_reading_is_taken_back_with_a_word_and_comes_again(window: JobWindow) -> None:
    constant = shown(window, "REC", "constant")
    go_to(window, constant)
    type_in("12.4")
    stack = window.session.undo_stack
    assert stack.undoText() == f"Reading at {constant} to battery − in off"
    QTest.keyClick(focus(), Qt.Key.Key_Z, CTRL)
    assert not window.session.job.readings
    assert window.desk.notices.text == f"The reading at {constant} to battery − in off is taken back."
    stack.redo()
    assert len(window.session.job.readings) == 1
    QApplication.processEvents()
    go_to(window, constant)
    QTest.keyClick(place(window).table, Qt.Key.Key_Delete)
    assert not window.session.job.readings
    stack.undo()
    QApplication.processEvents()
    go_to(window, constant)
    place(window).aside.take_back.click()
    assert not window.session.job.readings


def test_a_reading_whose_place_vanished_says_so(window: JobWindow) -> None:
    constant = shown(window, "REC", "constant")
    go_to(window, constant)
    type_in("12.4")
    window.session.apply("Remove", lambda job: remove_parts(job, ["REC"]))
    assert window.checks.wait_until_idle()
    QApplication.processEvents()
    model = place(window).model
    row = next(row for row in model.rows if row.taken)
    assert row.gone == "REC.A-1"
    assert model.text(row, EXPECTED) == "–"
    assert "gone" in model.text(row, 1)
    assert difference(window, row.point) == "place is gone"
    go_to(window, row.point)
    assert "not on this job any more" in place(window).aside.compared.text()
    QTest.keyClicks(focus(), "5")
    assert len(window.session.job.readings) == 1, "there is nothing to measure there"
    QTest.keyClick(place(window).table, Qt.Key.Key_Delete)
    assert not window.session.job.readings
