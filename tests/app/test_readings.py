"""The Readings place: what is expected, what was measured, what would explain the difference, the drain."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from app.application import Application
from app.panels.readings import ReadingsPlace
from app.panels.readings_rows import Sheet, Sheets
from app.panels.readings_table import DIFFERENCE, EXPECTED, MEASURED, POINT
from app.theme import TOUCH
from app.window import JobWindow
from app.work.expected import Answer, Asked
from app.work.points import show_value, typed_value
from core.edits.cavities import set_cavity
from core.edits.joins import join, join_by_wire
from core.edits.parts import remove_parts, set_part
from core.edits.record import add_reading, set_settings, set_sheet
from core.job.document import Job
from core.job.record import OwnSwitch
from core.library.library import Library
from tests.app.jobs import bench_job, joined_job, terminal_with

Open = Callable[[Job], JobWindow]
LEFT = Qt.MouseButton.LeftButton
ENTER = Qt.Key.Key_Return
CTRL = Qt.KeyboardModifier.ControlModifier
WHO = "A. Marlow"


@pytest.fixture
def program(program: Application) -> Application:
    program.settings.user_name = WHO
    return program


@pytest.fixture
def window(open_window: Open, library: Library) -> JobWindow:
    return opened(open_window(joined_job(library)))


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
    """Worked back: put a resistance where it says, and the meter shows what was typed (Ohm's law)."""
    page = place(window)
    pick(window, "running")
    constant = shown(window, "REC", "constant")
    ready(qtbot, window, constant)
    go_to(window, constant)
    type_in("11")
    go_to(window, constant)
    qtbot.waitUntil(lambda: "more between" in page.aside.explained.text(), timeout=20_000)
    words = page.aside.explained.text()
    assert "What would explain it:" in words
    assert "Ω more between" in words
    assert "differs by −" in page.aside.compared.text()
    assert WHO in page.aside.compared.text()


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


# The pure part


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12.4", 12.4),
        ("12,4 V", 12.4),
        ("−0.3", -0.3),
        ("-35mV", -0.035),
        ("4.7k", 4700.0),
        ("1.5 MΩ", 1.5e6),
        ("280 mA", 0.28),
        (".5", 0.5),
        ("12 mohm", 0.012),
        ("OL", None),
        ("1e3", None),
        ("=1+1", None),
        ("", None),
    ],
)
def test_what_fingers_type(text: str, value: float | None) -> None:
    found = typed_value(text)
    assert found == pytest.approx(value) if value is not None else found is None


@pytest.mark.parametrize(
    ("value", "quantity", "text"),
    [
        (12.434, "volts", "12.43 V"),
        (-0.051, "volts", "−51 mV"),
        (0.0001, "volts", "0 V"),
        (0.28, "amps", "0.28 A"),
        (-0.0042, "amps", "−4.2 mA"),
        (-1e-12, "amps", "0 A"),
        (4700.0, "ohms", "4.7 kΩ"),
        (0.9, "ohms", "0.90 Ω"),
        (0.0138, "ohms", "13.8 mΩ"),
    ],
)
def test_what_a_meter_shows(value: float, quantity: str, text: str) -> None:
    assert show_value(value, quantity) == text  # type: ignore[arg-type]


def test_a_sheet_is_kept_while_only_readings_come(library: Library) -> None:
    job = joined_job(library)
    sheets, sheet = Sheets(library), Sheet("off")
    before = sheets.rows(job, sheet)
    pin = before[0].asked.red
    read = add_reading(job, pin, "battery -", position="off", value=1.0, name=WHO)
    after = sheets.rows(read, sheet)
    assert [row.asked for row in after] == [row.asked for row in before]
    assert after[0].last is not None
    assert after[1] is before[1]
    fresh = Sheets(library)
    for other in (Sheet("run"), Sheet("run", "ohms"), Sheet("off", "ohms"), Sheet("off")):
        assert sheets.rows(read, other) == fresh.rows(read, other)
        fresh = Sheets(library)
    joined = join(read, terminal_with(job, "RAD", "accessory"), terminal_with(job, "REC", "accessory"))
    assert len(sheets.rows(joined, sheet)) == len(before) + 1


def test_an_answer_without_a_number_has_words() -> None:
    assert Answer(None, "open").words == "open"
