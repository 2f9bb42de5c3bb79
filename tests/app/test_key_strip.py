"""The key over the map: what glows, what fades, and what the words say, with real clicks and keys."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QWidget
from pytestqt.qtbot import QtBot

from app.panels.key_strip import KeyStrip, MapPlace
from app.window import JobWindow
from app.work.live import glow_of, stepped, used_switches, with_key, with_switch, words_at
from core.edits.finishes import cap
from core.edits.joins import join, join_by_wire, unjoin
from core.edits.parts import add_part, remove_parts
from core.edits.place import move
from core.job.document import Job
from core.job.internals import Relay
from core.library.library import Library
from tests.app.canvas.hands import spot
from tests.app.jobs import bench_job, terminal_with
from tests.core.checks.jobs import camera, plain

Open = Callable[[Job], JobWindow]
LEFT = Qt.MouseButton.LeftButton


def fed_job(library: Library) -> Job:
    """Constant, accessory and ground joined; the receiver's other leads hang free."""
    job = bench_job(library)
    for function in ("constant", "accessory", "ground"):
        job = join(job, terminal_with(job, "RAD", function), terminal_with(job, "REC", function))
    return job


@pytest.fixture
def window(open_window: Open, library: Library) -> JobWindow:
    return open_window(fed_job(library))


def push(button: QWidget) -> None:
    assert button.isVisible()
    QTest.mouseClick(button, LEFT)
    QApplication.processEvents()


def glow(window: JobWindow, ref: str) -> str | None:
    return window.view.store.glow.get(ref)


def flag_glow(window: JobWindow, ref: str) -> str | None:
    blocks = window.view.map_scene.blocks.values()
    return next(block.worn.flags[ref].glow for block in blocks if ref in block.worn.flags)


def hovered_words(window: JobWindow, ref: str) -> str:
    """The status line with the pointer on a thing."""
    view = window.view
    QTest.mouseMove(view.viewport(), QPoint(1, 1))
    QTest.mouseMove(view.viewport(), spot(view, ref))
    QApplication.processEvents()
    words: str = window._words.text()
    return words


def volts_field(window: JobWindow) -> str:
    label = window.details.widgets["Volts"]
    assert isinstance(label, QLabel)
    return label.text()


def test_a_constant_feed_glows_in_off_and_an_accessory_lead_in_run_only(window: JobWindow) -> None:
    job = window.session.job
    constant, accessory = terminal_with(job, "RAD", "constant"), terminal_with(job, "REC", "accessory")
    push(window.key_strip.keys["off"])
    assert glow(window, constant) == flag_glow(window, constant) == "live"
    assert glow(window, accessory) == flag_glow(window, accessory) == "dead"
    assert "(0 V in off)" in hovered_words(window, accessory)
    push(window.key_strip.keys["run"])
    assert glow(window, accessory) == flag_glow(window, accessory) == "live"
    assert "(12.5 V, 10.7 mA in run)" in hovered_words(window, accessory)
    ground = terminal_with(job, "REC", "ground")
    assert glow(window, ground) is flag_glow(window, ground) is None
    assert "(ground, 6.01 A in run)" in hovered_words(window, ground)


def test_a_lead_that_nothing_reaches_floats(open_window: Open, library: Library) -> None:
    window = open_window(bench_job(library))
    free = terminal_with(window.session.job, "REC", "accessory")
    push(window.key_strip.keys["run"])
    assert glow(window, free) == "floating"
    assert "(floating in run)" in hovered_words(window, free)
    window.session.select([free])
    assert volts_field(window) == "floating in run"


def test_the_camera_behind_the_step_down_shows_6_v(open_window: Open) -> None:
    job = camera()
    window = open_window(job)
    feed = terminal_with(job, "CAM", "camera-feed")
    window.session.select([feed])
    assert "Volts" not in window.details.widgets
    push(window.key_strip.keys["run"])
    assert volts_field(window) == "0 V in run"
    push(window.key_strip.switches["reverse"])
    assert window.session.position == "run+reverse"
    assert volts_field(window) == "6 V, 0.18 A in run+reverse"
    assert glow(window, feed) == "live"
    push(window.key_strip.switches["reverse"])
    assert volts_field(window) == "0 V in run"


def test_a_wire_says_its_volts_too(open_window: Open, library: Library) -> None:
    job = bench_job(library)
    ends = terminal_with(job, "RAD", "constant"), terminal_with(job, "REC", "constant")
    job = join_by_wire(job, *ends)
    wire = next(iter(job.wires))
    window = open_window(job)
    window.session.select([wire])
    push(window.key_strip.keys["running"])
    assert volts_field(window) == "14.2 V in running"
    assert glow(window, wire) == "live"
    assert f"Wire {wire} (14.2 V in running)" in window.view.describe(wire)


