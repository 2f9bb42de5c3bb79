"""The frame of the window: hint, bar, panels, menus at the pointer, what was accepted."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QCheckBox, QLabel, QLineEdit, QMenu, QPushButton, QToolButton
from pytestqt.qtbot import QtBot

from app.application import Application
from app.commands import checking
from app.panels.buttons import WordButton
from app.panels.status import status_text
from app.toolbar import PLACES
from app.window import JobWindow
from core.edits import finishes, record
from core.edits.cavities import set_cavity
from core.edits.parts import set_part
from core.files.job_file import save_job
from core.files.lock import JobLock
from core.job.document import Job
from core.library.library import Library
from core.paths import sample_jobs_folder
from tests.app.jobs import bench_job, joined_job, terminal_with

Open = Callable[[Job], JobWindow]


@pytest.fixture
def window(open_window: Open, library: Library) -> JobWindow:
    return open_window(joined_job(library))


@pytest.fixture
def first_light(program: Application, qtbot: QtBot) -> JobWindow:
    assert program.open_path(sample_jobs_folder() / "first_light.loomjob")
    window = program.windows[-1]
    window.resize(1366, 768)
    qtbot.waitExposed(window)
    assert window.checks.wait_until_idle()
    return window


def _texts(window: JobWindow) -> str:
    body = window.conflicts.body
    return "\n".join(label.text() for label in body.findChildren(QLabel))


def test_an_empty_map_says_how_to_begin(open_window: Open) -> None:
    window = open_window(Job())
    assert window.hint.isVisible()
    add = next(b for b in window.hint.findChildren(WordButton) if b.words == "Add a part")
    QTest.mouseClick(add, Qt.MouseButton.LeftButton)
    assert window.shelf.search.hasFocus()
    QTest.keyClicks(window.shelf.search, "body ground")
    QTest.keyClick(window.shelf.search, Qt.Key.Key_Return)
    assert window.hint.isHidden()
    window.session.undo_stack.undo()
    assert window.hint.isVisible()


def test_an_empty_job_is_not_said_to_be_checked(open_window: Open, library: Library) -> None:
    window = open_window(Job())
    assert window.bar.status.text() == "Nothing to check yet"
    assert window.bar.status.property("status") == "none"
    window = open_window(bench_job(library))
    assert window.session.result is not None
    assert window.session.result.status == "green"
    assert window.bar.status.property("status") == "none", "leads to decide are not 'checked'"


def test_the_bar_names_the_job_and_says_what_is_not_saved(window: JobWindow) -> None:
    window.session.apply("Sheet", lambda job: record.set_sheet(job, number="1042", title="Van"))
    assert window.bar.job_name.text() == "Not saved · Job 1042 · Van"
    window.session.mark_saved(window.session.job)
    assert window.bar.job_name.text() == "Job 1042 · Van"


def test_a_job_that_somebody_else_has_open_says_so_and_what_to_do(
    program: Application, tmp_path: Path
) -> None:
    path = tmp_path / "van.loomjob"
    save_job(path, record.set_sheet(Job(), title="Van"))
    lock = JobLock(path)
    assert program.open_path(path)
    window = program.windows[-1]
    assert window.bar.job_name.text() == "Read only · Van"
    assert "save it as another file" in window.desk.notices.text
    assert not window.actions_by_id["save"].isEnabled()
    assert window.actions_by_id["save as"].isEnabled()
    lock.release()


@pytest.mark.parametrize("width", [720, 960, 1093, 1366, 1920])
def test_the_bar_keeps_state_and_print_in_sight_at_any_width(
    first_light: JobWindow, width: int, qtbot: QtBot
) -> None:
    window = first_light
    window.resize(width, 600)
    wanted = [window.bar.status, window.bar.buttons["print"], window.bar.buttons["add part"]]

    def all_in_sight() -> bool:
        return window.width() == width and all(
            widget.isVisible()
            and widget.width() >= widget.minimumSizeHint().width()
            and window.rect().contains(widget.mapTo(window, widget.rect().bottomRight()))
            for widget in wanted
        )

    qtbot.waitUntil(all_in_sight)
    gone = [name for name, button in window.bar.buttons.items() if button.isHidden()]
    assert bool(gone) == (width < 1100)
    assert not set(gone) & set(PLACES)


def test_a_long_name_does_not_widen_the_window(open_window: Open, library: Library) -> None:
    long = "Überlange Bezeichnung 后视摄像头 كاميرا " * 5
    job = record.set_sheet(set_part(bench_job(library), "REC", name=long[:200]), title=long[:200])
    window = open_window(job)
    window.session.select(["REC"])
    window.view.status_text.emit(long)
    assert window.minimumSizeHint().width() <= 1100
    assert window.width() == 1366


def test_a_panel_is_closed_by_its_cross_and_comes_back_by_its_key(window: JobWindow) -> None:
    dock = window.panels["shelf"]
    bar = dock.titleBarWidget()
    assert bar is not None
    cross = bar.findChild(QToolButton)
    QTest.mouseClick(cross, Qt.MouseButton.LeftButton)
    assert dock.isHidden()
    window.actions_by_id["shelf"].trigger()
    assert dock.isVisible()
    assert window.shelf.search.hasFocus()


def test_the_mend_key_works_on_the_conflict_shown(first_light: JobWindow) -> None:
    window = first_light
    assert not window.actions_by_id["mend"].isEnabled()
    window.view.setFocus()
    QTest.keyClick(window.view, Qt.Key.Key_F8)
    assert window.actions_by_id["mend"].isEnabled()
    QTest.keyClick(
        window.view, Qt.Key.Key_M, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    )
    assert any(tag.startswith("SDN") for tag in window.session.job.parts)


def test_the_panel_of_conflicts_takes_the_keyboard(first_light: JobWindow) -> None:
    window = first_light
    window.actions_by_id["conflicts"].trigger()
    card = window.conflicts.cards[0]
    assert card.hasFocus()
    QTest.keyClick(card, Qt.Key.Key_Return)
    assert window.view.conflict_key == card.conflict.key


def test_the_keyboard_stays_in_the_panel_when_a_mend_was_pressed_there(first_light: JobWindow) -> None:
    window = first_light
    _accept_first(window, "Customer's wish")
    window.actions_by_id["conflicts"].trigger()
    assert window.conflicts.cards[0].hasFocus()
    withdraw = next(b for b in window.conflicts.cards[0].findChildren(QPushButton) if b.text() == "Withdraw")
    withdraw.setFocus()
    QTest.keyClick(withdraw, Qt.Key.Key_Space)
    assert window.checks.wait_until_idle()
    assert window.conflicts.cards[0].conflict.accepted is None
    assert window.conflicts.cards[0].hasFocus()


def test_a_lead_to_decide_is_gone_to_with_a_click(open_window: Open, library: Library) -> None:
    window = open_window(bench_job(library))
    body = window.conflicts.body
    window.show_place("drawing")
    row = next(b for b in body.findChildren(WordButton) if b.words.startswith("REC-1 "))
    QTest.mouseClick(row, Qt.MouseButton.LeftButton)
    assert {window.session.job.shown(ref) for ref in window.session.selection} == {"REC-1"}
    assert window.view.isVisible()
    anchor = window.view.finder.anchor(next(iter(window.session.selection)))
    assert anchor is not None
    assert window.view.visible_rect().contains(anchor[0])


def test_the_list_to_decide_follows_without_being_made_anew(
    open_window: Open, library: Library, qtbot: QtBot
) -> None:
    window = open_window(bench_job(library))

    def rows() -> dict[str, WordButton]:
        body = window.conflicts.body
        return {b.words: b for b in body.findChildren(WordButton) if b.objectName() == "open"}

    before = rows()
    assert window.session.result is not None
    assert len(before) == len(window.session.result.open_ends)
    pin = terminal_with(window.session.job, "REC", "antenna-turn-on")
    window.session.apply("Cap", lambda job: finishes.cap(job, [pin]))
    assert window.checks.wait_until_idle()
    after = rows()
    gone = before.keys() - after.keys()
    assert len(gone) == 1
    assert all(after[words] is before[words] for words in after)
    window.session.undo_stack.undo()
    assert window.checks.wait_until_idle()
    shown = [window.session.job.shown(end) for end in window.session.result.open_ends]

    def from_above() -> list[str]:
        return [words.split()[0] for words, _ in sorted(rows().items(), key=lambda row: row[1].y())]

    qtbot.waitUntil(lambda: from_above() == shown)


def _accept_first(window: JobWindow, reason: str) -> None:
    assert window.session.result is not None
    conflict = window.session.result.unfolded()[0]
    window.session.apply(
        "Accept",
        lambda job: record.accept(
            job,
            rule=conflict.rule,
            where=conflict.where,
            positions=conflict.positions,
            numbers=dict(conflict.numbers),
            reason=reason,
            name="A. Marlow",
            date="2026-03-12",
        ),
    )
    assert window.checks.wait_until_idle()


def test_what_was_accepted_is_listed_with_its_reason_and_can_be_withdrawn(first_light: JobWindow) -> None:
    window = first_light
    _accept_first(window, "Customer's wish")
    assert "Accepted by A. Marlow, 2026-03-12: Customer's wish" in _texts(window)
    assert window.bar.status.text() == "1 accepted"
    body = window.conflicts.body
    next(b for b in body.findChildren(QPushButton) if b.text() == "Withdraw").click()
    assert window.session.job.acceptances == ()
    assert window.checks.wait_until_idle()
    assert window.bar.status.text() == "1 Stop"


def test_an_acceptance_that_lapsed_is_shown_and_can_be_removed(first_light: JobWindow) -> None:
    window = first_light
    _accept_first(window, "Customer's wish")
    assert window.session.result is not None
    conflict = window.session.result.unfolded()[0]
    checking.apply_mend(window.desk, conflict.mends[0])
    assert window.checks.wait_until_idle()
    assert "No longer found as it was accepted by A. Marlow" in _texts(window)
    body = window.conflicts.body
    next(b for b in body.findChildren(WordButton) if b.words == "Remove").click()
    assert window.session.job.acceptances == ()
    assert window.checks.wait_until_idle()
    assert "No longer found" not in _texts(window)


def _menu(window: JobWindow) -> list[str]:
    window.view.menu_wanted.emit(("", QPoint(20, 20)))
    menu = next(m for m in window.findChildren(QMenu) if m.isVisible())
    texts = [action.text().replace("&", "") for action in menu.actions() if not action.isSeparator()]
    menu.close()
    return texts


def test_the_menu_at_the_pointer_holds_what_can_be_done_and_nothing_else(window: JobWindow) -> None:
    job = window.session.job
    joined, free = terminal_with(job, "REC", "constant"), terminal_with(job, "REC", "accessory")
    window.session.select([free])
    assert "Cap" in _menu(window)
    assert not {"Take out of its joint", "Decide again", "Replace…"} & set(_menu(window))
    window.session.select([joined])
    assert "Take out of its joint" in _menu(window)
    window.session.apply("Cap", lambda job: finishes.cap(job, [free]))
    window.session.select([free])
    assert "Decide again" in _menu(window)
    window.session.select(["REC"])
    assert {"Tag, name and state…", "Replace…", "Delete"} <= set(_menu(window))
    assert "Unplug" not in _menu(window)
    window.session.select(["RAD"])
    assert {"Unplug", "Show both faces"} <= set(_menu(window))
    window.session.select([])
    assert "Add a part…" in _menu(window)


def test_a_letter_pressed_over_the_open_menu_does_its_thing_and_closes_it(window: JobWindow) -> None:
    free = terminal_with(window.session.job, "REC", "accessory")
    window.session.select([free])
    window.view.menu_wanted.emit(("", QPoint(20, 20)))
    menu = next(m for m in window.findChildren(QMenu) if m.isVisible())
    window.actions_by_id["cap"].trigger()
    assert window.session.job.finishes[free].kind == "capped"
    assert not menu.isVisible()


def test_the_tag_is_changed_from_the_map_by_a_key(window: JobWindow) -> None:
    window.session.select(["REC"])
    window.view.setFocus()
    QTest.keyClick(window.view, Qt.Key.Key_F2)
    tag = window.details.widgets["Tag"]
    assert isinstance(tag, QLineEdit)
    assert tag.hasFocus()
    QTest.keyClicks(tag, "hed")
    QTest.keyClick(tag, Qt.Key.Key_Return)
    assert "HED" in window.session.job.parts
    assert window.session.selection == {"HED"}
    assert window.details.widgets["Tag"].hasFocus()


def test_escape_in_the_details_gives_up_what_was_typed(window: JobWindow) -> None:
    window.session.select(["REC"])
    window.show_panel("details")
    before = window.session.job
    tag = window.details.widgets["Tag"]
    assert isinstance(tag, QLineEdit)
    assert tag.hasFocus()
    QTest.keyClicks(tag, "hed")
    QTest.keyClick(tag, Qt.Key.Key_Escape)
    assert window.session.job is before
    assert tag.text() == "REC"
    assert window.view.hasFocus()


def test_a_tick_that_holds_for_some_is_neither_on_nor_off(window: JobWindow) -> None:
    pins = [terminal_with(window.session.job, "REC", name) for name in ("constant", "ground")]
    window.session.apply("Airbag", lambda job: set_cavity(job, pins[0], airbag=True))
    window.session.select(pins)
    tick = window.details.widgets["Airbag: never touch"]
    assert isinstance(tick, QCheckBox)
    assert tick.checkState() == Qt.CheckState.PartiallyChecked
    tick.click()
    cavities = [window.session.job.cavity(pin) for pin in pins]
    assert [cavity.airbag for cavity in cavities if cavity] == [True, True]


def test_an_empty_list_says_what_would_fill_it(open_window: Open) -> None:
    window = open_window(Job())
    window.show_panel("lists")
    words = [label.text() for label in window.lists.views["Joints"].viewport().findChildren(QLabel)]
    assert words == ["No joints yet: join two leads on the map."]


def test_status_words_count_what_is_there(first_light: JobWindow) -> None:
    assert first_light.session.result is not None
    assert status_text(first_light.session.result) == "1 Stop"
