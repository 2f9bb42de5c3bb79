"""The job's own switches and held buttons over the map, with real clicks and keys."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu, QWidget
from pytestqt.qtbot import QtBot

from app.panels.key_strip import KeyStrip, MapPlace
from app.window import JobWindow
from app.work.live import parted, stepped, used_switches, with_key, with_switch, without_switches
from app.work.switches import Held, held_buttons, known_switches, own_switches, switch_words
from core.edits.internals import remove_internal
from core.edits.parts import add_part
from core.edits.record import set_settings
from core.job.document import Job
from core.job.internals import ButtonLadder, Internal, LiveIn, SwitchContact
from core.job.record import OwnSwitch
from tests.app.form_hands import box_job

Open = Callable[[Job], JobWindow]
LEFT = Qt.MouseButton.LeftButton
RADIO = SwitchContact(a="A-1", b="A-2", closed=LiveIn(keys=("run",), switch="radio-on", unless="asleep"))
BUTTONS = ButtonLadder(signal="A-3", reference="A-5", ohms={"Volume +": 470, "Seek & <b>": 1200})


def with_own(*pieces: Internal) -> Job:
    words = OwnSwitch(name="cut-off", words="Battery <b>cut-off</b> & main")
    return set_settings(box_job(*pieces), switches=(words,))


def push(button: QWidget) -> None:
    assert button.isVisible()
    QTest.mouseClick(button, LEFT)
    QApplication.processEvents()


def held_menu(strip: KeyStrip) -> QMenu:
    push(strip.more)
    return next(menu for menu in strip.findChildren(QMenu) if menu.isVisible())


def test_the_jobs_own_switches_are_offered_and_thrown(open_window: Open) -> None:
    window = open_window(with_own(RADIO))
    strip, session = window.key_strip, window.session
    own = [switch for switch in strip.switches if switch in ("cut-off", "radio-on", "asleep")]
    assert own == ["cut-off", "asleep", "radio-on"], "those of the settings first, then the parts', by name"
    assert all(strip.switches[switch].isVisible() for switch in own)
    assert strip.switches["cut-off"].text() == "Battery <b>cut-off</b> && main"
    assert strip.switches["radio-on"].text() == "Radio on"
    push(strip.keys["run"])
    push(strip.switches["radio-on"])
    push(strip.switches["cut-off"])
    assert session.position == "run+cut-off+radio-on"
    push(strip.switches["cut-off"])
    assert session.position == "run+radio-on"
    assert strip.switches["radio-on"].isChecked()
    assert not strip.switches["cut-off"].isChecked()


def test_a_switch_that_nothing_names_any_more_goes_out(open_window: Open) -> None:
    window = open_window(with_own(RADIO))
    strip, session = window.key_strip, window.session
    push(strip.keys["run"])
    push(strip.switches["radio-on"])
    push(strip.switches["cut-off"])
    session.apply("Remove", lambda job: remove_internal(job, "BOX", 0))
    assert session.position == "run+cut-off"
    assert "radio-on" not in strip.switches
    session.apply("No switches", lambda job: set_settings(job, switches=()))
    assert session.position == "run"
    session.undo_stack.undo()
    session.undo_stack.undo()
    assert {"cut-off", "radio-on"} <= set(strip.switches)
    assert window.checks.wait_until_idle()


def test_tab_goes_through_the_own_switches_too(open_window: Open) -> None:
    window = open_window(with_own(RADIO, BUTTONS))
    strip = window.key_strip
    window.activateWindow()
    strip.keys["running"].setFocus(Qt.FocusReason.TabFocusReason)
    reached = []
    for _ in range(4):
        now = QApplication.focusWidget()
        assert now is not None
        QTest.keyClick(now, Qt.Key.Key_Tab)
        reached.append(QApplication.focusWidget())
    own = [strip.switches[switch] for switch in ("cut-off", "asleep", "radio-on")]
    assert reached == [*own, strip.more]


def test_a_button_is_held_by_the_menu(open_window: Open) -> None:
    window = open_window(with_own(BUTTONS))
    strip, session = window.key_strip, window.session
    push(strip.keys["run"])
    menu = held_menu(strip)
    assert [action.text() for action in menu.actions()] == ["Volume + (BOX)", "Seek && <b> (BOX)"]
    QTest.keyClick(menu, Qt.Key.Key_Down)
    QTest.keyClick(menu, Qt.Key.Key_Return)
    assert session.position == "run+volume-plus"
    assert strip.more.text() == "Held: Volume +"
    assert strip.more.isChecked()
    menu = held_menu(strip)
    assert [action.isChecked() for action in menu.actions()] == [True, False]
    QTest.keyClick(menu, Qt.Key.Key_Down)
    QTest.keyClick(menu, Qt.Key.Key_Return)
    assert session.position == "run"
    assert not strip.more.isChecked()
    session.apply("Remove", lambda job: remove_internal(job, "BOX", 0))
    assert not strip.more.isVisible()


def test_an_unanswered_menu_leaves_the_button_as_it_was(open_window: Open) -> None:
    window = open_window(with_own(BUTTONS))
    menu = held_menu(window.key_strip)
    QTest.keyClick(menu, Qt.Key.Key_Escape)
    assert not window.key_strip.more.isChecked()
    assert window.session.position == ""


def test_switches_that_find_no_room_go_into_the_menu(qtbot: QtBot, open_window: Open) -> None:
    many = tuple(OwnSwitch(name=f"own-{n}", words=f"Own switch number {n}") for n in range(8))
    window = open_window(set_settings(box_job(), switches=many))
    strip = KeyStrip(window.session)
    place = MapPlace(strip, QWidget())
    qtbot.addWidget(place)
    place.resize(560, 400)
    place.show()
    qtbot.waitExposed(place)
    QApplication.processEvents()
    shown = [switch for switch, button in strip.switches.items() if button.isVisible()]
    assert 0 < len(shown) < 8
    for button in (*(strip.switches[switch] for switch in shown), strip.more):
        assert strip.rect().contains(button.mapTo(strip, button.rect().bottomRight())), button.text()
    menu = held_menu(strip)
    assert [a.text() for a in menu.actions()] == [f"Own switch number {n}" for n in range(len(shown), 8)]
    QTest.keyClick(menu, Qt.Key.Key_Down)
    QTest.keyClick(menu, Qt.Key.Key_Return)
    assert window.session.position == f"off+own-{len(shown)}"
    place.resize(2400, 400)
    QApplication.processEvents()
    assert all(strip.switches[own.name].isVisible() for own in many)
    assert not strip.more.isVisible()


# The pure part


def test_own_switches_are_those_listed_and_those_named() -> None:
    job = with_own(RADIO, BUTTONS)
    assert own_switches(job) == ("cut-off", "asleep", "radio-on")
    assert known_switches(job) == ("cut-off", "asleep", "radio-on", "volume-plus", "seek-b")
    assert switch_words(job, "cut-off") == "Battery <b>cut-off</b> & main"
    assert switch_words(job, "parking") == "Parking brake"
    assert switch_words(job, "radio-on") == "Radio on"


def test_buttons_of_one_name_are_told_together_and_removed_parts_have_none() -> None:
    job = box_job(BUTTONS)
    other = job.parts["BOX"].changed(id="COL")
    gone = job.parts["BOX"].changed(id="OLD", state="removed")
    job = add_part(add_part(job, other), gone)
    assert held_buttons(job)[0] == Held("volume-plus", "Volume +", ("BOX", "COL"))


@pytest.mark.parametrize("name", ["run", "run+lights+cut-off", "off+b+a"])
def test_a_name_on_the_screen_is_read_as_it_is(name: str) -> None:
    assert parted(name).name == name


def test_own_switches_keep_their_order_in_the_position() -> None:
    own = ("cut-off", "asleep")
    assert with_switch("run+asleep", "cut-off", (), own) == "run+cut-off+asleep"
    assert with_switch("run+cut-off+asleep", "lights", (), own) == "run+lights+cut-off+asleep"
    assert with_switch("", "asleep", ("off", "running+asleep"), own) == "running+asleep"
    assert with_key("run+cut-off", "start") == "start+cut-off"
    assert stepped("run+cut-off", 1) == "start+cut-off"
    assert used_switches(("off+asleep", "running+cut-off"), "run+lights", own) == ("lights", *own)
    assert without_switches("run+lights+cut-off", ("asleep",)) == "run+lights"
    assert without_switches("", own) == ""