def test_live_flags_carry_a_mark_that_is_no_colour_alone(window: JobWindow) -> None:
    """Seen in grey: the corner of the tab is another picture with the mark than without."""
    constant = terminal_with(window.session.job, "RAD", "constant")
    view = window.view
    flag = view.finder.flag(constant)
    assert flag is not None
    tab = view.mapFromScene(flag.tab.x, flag.tab.y)

    def corner() -> list[int]:
        picture = view.viewport().grab().toImage().convertToFormat(picture_format)
        near = [tab + QPoint(dx, dy) for dx in range(-16, 17) for dy in range(-14, 0)]
        return [picture.pixelColor(point).lightness() for point in near]

    picture_format = view.viewport().grab().toImage().Format.Format_Grayscale8
    view.zoom_to([constant])
    tab = view.mapFromScene(flag.tab.x, flag.tab.y)
    view.backdrop.finish()
    before = corner()
    push(window.key_strip.keys["off"])
    view.backdrop.finish()
    after = corner()
    assert sum(abs(a - b) > 60 for a, b in zip(before, after, strict=True)) > 20


def test_after_an_edit_nothing_glows_until_it_is_checked(window: JobWindow) -> None:
    session = window.session
    constant = terminal_with(session.job, "REC", "constant")
    session.select([constant])
    push(window.key_strip.keys["off"])
    assert glow(window, constant) == "live"
    field = window.details.widgets["Volts"]
    session.apply("Cap", lambda job: cap(job, [terminal_with(job, "RAD", "illumination")]))
    assert session.shown is None
    assert window.view.store.glow == {}
    assert volts_field(window) == "–"
    assert window.key_strip.words.text() == "checking…"
    assert window.checks.wait_until_idle()
    assert glow(window, constant) == "live"
    assert volts_field(window) == "12.6 V, 5.25 mA in off"
    assert window.key_strip.words.text() == ""
    assert window.details.widgets["Volts"] is field, "the form was made anew under the user's hands"
    session.apply("Take out", lambda job: unjoin(job, constant))
    assert window.view.store.glow == {}
    assert window.checks.wait_until_idle()
    assert glow(window, constant) == "dead"
    assert volts_field(window) == "0 V in off"


def test_a_move_on_the_map_keeps_the_glow(window: JobWindow) -> None:
    push(window.key_strip.keys["off"])
    shown = window.session.shown
    assert shown is not None
    window.session.apply("Move", lambda job: move(job, {"REC": (500.0, 0.0)}))
    assert window.session.shown is shown
    assert glow(window, terminal_with(window.session.job, "REC", "constant")) == "live"
    assert flag_glow(window, terminal_with(window.session.job, "REC", "constant")) == "live"


def test_with_no_position_nothing_glows_and_nothing_is_said(window: JobWindow) -> None:
    constant = terminal_with(window.session.job, "RAD", "constant")
    strip = window.key_strip
    assert not any(button.isChecked() for button in strip.keys.values())
    assert window.view.store.glow == {}
    assert " V" not in hovered_words(window, constant)
    push(strip.keys["run"])
    assert [key for key, button in strip.keys.items() if button.isChecked()] == ["run"]
    push(strip.keys["start"])
    assert [key for key, button in strip.keys.items() if button.isChecked()] == ["start"]
    push(strip.keys["start"])
    assert window.session.position == ""
    assert not any(button.isChecked() for button in strip.keys.values())
    assert window.view.store.glow == {}
    assert flag_glow(window, constant) is None
    assert " V" not in hovered_words(window, constant)


def test_only_switches_that_something_depends_on_are_offered(open_window: Open, library: Library) -> None:
    window = open_window(bench_job(library))
    offered = {switch for switch, button in window.key_strip.switches.items() if button.isVisible()}
    assert {"lights", "reverse"} <= offered
    assert not offered & {"left", "right"}
    push(window.key_strip.switches["reverse"])
    assert window.session.position == "run+reverse"
    window.session.apply("Remove", lambda job: remove_parts(job, ["RAD", "RADC", "REC"]))
    assert window.checks.wait_until_idle()
    reverse = window.key_strip.switches["reverse"]
    assert reverse.isVisible(), "what is on can be put off"
    assert reverse.isChecked()
    push(reverse)
    assert window.session.position == "run"
    assert not reverse.isVisible()


def test_a_job_with_no_plugs_has_no_switches(open_window: Open, library: Library) -> None:
    ground = library.parts["Body ground point"].part
    window = open_window(add_part(Job(), ground))
    assert not any(button.isVisible() for button in window.key_strip.switches.values())


