"""The meter on the map: two points by clicks, drags and keys, and what its card shows in every position."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.meter import tip_of
from app.tools.meter import Meter
from app.window import JobWindow
from app.work.points import USUAL_BLACK
from core.edits.cavities import set_cavity
from core.edits.joins import join, join_by_wire
from core.edits.parts import remove_parts
from core.job.document import Job
from core.library.library import Library
from tests.app.canvas.hands import click, nothing_near, press, spot
from tests.app.jobs import bench_job, joined_job, terminal_with

Open = Callable[[Job], JobWindow]
LEFT = Qt.MouseButton.LeftButton
V = Qt.Key.Key_V


@pytest.fixture
def window(open_window: Open, library: Library) -> JobWindow:
    window = open_window(joined_job(library))
    window.activateWindow()
    window.view.setFocus()
    QApplication.processEvents()
    return window


@pytest.fixture
def meter(window: JobWindow) -> Meter:
    return window.desk.meter


def pin(window: JobWindow, part: str, function: str) -> str:
    return terminal_with(window.session.job, part, function)


def shown(qtbot: QtBot, window: JobWindow) -> dict[str, str]:
    """The card: position to what stands beside it, once everything is worked out."""
    table = window.meter.values

    def read() -> dict[str, str]:
        cells = [(table.item(row, 0), table.item(row, 1)) for row in range(table.rowCount())]
        return {name.text().lstrip("▸ "): value.text() for name, value in cells if name and value}

    qtbot.waitUntil(lambda: not {"…", "checking…"} & set(read().values()))
    return read()


def volts(text: str) -> float:
    number, unit = text.replace("−", "-").split()
    return float(number) * {"V": 1.0, "mV": 1e-3}[unit]


def test_two_clicks_put_red_and_black_and_every_position_is_shown(
    window: JobWindow, meter: Meter, qtbot: QtBot
) -> None:
    constant, ground = pin(window, "REC", "constant"), pin(window, "REC", "ground")
    job = window.session.job
    press(window.view, V)
    assert window.meter.isVisible()
    assert set(shown(qtbot, window).values()) == {"–"}
    click(window.view, spot(window.view, constant))
    assert (meter.red, meter.black) == (constant, USUAL_BLACK)
    alone = shown(qtbot, window)
    assert window.session.result is not None
    assert tuple(alone) == window.session.result.positions
    # The volts of a 12 V battery at rest, charging and while cranking (common practice), less what is lost.
    for position, battery in (("off", 12.6), ("run", 12.6), ("running", 14.2), ("start", 10.0)):
        assert battery - 0.6 < volts(alone[position]) <= battery, position
    click(window.view, spot(window.view, ground))
    assert (meter.red, meter.black) == (constant, ground)
    both = shown(qtbot, window)
    assert volts(both["running"]) <= volts(alone["running"])
    assert window.session.job is job, "the meter changes nothing"
    assert not window.session.selection


def test_after_both_the_red_point_moves_on(window: JobWindow, meter: Meter) -> None:
    constant, ground = pin(window, "REC", "constant"), pin(window, "REC", "ground")
    other = pin(window, "RAD", "accessory")
    press(window.view, V)
    for ref in (constant, ground, other):
        click(window.view, spot(window.view, ref))
    assert (meter.red, meter.black) == (other, ground)
    QTest.mouseClick(window.meter.chips["black"], LEFT)
    click(window.view, spot(window.view, constant))
    assert (meter.red, meter.black) == (other, constant)


def test_a_probe_is_dragged_to_another_point(window: JobWindow, meter: Meter) -> None:
    view = window.view
    constant, other = pin(window, "REC", "constant"), pin(window, "RAD", "accessory")
    press(view, V)
    click(view, spot(view, constant))

    def handle() -> QPoint:
        found = view.map_scene.meter.handle("red", view.scale_now)
        assert found is not None
        return view.mapFromScene(found)

    def drag_to(end: QPoint) -> None:
        QTest.mousePress(view.viewport(), LEFT, pos=handle())
        QTest.mouseMove(view.viewport(), end)
        QTest.mouseRelease(view.viewport(), LEFT, pos=end)

    drag_to(spot(view, other))
    assert meter.red == other
    assert meter.next == "black", "whose turn it was stays"
    drag_to(nothing_near(view))
    assert meter.red == other
    tip = tip_of(view, other)
    assert tip is not None
    assert view.map_scene.meter.tips["red"] == tip, "let go off every point it goes back"


def test_by_keys_alone(window: JobWindow, meter: Meter, qtbot: QtBot) -> None:
    constant, ground = pin(window, "RAD", "constant"), pin(window, "REC", "ground")
    window.session.select([constant])
    press(window.view, V)
    assert meter.red == constant
    assert "12" in shown(qtbot, window)["off"]
    window.session.select([ground])
    press(window.view, V)
    assert (meter.red, meter.black) == (constant, ground)
    window.session.select([pin(window, "REC", "constant")])
    QTest.keyClick(window.view, V, Qt.KeyboardModifier.ShiftModifier)
    assert (meter.red, meter.black) == (pin(window, "REC", "constant"), ground)
    window.view.focus_on("J1")
    press(window.view, Qt.Key.Key_Return)
    assert meter.red == "J1"
    press(window.view, Qt.Key.Key_Escape)
    assert not meter.out
    assert not window.meter.isVisible()
    assert not window.view.map_scene.meter.tips
    assert window.session.selection, "the first Escape is the meter's"


def test_two_selected_ends_get_both_points(window: JobWindow, meter: Meter) -> None:
    ends = [pin(window, "RAD", "constant"), pin(window, "REC", "ground")]
    window.session.select(ends)
    press(window.view, V)
    assert [meter.red, meter.black] == ends


def test_joints_and_wires_are_points_too(open_window: Open, library: Library, qtbot: QtBot) -> None:
    job = bench_job(library)
    job = join_by_wire(job, terminal_with(job, "RAD", "constant"), terminal_with(job, "REC", "constant"))
    window = open_window(job)
    view, meter = window.view, window.desk.meter
    wire = next(iter(job.wires))
    view.setFocus()
    press(view, V)
    a, b = tip_of(view, f"{wire}:a"), tip_of(view, f"{wire}:b")
    assert a is not None
    assert b is not None
    path = view.store.path(next(view.finder.wires_of(wire)).key)
    assert path is not None
    for share, end in ((0.3, "a"), (0.7, "b")):
        click(view, view.mapFromScene(path.pointAtPercent(share)))
        assert f"{wire}:{end}" in (meter.red, meter.black)
    meter.set_quantity("amps")
    assert set(shown(qtbot, window)) >= {"off", "run"}
    joint = next(iter(job.joints))
    click(view, spot(view, joint))
    assert meter.red == joint


def test_volts_ohms_and_amps(window: JobWindow, meter: Meter, qtbot: QtBot) -> None:
    view, constant = window.view, pin(window, "REC", "constant")
    press(view, V)
    click(view, spot(view, constant))
    QTest.mouseClick(window.meter.settings["amps"], LEFT)
    joint = window.session.job.lookup.joint_of[constant]
    assert window.meter.black.currentData() == joint, "for amps the meter stands in the lead"
    assert all(text.endswith("A") for text in shown(qtbot, window).values())
    QTest.mouseClick(window.meter.settings["ohms"], LEFT)
    meter.put_black(joint)
    # A lead of 0.3 m: its gauge's ohms a metre, and the crimp's half milliohm.
    for text in shown(qtbot, window).values():
        assert text.endswith("mΩ")
        assert 1 < float(text.split()[0]) < 40
    assert window.meter.settings["ohms"].isChecked()


def test_a_floating_lead_is_said_to_float_and_an_airbag_is_not_touched(
    open_window: Open, library: Library, qtbot: QtBot
) -> None:
    job = bench_job(library)
    free, bag = terminal_with(job, "REC", "accessory"), terminal_with(job, "RAD", "constant")
    window = open_window(set_cavity(job, bag, airbag=True))
    window.view.setFocus()
    press(window.view, V)
    click(window.view, spot(window.view, bag))
    assert "airbag" in window.desk.notices.text
    assert window.desk.meter.red == ""
    click(window.view, spot(window.view, free))
    assert set(shown(qtbot, window).values()) == {"floating"}
    assert "10 Mohm" in window.meter.words.text()


def test_battery_and_body_are_chosen_in_the_card(window: JobWindow, meter: Meter, qtbot: QtBot) -> None:
    press(window.view, V)
    click(window.view, spot(window.view, pin(window, "REC", "constant")))
    box = window.meter.black
    at = box.findData("battery +")
    box.setCurrentIndex(at)
    box.activated.emit(at)
    assert meter.black == "battery +"
    assert abs(volts(shown(qtbot, window)["off"])) < 0.6
    click(window.view, spot(window.view, pin(window, "RAD", "accessory")))
    assert meter.black == "battery +", "the red point moves on"


def test_what_is_deleted_is_measured_no_more(window: JobWindow, meter: Meter, qtbot: QtBot) -> None:
    constant = pin(window, "REC", "constant")
    press(window.view, V)
    click(window.view, spot(window.view, constant))
    click(window.view, spot(window.view, pin(window, "RAD", "ground")))
    window.session.apply("Remove", lambda job: remove_parts(job, ["REC"]))
    assert meter.out
    assert meter.red == ""
    assert meter.next == "red"
    window.session.undo_stack.undo()
    assert window.checks.wait_until_idle()
    assert set(shown(qtbot, window).values()) == {"–"}


def test_values_follow_an_edit(window: JobWindow, qtbot: QtBot) -> None:
    accessory = pin(window, "REC", "accessory")
    press(window.view, V)
    click(window.view, spot(window.view, accessory))
    assert shown(qtbot, window)["run"] == "0 V", "the receiver itself ties its lead to ground"
    window.session.apply("Join", lambda job: join(job, terminal_with(job, "RAD", "accessory"), accessory))
    assert window.checks.wait_until_idle()
    after = shown(qtbot, window)
    assert volts(after["run"]) > 11.5
    assert volts(after["off"]) < 1


def test_the_position_on_the_map_is_marked(window: JobWindow, qtbot: QtBot) -> None:
    press(window.view, V)
    click(window.view, spot(window.view, pin(window, "REC", "constant")))
    QTest.mouseClick(window.key_strip.keys["run"], LEFT)
    table = window.meter.values
    items = [item for row in range(table.rowCount()) if (item := table.item(row, 0)) is not None]
    assert [item.text() for item in items if "▸" in item.text()] == ["▸ run"]
    QTest.mouseClick(window.key_strip.switches["reverse"], LEFT)
    QTest.mouseClick(window.key_strip.keys["start"], LEFT)
    assert window.session.position == "start+reverse"
    assert "start+reverse" in shown(qtbot, window)


def test_the_meter_outlives_a_click_elsewhere_and_the_map_works_on(window: JobWindow, meter: Meter) -> None:
    view = window.view
    press(view, V)
    click(view, spot(view, pin(window, "REC", "constant")))
    window.conflicts.setFocus()
    assert meter.out
    before = window.session.job.view.places["GND"]
    block = view.sync.layout.blocks["GND"].core
    start = view.mapFromScene(QPointF(block.x + block.width / 2, block.y + 6))
    QTest.mousePress(view.viewport(), LEFT, pos=start)
    for step in (10, 30, 60):
        QTest.mouseMove(view.viewport(), start + QPoint(0, step))
    QTest.mouseRelease(view.viewport(), LEFT, pos=start + QPoint(0, 60))
    assert window.session.job.view.places["GND"] != before
    assert meter.red == pin(window, "REC", "constant")


def test_a_double_click_on_a_flag_is_no_typing_while_the_meter_is_out(
    window: JobWindow, meter: Meter
) -> None:
    view, constant = window.view, pin(window, "REC", "constant")
    press(view, V)
    click(view, spot(view, constant))
    QTest.mouseDClick(view.viewport(), LEFT, pos=spot(view, constant))
    QTest.mouseRelease(view.viewport(), LEFT, pos=spot(view, constant))
    assert view.gestures.typed is None
    assert (meter.red, meter.black) == (constant, USUAL_BLACK), "black does not go where red is"


def test_probes_carry_their_letters(window: JobWindow) -> None:
    """Not told by colour alone: seen in grey, the two handles are different pictures."""
    view = window.view
    press(view, V)
    click(view, spot(view, pin(window, "REC", "constant")))
    click(view, spot(view, pin(window, "RAD", "ground")))
    view.backdrop.finish()
    picture = view.viewport().grab().toImage()
    seen = []
    for letter in ("red", "black"):
        middle = view.map_scene.meter.handle(letter, view.scale_now)  # type: ignore[arg-type]
        assert middle is not None
        at = view.mapFromScene(middle)
        seen.append(
            [
                picture.pixelColor(at + QPoint(dx, dy)).lightness() > 140
                for dx in range(-7, 8)
                for dy in range(-7, 8)
            ]
        )
    assert all(any(mask) and not all(mask) for mask in seen), "a letter on each"
    assert sum(a != b for a, b in zip(*seen, strict=True)) > 10


def test_the_card_hides_no_probe_and_stays_on_the_map(window: JobWindow, meter: Meter) -> None:
    view = window.view
    press(view, V)
    for part, function in (("REC", "constant"), ("RAD", "ground"), ("RAD", "accessory")):
        click(view, spot(view, pin(window, part, function)))
        for tip in meter.tips_on_view():
            assert not window.meter.geometry().contains(tip)
        assert view.viewport().rect().contains(window.meter.geometry())
    start = window.meter.pos()
    QTest.mousePress(window.meter, LEFT, pos=QPoint(20, 12))
    QTest.mouseMove(window.meter, QPoint(20, 12) + QPoint(-120, 30))
    QTest.mouseRelease(window.meter, LEFT, pos=QPoint(20, 12))
    assert window.meter.pos() != start
    assert view.viewport().rect().contains(window.meter.geometry())


def test_a_reading_is_entered_from_the_card(window: JobWindow, qtbot: QtBot) -> None:
    constant, ground = pin(window, "REC", "constant"), pin(window, "RAD", "ground")
    press(window.view, V)
    click(window.view, spot(window.view, constant))
    click(window.view, spot(window.view, ground))
    shown(qtbot, window)
    window.meter.values.setCurrentCell(2, 0)
    QTest.mouseClick(window.meter.enter, LEFT)
    assert window.readings.isVisible()
    row = window.readings.table.current
    assert row is not None
    assert (row.asked.red, row.asked.black, row.asked.position) == (constant, ground, "run")
