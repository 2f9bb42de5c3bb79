"""The window of the car and the bench, with real keys; and how numbers are typed and shown."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, QPointF, Qt, QTimer
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.dialogs.car import CarForm, cautions
from app.dialogs.entries import (
    ChoiceEntry,
    Entry,
    NumberEntry,
    PairsEntry,
    Unreadable,
    read_number,
    show_number,
)
from app.window import JobWindow
from core.job.document import Job
from core.job.record import BenchSupply, CarBattery, OwnSwitch, Settings
from core.library.library import Library
from tests.app.form_hands import LEFT, put, type_in

Open = Callable[[Job], JobWindow]


def car_form(qtbot: QtBot, library: Library, settings: Settings) -> CarForm:
    form = CarForm(None, settings, library.limits)
    qtbot.addWidget(form)
    form.show()
    qtbot.waitExposed(form)
    return form


def grey(entry: Entry) -> str:
    assert isinstance(entry, NumberEntry)
    return entry.line.placeholderText()


def test_everything_of_car_and_bench_is_set_and_read_back(
    qtbot: QtBot, qapp: QApplication, library: Library
) -> None:
    wanted = Settings(
        system_volts=24,
        ground="positive",
        battery=CarBattery(
            rest_volts=25.3, running_volts=28.1, start_volts=19, dip_volts=15, ohms=0.004, amp_hours=170
        ),
        bench=BenchSupply(volts=26.4, limit_amps=10, fuse_amps=7.5),
        switches=(OwnSwitch(name="cut-off", words="Battery <b>cut-off</b> & more"),),
    )
    form = car_form(qtbot, library, Settings())
    put(form.entries["system_volts"], 24)
    put(form.entries["ground"], "positive")
    for group, record in (("battery", wanted.battery), ("bench", wanted.bench)):
        for name, value in record:
            put(form.entries[f"{group}.{name}"], value)
    switches = form.entries["switches"]
    assert isinstance(switches, PairsEntry)
    type_in(switches.lines[0][0], "Battery <b>cut-off</b> & more")
    type_in(switches.lines[0][1], "cut-off")
    QTest.mouseClick(form.agree, LEFT)
    assert form.made is not None
    assert Settings().changed(**form.made) == wanted
    again = car_form(qtbot, library, wanted)
    QTest.mouseClick(again.agree, LEFT)
    assert again.made is not None
    assert wanted.changed(**again.made) == wanted


def test_an_untouched_form_changes_nothing(qtbot: QtBot, qapp: QApplication, library: Library) -> None:
    form = car_form(qtbot, library, Settings())
    QTest.keyClick(form, Qt.Key.Key_Return)
    assert form.made is not None
    assert Settings().changed(**form.made) == Settings()


def test_what_is_assumed_stands_in_grey_and_goes_with_the_system(
    qtbot: QtBot, qapp: QApplication, library: Library
) -> None:
    """12.6, 14.2, 10.0 and 7.0 V of a 12 V battery: common practice."""
    form = car_form(qtbot, library, Settings())
    names = ["rest_volts", "running_volts", "start_volts", "dip_volts"]
    assert [grey(form.entries[f"battery.{name}"]) for name in names] == [
        "12.6 assumed",
        "14.2 assumed",
        "10 assumed",
        "7 assumed",
    ]
    assert grey(form.entries["bench.volts"]) == "13 assumed"
    assert grey(form.entries["bench.fuse_amps"]) == "no fuse"
    put(form.entries["system_volts"], 6)
    assert grey(form.entries["battery.rest_volts"]) == "6.3 assumed"
    assert "may not stand it" in form.caution.text()


def test_another_ground_is_cautioned_about_at_once(
    qtbot: QtBot, qapp: QApplication, library: Library
) -> None:
    form = car_form(qtbot, library, Settings())
    assert not form.caution.isVisible()
    put(form.entries["ground"], "positive")
    assert form.caution.isVisible()
    for words in ("body is on battery plus", "meter", "service information"):
        assert words in form.caution.text()
    put(form.entries["ground"], "negative")
    assert not form.caution.isVisible()
    assert "change sides" in cautions(Settings(ground="positive"), 12, "negative")
    assert "battery plus" in cautions(Settings(ground="positive"), 12, "positive"), "said every time"


def test_a_bad_number_and_a_bad_name_say_why(qtbot: QtBot, qapp: QApplication, library: Library) -> None:
    form = car_form(qtbot, library, Settings())
    volts, switches = form.entries["battery.rest_volts"], form.entries["switches"]
    assert isinstance(volts, NumberEntry)
    assert isinstance(switches, PairsEntry)
    type_in(volts.line, "0")
    assert volts.complaint == "must be more than 0"
    QTest.mouseClick(form.agree, LEFT)
    assert form.isVisible()
    assert volts.line.hasFocus() or not form.isActiveWindow()
    type_in(volts.line, "12.4")
    for words, name, why in (
        ("Lights", "", "lights is there already, as one of the usual switches"),
        ("Ümlaut", "?", "?: a short name is a letter, then letters, digits and hyphens"),
    ):
        type_in(switches.lines[0][0], words)
        type_in(switches.lines[0][1], name)
        assert switches.complaint == why
    type_in(switches.lines[0][0], "Radio on")
    type_in(switches.lines[0][1], "")
    assert switches.complaint == ""
    type_in(switches.lines[1][1], "radio-on")
    assert switches.complaint == "radio-on stands twice"
    type_in(switches.lines[1][1], "")
    assert form.made is not None
    assert form.made["switches"] == (OwnSwitch(name="radio-on", words="Radio on"),)


def test_the_menu_opens_it_and_keeping_is_one_step(open_window: Open) -> None:
    window = open_window(Job())
    done: list[bool] = []

    def answer() -> None:
        dialog = QApplication.activeModalWidget()
        if not isinstance(dialog, CarForm):
            QTimer.singleShot(0, answer)
            return
        volts = dialog.entries["battery.rest_volts"]
        assert isinstance(volts, NumberEntry)
        type_in(volts.line, "12.4")
        QTest.keyClick(volts.line, Qt.Key.Key_Return)
        done.append(True)

    QTimer.singleShot(0, answer)
    window.actions_by_id["car"].trigger()
    assert done == [True]
    assert window.session.job.settings.battery.rest_volts == 12.4
    assert window.session.undo_stack.undoText() == "Change car and bench"
    window.session.undo_stack.undo()
    assert window.session.job == Job()


def test_the_wheel_scrolls_past_a_choice(qtbot: QtBot, qapp: QApplication) -> None:
    entry = ChoiceEntry("a", (("a", "one"), ("b", "two")))
    qtbot.addWidget(entry)
    entry.show()
    qtbot.waitExposed(entry)
    qtbot.mouseMove(entry.box)
    # Qt's test hands have no wheel: the event is sent as the window system would.
    where = QPointF(entry.box.rect().center())
    event = QWheelEvent(
        where,
        QPointF(entry.box.mapToGlobal(where.toPoint())),
        QPoint(),
        QPoint(0, -120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(entry.box, event)
    assert entry.read() == "a"


@pytest.mark.parametrize(
    ("text", "unit", "number"),
    [
        ("", "A", None),
        ("4.7", "ohm", 4.7),
        ("4,7", "ohm", 4.7),
        ("4.7k", "ohm", 4700.0),
        ("4.7 kohm", "ohm", 4700.0),
        ("1 M", "ohm", 1e6),
        ("75 Ω", "ohm", 75.0),
        ("5 mA", "A", 0.005),
        ("−3 V", "V", -3.0),
        ("20 min", "min", 20.0),
        ("25 %", "%", 25.0),
        ("0,125", "ohm", 0.125),
        ("1e3", "ohm", 1000.0),
        (".5", "A", 0.5),
    ],
)
def test_numbers_as_people_type_them(text: str, unit: str, number: float | None) -> None:
    assert read_number(text, unit) == number


@pytest.mark.parametrize(
    "text", ["x", "1 2", "1.2.3", "1,000", "5 V", "5 kA h", "--1", "nan", "inf", "1e", "."]
)
def test_what_is_no_number_is_refused(text: str) -> None:
    with pytest.raises(Unreadable):
        read_number(text, "A")


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_shown_is_the_number_read(number: float) -> None:
    assert read_number(show_number(number), "ohm") == number


@given(st.text(max_size=12))
def test_any_text_is_a_number_or_refused(text: str) -> None:
    try:
        number = read_number(text, "V")
    except Unreadable:
        return
    assert number is None or isinstance(number, float)