def test_keys_step_the_key_and_a_click_leaves_the_keyboard_with_the_map(window: JobWindow) -> None:
    view, session = window.view, window.session
    view.setFocus()
    seen = []
    for _ in range(6):
        QTest.keyClick(view, Qt.Key.Key_BracketRight)
        seen.append(session.position)
    assert seen == ["off", "accessory", "run", "start", "running", ""]
    QTest.keyClick(view, Qt.Key.Key_BracketLeft)
    assert session.position == "running"
    push(window.key_strip.keys["accessory"])
    assert view.hasFocus()
    QTest.keyClick(view, Qt.Key.Key_BracketLeft)
    assert session.position == "off"
    assert window.key_strip.keys["off"].isChecked()


def test_a_new_window_gives_the_keyboard_to_the_map(window: JobWindow) -> None:
    window.activateWindow()
    QApplication.processEvents()
    assert window.view.hasFocus()


def test_tab_reaches_every_button_and_space_presses_it(qtbot: QtBot, window: JobWindow) -> None:
    strip = window.key_strip
    strip.keys["off"].setFocus(Qt.FocusReason.TabFocusReason)
    reached = []
    buttons = [*strip.keys.values(), *(b for b in strip.switches.values() if b.isVisible())]
    for _ in buttons:
        now = QApplication.focusWidget()
        assert now is not None
        reached.append(now)
        QTest.keyClick(now, Qt.Key.Key_Space)
        QTest.keyClick(now, Qt.Key.Key_Tab)
    assert reached == buttons
    on = [switch for switch, button in strip.switches.items() if button.isVisible()]
    assert window.session.position == "+".join(("running", *on))


def test_every_button_is_named_tall_enough_and_in_sight(window: JobWindow) -> None:
    strip = window.key_strip
    assert strip.height() <= 48
    for button in (*strip.keys.values(), *strip.switches.values()):
        if button.isVisible():
            assert button.height() >= 28
            assert (
                button.text() in button.accessibleName() or button.text().lower() in button.accessibleName()
            )
            right = button.mapTo(strip, button.rect().bottomRight())
            assert strip.rect().contains(right), button.text()


def test_where_there_is_no_room_the_switches_go_below(qtbot: QtBot, window: JobWindow) -> None:
    """All six switches, and the map as narrow as the panels leave it."""
    strip = KeyStrip(window.session)
    place = MapPlace(strip, QWidget())
    qtbot.addWidget(place)
    window.session.show_position("run+lights+reverse+parking+brake+left+right")
    place.resize(1200, 400)
    place.show()
    QApplication.processEvents()
    one_row = strip.height()
    place.resize(560, 400)
    qtbot.waitUntil(lambda: strip.height() > 1.6 * one_row)
    assert strip.width() == 560
    assert strip.keys["off"].x() < 80, "the key stands at the left in both rows"
    for button in (*strip.keys.values(), *strip.switches.values()):
        assert strip.rect().contains(button.mapTo(strip, button.rect().bottomRight())), button.text()


def test_a_relay_that_chatters_is_named_instead_of_glowing(open_window: Open) -> None:
    car = plain("CAR", ("constant", "ground"), state="on the car")
    relay = plain(
        "RLY",
        [""] * 5,
        internals=(Relay(coil_plus="A-1", coil_minus="A-2", common="A-3", make="A-4", rest="A-5"),),
    )
    job = add_part(add_part(Job(), car), relay)
    for one, other in (("CAR.A-1", "RLY.A-3"), ("RLY.A-5", "RLY.A-1"), ("CAR.A-2", "RLY.A-2")):
        job = join(job, one, other)
    window = open_window(job)
    push(window.key_strip.keys["run"])
    assert window.view.store.glow == {}
    assert window.key_strip.words.text() == "RLY would chatter in run"


# The pure part: positions to step through, by the names of the positions.


def test_positions_step_through_the_key_and_none() -> None:
    assert [stepped(name, 1) for name in ("", "off", "running+lights")] == ["off", "accessory", ""]
    assert [stepped(name, -1) for name in ("", "off", "run+reverse")] == ["running", "", "accessory+reverse"]


def test_a_key_keeps_the_switches_and_goes_out_when_pressed_again() -> None:
    assert with_key("", "run") == "run"
    assert with_key("off+lights", "running") == "running+lights"
    assert with_key("running+lights", "running") == ""


def test_a_switch_keeps_the_key_and_starts_where_the_checker_turned_it_over() -> None:
    assert with_switch("run+reverse", "lights", ()) == "run+lights+reverse"
    assert with_switch("run+lights+reverse", "lights", ()) == "run+reverse"
    assert (
        with_switch("", "reverse", ("off", "run", "run+reverse", "running+lights+reverse")) == "run+reverse"
    )


def test_switches_are_offered_in_their_order() -> None:
    assert used_switches(("off", "running+parking", "off+lights"), "run+brake") == (
        "lights",
        "parking",
        "brake",
    )


def test_nothing_shown_says_and_glows_nothing() -> None:
    assert glow_of(None) == {}
    assert words_at(None, "RAD.A-1") == ""
