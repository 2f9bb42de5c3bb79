"""A conflict explains itself on the map: its way, its steps, its positions."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from app.application import Application
from app.commands import checking
from app.window import JobWindow
from app.work.explaining import amps_words, place_words, volts_words
from core.checks.explain import Step
from core.checks.finding import Conflict
from core.paths import sample_jobs_folder

LEFT = Qt.MouseButton.LeftButton
RULE = "more volts than the part accepts"


@pytest.fixture
def window(program: Application, qtbot: QtBot) -> JobWindow:
    assert program.open_path(sample_jobs_folder() / "first_light.loomjob")
    window = program.windows[-1]
    window.resize(1366, 768)
    qtbot.waitExposed(window)
    window.activateWindow()
    assert window.checks.wait_until_idle()
    window.view.fit()
    return window


def conflict(window: JobWindow) -> Conflict:
    assert window.session.result is not None
    return next(c for c in window.session.result.unfolded() if c.rule == RULE)


def explained(window: JobWindow) -> JobWindow:
    """By keys: to the conflict, then E."""
    window.view.setFocus()
    QTest.keyClick(window.view, Qt.Key.Key_F8)
    QTest.keyClick(window.view, Qt.Key.Key_E)
    QApplication.processEvents()
    assert window.explain.isVisible()
    return window


def column(window: JobWindow, number: int) -> list[str]:
    table = window.explain.steps
    return [table.item(row, number).text() for row in range(table.rowCount())]


def numbers(window: JobWindow) -> list[int]:
    return [mark.number for mark in window.view.map_scene.steps.marks]


def test_its_way_is_drawn_over_the_veil_and_its_steps_are_numbered(window: JobWindow) -> None:
    explained(window)
    trace = window.view.map_scene.trace
    assert trace.isVisible()
    assert trace.traced.level == "stop"
    owners = {curve.owner for curve, _ in trace.traced.wires}
    assert owners & set(conflict(window).path)
    assert numbers(window) == list(range(1, len(conflict(window).path) + 1))
    for mark in window.view.map_scene.steps.marks:
        assert window.view.visible_rect().contains(mark.at)
        assert not window.explain.geometry().contains(window.view.mapFromScene(mark.at))


def test_the_card_lists_the_steps_with_volts_and_amps_in_the_worst_position(window: JobWindow) -> None:
    explained(window)
    job = window.session.job
    places = column(window, 1)
    assert [words.split()[0] for words in places] == [job.shown(ref) for ref in conflict(window).path]
    assert all(words.endswith(" V") for words in column(window, 2))
    volts = [float(words.removesuffix(" V")) for words in column(window, 2)]
    assert volts == sorted(volts, reverse=True)
    assert volts[-1] == pytest.approx(conflict(window).numbers["volts"], abs=0.1)
    assert window.explain.position.currentText() in conflict(window).positions
    assert window.explain.position.currentText() in conflict(window).message


def test_steps_are_gone_through_by_keys_buttons_and_a_click(window: JobWindow) -> None:
    explained(window)
    steps, at = window.explain.steps, lambda: window.desk.explaining.at
    assert steps.hasFocus()
    QTest.keyClick(steps, Qt.Key.Key_Right)
    assert at() == 1
    QTest.keyClick(steps, Qt.Key.Key_Down)
    assert at() == 2
    QTest.keyClick(steps, Qt.Key.Key_Left)
    assert at() == 1
    QTest.keyClick(window, Qt.Key.Key_F9)
    assert at() == 2
    QTest.keyClick(window, Qt.Key.Key_F9, Qt.KeyboardModifier.ShiftModifier)
    assert at() == 1
    QTest.mouseClick(window.explain.forward, LEFT)
    assert at() == 2
    QTest.mouseClick(window.explain.back, LEFT)
    assert at() == 1
    row = steps.visualItemRect(steps.item(3, 1)).center()
    QTest.mouseClick(steps.viewport(), LEFT, pos=row)
    assert at() == 3
    QTest.keyClick(steps, Qt.Key.Key_Home, Qt.KeyboardModifier.ControlModifier)
    assert at() == 0
    assert not window.explain.back.isEnabled()
    QTest.keyClick(steps, Qt.Key.Key_Left)
    assert at() == 0


def test_the_step_that_is_told_is_ringed_and_said(window: JobWindow) -> None:
    explained(window)
    QTest.keyClick(window.explain.steps, Qt.Key.Key_Right)
    assert window.view.map_scene.steps.told == 2
    ref = window.desk.explaining.steps[1].ref
    said = window.view.accessibleDescription()
    assert said.startswith(f"Step 2 of {len(window.desk.explaining.steps)}: {window.session.job.shown(ref)}")
    assert " V" in said
    assert said in window.explain.steps.accessibleName()
    assert window.explain.count.text().startswith("2 of ")


def test_another_position_tells_the_same_steps_otherwise(window: JobWindow) -> None:
    explained(window)
    before = column(window, 2)
    box = window.explain.position
    assert [box.itemText(n) for n in range(box.count())] == list(conflict(window).positions)
    other = next(name for name in conflict(window).positions if name not in ("running", "running+lights"))
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Home)
    while box.currentText() != other:
        QTest.keyClick(box, Qt.Key.Key_Down)
    QTest.keyClick(box, Qt.Key.Key_Return)
    box.activated.emit(box.currentIndex())
    assert window.desk.explaining.position == other
    assert column(window, 2) != before
    assert len(column(window, 2)) == len(before)


@pytest.mark.parametrize("where", ["card", "map"])
def test_escape_ends_it_and_leaves_the_callout(window: JobWindow, where: str) -> None:
    explained(window)
    assert window.view.card.callout.isHidden()
    if where == "map":
        window.view.setFocus()
    QTest.keyClick(window.explain.steps if where == "card" else window.view, Qt.Key.Key_Escape)
    assert window.explain.isHidden()
    assert window.desk.explaining.conflict is None
    assert numbers(window) == []
    assert not window.view.map_scene.trace.isVisible()
    assert window.view.card.callout.isVisible()
    assert window.view.conflict_key == conflict(window).key
    assert window.view.hasFocus()
    QTest.keyClick(window.view, Qt.Key.Key_Escape)
    assert window.view.conflict_key == ""


def test_the_button_of_the_card_in_the_list_starts_it(window: JobWindow) -> None:
    card = window.conflicts.cards[0]
    window.conflicts.show_card(card)
    start = next(b for b in card.findChildren(QPushButton) if b.text() == "Explain")
    QTest.mouseClick(start, LEFT)
    assert window.explain.isVisible()
    assert window.desk.explaining.conflict == card.conflict


def test_the_callout_on_the_map_starts_it(window: JobWindow) -> None:
    window.view.setFocus()
    QTest.keyClick(window.view, Qt.Key.Key_F8)
    callout = window.view.card.callout
    start = next(b for b in callout.findChildren(QPushButton) if b.text() == "Explain step by step")
    QTest.mouseClick(start, LEFT)
    assert window.explain.isVisible()
    assert callout.isHidden()


def test_it_ends_with_the_conflict(window: JobWindow) -> None:
    explained(window)
    checking.apply_mend(window.desk, conflict(window).mends[0])
    assert window.checks.wait_until_idle()
    assert window.explain.isHidden()
    assert numbers(window) == []


def test_it_goes_on_through_a_change_that_leaves_the_conflict(window: JobWindow) -> None:
    explained(window)
    QTest.keyClick(window.explain.steps, Qt.Key.Key_Right)
    window.actions_by_id["lengths"].trigger()
    assert window.checks.wait_until_idle()
    assert window.explain.isVisible()
    assert window.desk.explaining.at == 1


def test_hovering_does_not_take_the_way_away(window: JobWindow) -> None:
    explained(window)
    joint = next(iter(window.session.job.joints))
    window.view.hover(joint)
    assert window.view.map_scene.trace.traced.level == "stop"
    window.view.hover("")
    assert window.view.map_scene.trace.isVisible()
    QTest.keyClick(window.explain.steps, Qt.Key.Key_Escape)
    assert not window.view.map_scene.trace.isVisible()


def test_a_conflict_without_a_path_shows_its_places(window: JobWindow) -> None:
    ends = list(window.session.job.parts["CAM"].cavities)[:2]
    window.desk.explaining.start(Conflict("r", "look", "m", "w", "d", tuple(ends)))
    assert [step.ref for step in window.desk.explaining.steps] == ends
    assert len(numbers(window)) == 2
    assert window.explain.position.count() == len(window.session.result.positions)  # type: ignore[union-attr]


@pytest.mark.parametrize("size", [(1366, 768), (1920, 1080), (960, 540)])
def test_the_card_stays_on_the_map_at_any_size(
    window: JobWindow, size: tuple[int, int], qtbot: QtBot
) -> None:
    window.resize(*size)
    qtbot.waitUntil(lambda: window.width() == size[0])
    explained(window)
    assert window.view.viewport().rect().contains(window.explain.geometry())
    for button in (window.explain.back, window.explain.forward):
        there = button.mapTo(window.explain, QPoint(button.width(), button.height()))
        assert window.explain.rect().contains(there)


def test_how_a_step_is_told(window: JobWindow) -> None:
    job, library = window.session.job, window.session.library
    assert volts_words(Step("J1", volts=12.584)) == "12.58 V"
    assert volts_words(Step("J1", state="floating")) == "floating"
    assert volts_words(Step("W1", drop_volts=-0.04)) == "loses 40 mV"
    assert volts_words(Step("W1", drop_volts=0.0)) == "–"
    assert amps_words(Step("W1", amps=-3.1)) == "3.1 A"
    assert amps_words(Step("W1", amps=0.0)) == "–"
    assert place_words(job, library, Step("W99")) == ("W99", "wire")
    pin = conflict(window).where[0]
    assert place_words(job, library, Step(pin)) == (job.shown(pin), "camera feed")
