"""The Readings place: what is expected in every position, finding rows, the drain."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from app.application import Application
from app.panels.readings_table import EXPECTED
from app.theme import TOUCH
from app.window import JobWindow
from app.work.expected import Asked
from app.work.points import show_value, typed_value
from core.edits.cavities import set_cavity
from core.edits.joins import join, join_by_wire
from core.edits.parts import set_part
from core.edits.record import add_reading, set_settings, set_sheet
from core.job.document import Job
from core.job.record import OwnSwitch
from core.library.library import Library
from tests.app.jobs import bench_job, joined_job, terminal_with
from tests.app.sheet_hands import (
    ENTER,
    LEFT,
    WHO,
    cell,
    difference,
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


# What is expected


def test_every_position_of_the_standard_set_has_its_sheet(window: JobWindow, qtbot: QtBot) -> None:
    """Battery volts by key (common practice: 12.6 at rest, 14.2 charging, 10.0 cranking), less a loss."""
    constant = shown(window, "REC", "constant")
    assert window.session.result is not None
    positions = place(window).positions.list
    names = [positions.item(at).text() for at in range(positions.count())]
    assert names == list(window.session.result.positions)
    for name, battery in (("off", 12.6), ("run", 12.6), ("start", 10.0), ("running", 14.2)):
        pick(window, name)
        expected = typed_value(ready(qtbot, window, constant))
        assert expected is not None
        assert battery - 0.6 < expected <= battery


def test_any_other_position_is_made_of_key_and_switches(
    open_window: Open, library: Library, qtbot: QtBot
) -> None:
    own = set_settings(joined_job(library), switches=(OwnSwitch(name="cut-off", words="Battery <b>cut</b>"),))
    window = opened(open_window(own))
    choice = place(window).positions
    at = choice.key.findData("start")
    choice.key.setCurrentIndex(at)
    choice.key.activated.emit(at)
    choice.switches["brake"].click()
    choice.switches["cut-off"].click()
    assert choice.position == "start+brake+cut-off"
    assert choice.list.currentItem().text() == "start+brake+cut-off"
    assert choice.switches["cut-off"].text() == "Battery <b>cut</b>"
    expected = typed_value(ready(qtbot, window, shown(window, "REC", "constant")))
    assert expected is not None
    assert expected < 10.1
    pick(window, "off")
    assert not choice.switches["brake"].isChecked()
    assert choice.key.currentData() == "off"


def test_the_bench_supply_stands_in_for_the_car(open_window: Open, library: Library, qtbot: QtBot) -> None:
    job = set_settings(joined_job(library), bench={"volts": 9.0, "limit_amps": 3.0})
    window = opened(open_window(job))
    constant = shown(window, "REC", "constant")
    on_the_car = typed_value(ready(qtbot, window, constant))
    place(window).positions.bench.click()
    on_the_bench = typed_value(ready(qtbot, window, constant))
    assert on_the_car is not None
    assert on_the_bench is not None
    assert on_the_car > 12
    assert 8 < on_the_bench <= 9
    go_to(window, constant)
    type_in("8.9")
    assert window.session.job.readings[0].bench


def test_only_what_can_be_measured_is_listed(open_window: Open, library: Library) -> None:
    """Our half of a mated pair, no airbag circuit, nothing of a part that was taken out, no antenna."""
    job = joined_job(library)
    bag = terminal_with(job, "RAD", "reverse")
    job = set_cavity(job, bag, airbag=True)
    job = join_by_wire(job, terminal_with(job, "RAD", "accessory"), terminal_with(job, "REC", "accessory"))
    window = opened(open_window(job))
    points = [row.point for row in place(window).model.rows]
    assert shown(window, "RAD", "constant") in points
    assert shown(window, "RADC", "constant") not in points
    assert job.shown(bag) not in points
    assert set(job.joints) <= set(points)
    assert set(job.wires) <= set(points)
    window.session.apply("Out", lambda job: set_part(job, "REC", state="removed"))
    assert window.checks.wait_until_idle()
    QApplication.processEvents()
    assert not [row for row in place(window).model.rows if row.point.startswith("REC")]


def test_nothing_is_invented_for_a_lead_that_floats(
    open_window: Open, library: Library, qtbot: QtBot
) -> None:
    window = opened(open_window(bench_job(library)))
    free = shown(window, "REC", "accessory")
    assert ready(qtbot, window, free) == "floating"
    go_to(window, free)
    type_in("3.1")
    assert difference(window, free) == "no number to compare"


def test_amps_and_ohms(window: JobWindow, qtbot: QtBot) -> None:
    page = place(window)
    constant = shown(window, "REC", "constant")
    joint = window.session.job.lookup.joint_of[terminal_with(window.session.job, "REC", "constant")]
    page.quantity.setCurrentIndex(page.quantity.findData("amps"))
    page.quantity.activated.emit(0)
    assert ready(qtbot, window, f"{constant} to {joint}").endswith("A")
    assert not page.black.isEnabled()
    page.quantity.setCurrentIndex(page.quantity.findData("ohms"))
    page.quantity.activated.emit(0)
    page.form.meter_leads.setText("0.3")
    ground = shown(window, "REC", "ground")
    ready(qtbot, window, ground)
    go_to(window, ground)
    type_in("0,4")
    reading = window.session.job.readings[0]
    assert (reading.quantity, reading.value, reading.lead_ohms) == ("ohms", 0.4, 0.3)
    assert difference(window, ground) == "✓ agrees", "the meter's own leads are taken off"


def test_a_lifted_lead_and_unplugged_equipment(window: JobWindow, qtbot: QtBot) -> None:
    page = place(window)
    constant = shown(window, "REC", "constant")
    ready(qtbot, window, constant)
    state = page.form.state
    state.setCurrentIndex(state.findData("lifted"))
    state.activated.emit(0)
    lifted = ready(qtbot, window, constant)
    assert lifted in ("floating", "0 V"), "nothing feeds a lead that was lifted"
    go_to(window, constant)
    type_in("0")
    assert window.session.job.readings[0].lifted == terminal_with(window.session.job, "REC", "constant")
    state.setCurrentIndex(state.findData("unplugged"))
    state.activated.emit(0)
    qtbot.waitUntil(lambda: "12.6" in ready(qtbot, window, constant))
    go_to(window, constant)
    type_in("12.6")
    assert not window.session.job.readings[1].loaded


# Finding


def test_filters(window: JobWindow, qtbot: QtBot) -> None:
    page = place(window)
    constant, ground = shown(window, "REC", "constant"), shown(window, "REC", "ground")
    expected = ready(qtbot, window, constant)
    go_to(window, constant)
    type_in(expected)
    go_to(window, ground)
    type_in("9")

    def points(wanted: str) -> list[str]:
        page.shown.setCurrentIndex(page.shown.findData(wanted))
        page.shown.activated.emit(0)
        QApplication.processEvents()
        return [row.point for row in page.model.rows]

    everything = points("all")
    assert points("read") == [point for point in everything if point in (constant, ground)]
    qtbot.waitUntil(lambda: points("differs") == [ground])
    assert points("not read") == [point for point in everything if point not in (constant, ground)]
    points("all")
    at = page.part.findData("RAD")
    page.part.setCurrentIndex(at)
    page.part.activated.emit(at)
    assert {row.point.partition("-")[0] for row in page.model.rows} == {"RAD"}
    page.find_line.setFocus()
    QTest.keyClicks(page.find_line, "ACCESS")
    assert [row.point for row in page.model.rows] == [shown(window, "RAD", "accessory")]
    QTest.keyClick(page.find_line, ENTER)
    assert page.table.hasFocus()
    page.find_line.setText("no such thing")
    assert page.nothing.isVisible()


def test_not_read_yet_goes_down_by_one_with_each_value(window: JobWindow) -> None:
    page = place(window)
    page.shown.setCurrentIndex(page.shown.findData("not read"))
    page.shown.activated.emit(0)
    before = [row.asked for row in page.model.rows]
    go_to(window, page.model.rows[0].point)
    type_in("1", "2")
    QApplication.processEvents()
    assert [row.asked for row in page.model.rows] == before[2:]
    assert [Asked.of(reading) for reading in window.session.job.readings] == before[:2]


def test_two_points_by_name(window: JobWindow, qtbot: QtBot) -> None:
    page = place(window)
    two = page.aside.two_points
    constant, ground = shown(window, "REC", "constant"), shown(window, "RAD", "ground")
    two.red.setText("nowhere")
    two.add.click()
    assert two.message.text() == "There is no point called nowhere."
    two.red.setText(constant.lower())
    two.black.setText(ground)
    QTest.keyClick(two.black, ENTER)
    row = page.table.current
    assert row is not None
    assert row.point == f"{constant} to {ground}"
    assert page.table.hasFocus()
    type_in("12.1")
    assert window.session.job.readings[0].black == terminal_with(window.session.job, "RAD", "ground")
    pick(window, "run")
    assert row.point not in [r.point for r in page.model.rows]


def test_a_row_and_the_map_select_each_other(window: JobWindow) -> None:
    job = window.session.job
    constant = terminal_with(job, "REC", "constant")
    go_to(window, job.shown(constant))
    QApplication.processEvents()
    assert window.session.selection == {constant}
    window.session.select(["J2"])
    row = place(window).table.current
    assert row is not None
    assert row.point == "J2"


def test_values_are_asked_anew_after_an_edit_and_kept_after_a_reading(
    window: JobWindow, qtbot: QtBot
) -> None:
    accessory = shown(window, "REC", "accessory")
    pick(window, "run")
    before = ready(qtbot, window, accessory)
    go_to(window, accessory)
    type_in("0")
    assert cell(window, accessory, EXPECTED) == before, "a reading changes nothing in the circuit"
    job = window.session.job
    ends = terminal_with(job, "RAD", "accessory"), terminal_with(job, "REC", "accessory")
    window.session.apply("Join", lambda job: join(job, *ends))
    assert cell(window, accessory, EXPECTED) == "checking…"
    assert window.checks.wait_until_idle()
    after = typed_value(ready(qtbot, window, accessory))
    assert after is not None
    assert after > 11.5
    assert difference(window, accessory).startswith("≠ differs by −1")


# Drain


def test_the_drain_says_how_much_who_and_how_long(window: JobWindow, qtbot: QtBot) -> None:
    drain = place(window).aside.drain
    qtbot.waitUntil(lambda: drain.total.text() != "checking…")
    engine = window.desk.expected.engine
    assert engine is not None
    found = window.desk.expected.drain()
    assert found is not None
    assert drain.total.text() == show_value(found.amps, "amps")
    said = " ".join(label.text() for label in drain.findChildren(QLabel))
    assert "half empty in" in said or "Next to nothing" in said
    assert all(name in said for name, _ in found.by)
    if found.amps > 1e-4:
        days = 60 / 2 / found.amps / 24
        assert "60 Ah, assumed" in said
        assert (f"{days:.0f}" in said) or days > 365 or days < 10


# The place among the others


def test_the_panels_give_way_and_come_back(window: JobWindow) -> None:
    assert not window.panels["shelf"].isVisible()
    QTest.mouseClick(window.bar.buttons["map"], LEFT)
    assert window.panels["shelf"].isVisible()
    assert window.panels["conflicts"].isVisible()
    QTest.mouseClick(window.bar.buttons["readings"], LEFT)
    assert not window.panels["conflicts"].isVisible()
    assert window.bar.buttons["readings"].isChecked()


@pytest.mark.parametrize(("width", "height"), [(1366, 768), (1920, 1080)])
def test_everything_is_in_sight_and_large_enough(window: JobWindow, width: int, height: int) -> None:
    window.resize(width, height)
    QApplication.processEvents()
    page = place(window)
    for field in (page.find_line, page.part, page.shown, page.quantity, page.black, page.form.state):
        assert field.height() >= TOUCH
        assert field.accessibleName()
        assert window.rect().contains(field.mapTo(window, field.rect().bottomRight()))
    for field in (page.form.name, page.form.date, page.aside.two_points.add):
        assert window.rect().contains(field.mapTo(window, field.rect().bottomRight()))
    assert page.table.verticalHeader().defaultSectionSize() >= TOUCH
    header = page.table.horizontalHeader()
    assert header.length() <= page.table.viewport().width() + 1


def test_users_words_are_never_markup(open_window: Open, library: Library) -> None:
    job = joined_job(library)
    pin = terminal_with(job, "REC", "constant")
    job = set_cavity(job, pin, function="", label="<b>bold</b> & more")
    job = add_reading(job, pin, "battery -", position="off", value=12.0, name="<i>Eve</i>", date="2031-01-01")
    window = opened(open_window(set_sheet(job, technician="<u>T</u>")))
    model = place(window).model
    at = row_of(window, job.shown(pin))
    assert model.text(model.rows[at], 1) == "<b>bold</b> & more"
    tip = str(model.data(model.index(at, 1), Qt.ItemDataRole.ToolTipRole))
    assert "&lt;b&gt;" in tip
    go_to(window, job.shown(pin))
    aside = place(window).aside
    assert "<i>Eve</i>" in aside.compared.text()
    assert all(
        label.textFormat() == Qt.TextFormat.PlainText
        for label in (aside.point, aside.compared, aside.explained, aside.drain.total, aside.drain.days)
    )
