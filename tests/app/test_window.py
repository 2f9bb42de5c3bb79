"""The window: the action table, panels, questions, two jobs side by side."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QLineEdit, QMenu, QMessageBox
from pytestqt.qtbot import QtBot

from app.actions import ACTIONS, MENUS
from app.application import Application
from app.commands import editing, parts, printing
from app.panels.drawing import PAPER_WORDS, SHEET_WORDS
from app.window import JobWindow
from core.drawing.build import SHEETS
from core.drawing.paper import PAPERS
from core.edits.record import set_sheet
from core.files.job_file import load_job, save_job
from core.files.text import dump_job
from core.job.document import Job
from core.library.library import Library
from tests.app.jobs import bench_job, joined_job, terminal_with

Open = Callable[[Job], JobWindow]


@pytest.fixture
def window(open_window: Open, library: Library) -> JobWindow:
    return open_window(joined_job(library))


def test_every_action_has_a_menu_entry_and_a_line_of_hint(window: JobWindow) -> None:
    menus = {action.text().replace("&", ""): action.menu() for action in window.menuBar().actions()}
    assert list(menus) == list(MENUS)
    for spec in ACTIONS:
        menu = menus[spec.menu]
        assert isinstance(menu, QMenu)
        action = window.actions_by_id[spec.id]
        assert action in menu.actions()
        assert 8 < len(spec.hint) <= 90, spec.id
        assert "\n" not in spec.hint
        assert action.statusTip() == spec.hint
        assert action.shortcut() == QKeySequence(spec.key)


def test_keys_and_menu_letters_are_told_apart(window: JobWindow) -> None:
    keys = [spec.key for spec in ACTIONS if spec.key]
    assert len(keys) == len(set(keys))
    for name in MENUS:
        letters = [s.text[s.text.index("&") + 1].lower() for s in ACTIONS if s.menu == name and "&" in s.text]
        assert len(letters) == len(set(letters)), name


@pytest.mark.parametrize("wanted", ["add part", "join", "cap", "print"])
def test_the_main_steps_stand_on_the_first_screen_with_a_key(window: JobWindow, wanted: str) -> None:
    action = window.actions_by_id[wanted]
    button = window.bar.buttons[wanted]
    assert button.isVisible()
    assert button.height() >= 28
    assert not action.shortcut().isEmpty()
    right = button.mapTo(window, button.rect().bottomRight())
    assert window.rect().contains(right), "it is cut off at 1366 pixels"


def test_nothing_in_the_table_raises_when_nothing_fits(
    window: JobWindow, monkeypatch: pytest.MonkeyPatch, program: Application
) -> None:
    """Every command is called with nothing selected; what asks a question is answered with Escape."""
    monkeypatch.setattr("PySide6.QtWidgets.QDialog.exec", lambda self: 0)
    for kind in ("getOpenFileName", "getSaveFileName"):
        monkeypatch.setattr(f"PySide6.QtWidgets.QFileDialog.{kind}", lambda *_: ("", ""))
    monkeypatch.setattr("PySide6.QtWidgets.QFileDialog.getExistingDirectory", lambda *_: "")
    before = dump_job(window.session.job)
    for spec in ACTIONS:
        if spec.id not in ("close", "quit", "new", "arrange", "flip", "gauges", "lengths"):
            window.session.select([])
            spec.run(window.desk)
    assert dump_job(window.session.job) == before
    for spec in ACTIONS:
        if spec.id in ("arrange", "flip", "gauges", "lengths"):
            spec.run(window.desk)
    while window.session.undo_stack.canUndo():
        window.session.undo_stack.undo()
    assert dump_job(window.session.job) == before


def test_a_key_on_the_map_caps_what_is_selected_and_a_field_can_still_be_typed_in(
    window: JobWindow, qtbot: QtBot
) -> None:
    ref = terminal_with(window.session.job, "RAD", "illumination")
    window.session.select([ref])
    window.view.setFocus()
    QTest.keyClick(window.view, Qt.Key.Key_C)
    assert window.session.job.finishes[ref].kind == "capped"
    window.shelf.search.setFocus()
    QTest.keyClicks(window.shelf.search, "cap fuse")
    assert window.shelf.search.text() == "cap fuse"
    assert len(window.session.job.finishes) == 1


def test_the_shelf_finds_and_adds_with_enter(window: JobWindow) -> None:
    window.actions_by_id["add part"].trigger()
    QTest.keyClicks(window.shelf.search, "step-down")
    QTest.keyClick(window.shelf.search, Qt.Key.Key_Return)
    assert "SDN" in window.session.job.parts
    assert window.session.selection == {"SDN"}
    window.session.undo_stack.undo()
    assert "SDN" not in window.session.job.parts


def test_a_plug_of_the_car_brings_its_mate(open_window: Open) -> None:
    window = open_window(Job())
    parts.add_from_library(window.desk, "Radio plug, 10-way")
    job = window.session.job
    assert {part.state for part in job.parts.values()} == {"on the car", "to fit"}
    assert len(job.mates) == 1


def test_the_details_panel_edits_what_is_selected(window: JobWindow) -> None:
    ref = terminal_with(window.session.job, "REC", "constant")
    window.session.select([ref])
    found = window.details.widgets["Colour as found"]
    assert isinstance(found, QComboBox)
    found.setFocus()
    line = found.lineEdit()
    assert line is not None
    line.selectAll()
    QTest.keyClicks(line, "gn/wh")
    QTest.keyClick(line, Qt.Key.Key_Return)
    cavity = window.session.job.cavity(ref)
    assert cavity is not None
    assert cavity.colour_found == "GN/WH"
    assert window.session.undo_stack.count() == 1


def test_a_refused_value_goes_back_and_says_why(window: JobWindow) -> None:
    window.session.select(["REC"])
    tag = window.details.widgets["Tag"]
    assert isinstance(tag, QLineEdit)
    tag.setFocus()
    tag.selectAll()
    QTest.keyClicks(tag, "RAD")
    QTest.keyClick(tag, Qt.Key.Key_Return)
    assert tag.text() == "REC"
    assert window.desk.notices.text


def test_the_lists_follow_and_edit(window: JobWindow, qtbot: QtBot) -> None:
    window.show_panel("lists")
    model = window.lists.models["Joints"]
    qtbot.waitUntil(lambda: model.rowCount() == 2)
    column = model.table.headings.index("Method")
    ref = model.table.rows[0].ref
    assert model.setData(model.index(0, column), "crimp")
    assert window.session.job.joints[ref].method == "crimp"
    window.session.select(["J2"])
    rows = window.lists.views["Joints"].selectionModel().selectedRows()
    assert [model.table.rows[index.row()].ref for index in rows] == ["J2"]


def test_find_walks_through_what_it_finds(window: JobWindow) -> None:
    window.actions_by_id["find"].trigger()
    QTest.keyClicks(window.find_bar.line, "constant")
    first = window.session.selection
    QTest.keyClick(window.find_bar.line, Qt.Key.Key_Return)
    assert window.session.selection != first
    QTest.keyClick(window.find_bar.line, Qt.Key.Key_Escape)
    assert window.find_bar.isHidden()


def test_parts_are_copied_between_two_windows_with_their_joins(open_window: Open, library: Library) -> None:
    one, other = open_window(joined_job(library)), open_window(bench_job(library))
    one.session.select(["RAD", "REC"])
    editing.copy(one.desk)
    editing.paste(other.desk)
    job = other.session.job
    assert len(job.joints) == 2
    assert {"RAD2", "REC2"} <= set(job.parts)
    assert dump_job(one.session.job) == dump_job(joined_job(library))


def test_each_window_undoes_its_own(open_window: Open, library: Library) -> None:
    one, other = open_window(joined_job(library)), open_window(joined_job(library))
    one.session.apply("Title", lambda job: set_sheet(job, title="One"))
    assert other.session.job.sheet.title == ""
    assert not other.session.undo_stack.canUndo()


def _answer(monkeypatch: pytest.MonkeyPatch, button: QMessageBox.StandardButton) -> list[str]:
    asked: list[str] = []

    def answer(box: QMessageBox) -> Any:
        asked.append(box.text())
        return button

    monkeypatch.setattr(QMessageBox, "exec", answer)
    return asked


def test_unsaved_work_is_asked_about(window: JobWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    window.session.apply("Title", lambda job: set_sheet(job, title="Van"))
    asked = _answer(monkeypatch, QMessageBox.StandardButton.Cancel)
    assert not window.close()
    assert window.isVisible()
    assert len(asked) == 1
    _answer(monkeypatch, QMessageBox.StandardButton.Discard)
    assert window.close()


def test_saving_at_the_question_saves(
    program: Application, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    path = tmp_path / "van.loomjob"
    save_job(path, Job())
    assert program.open_path(path)
    window = program.windows[-1]
    window.session.apply("Title", lambda job: set_sheet(job, title="Van"))
    _answer(monkeypatch, QMessageBox.StandardButton.Save)
    assert window.close()
    assert load_job(path).sheet.title == "Van"
    assert [p.name for p in tmp_path.iterdir() if p.name.endswith((".lock", ".recovery"))] == []


def test_a_job_that_is_open_is_shown_and_not_opened_twice(program: Application, tmp_path: Path) -> None:
    path = tmp_path / "van.loomjob"
    save_job(path, Job())
    assert program.open_path(path)
    assert program.open_path(path)
    assert len(program.windows) == 1


def test_a_broken_file_is_told_and_opens_nothing(
    program: Application, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    path = tmp_path / "bad.loomjob"
    path.write_text("{}")
    asked = _answer(monkeypatch, QMessageBox.StandardButton.Ok)
    assert not program.open_path(path)
    assert program.windows == []
    assert len(asked) == 1
    assert path.read_text() == "{}"


def test_the_theme_changes_every_window_and_is_remembered(open_window: Open, program: Application) -> None:
    window = open_window(Job())
    light = window.styleSheet()
    window.actions_by_id["theme"].trigger()
    assert window.styleSheet() != light
    assert window.view.tokens.name == "dark"
    assert program.settings.theme == "dark"


def test_the_drawing_is_shown_and_written(window: JobWindow, tmp_path: Path, qtbot: QtBot) -> None:
    window.actions_by_id["print"].trigger()
    assert window.drawing.isVisible()
    assert len(window.drawing.page_labels) >= 4
    for label in window.drawing.page_labels:
        assert not label.pixmap().isNull()
    all_pages = len(window.drawing.page_labels)
    window.drawing.ticks["faces"].click()
    assert len(window.drawing.page_labels) < all_pages
    assert printing.write_pdf(window.desk, tmp_path / "drawing.pdf", window.drawing.chosen())
    assert (tmp_path / "drawing.pdf").read_bytes().startswith(b"%PDF")


def test_the_drawing_goes_to_a_printer_page_by_page(window: JobWindow, tmp_path: Path) -> None:
    from pypdf import PdfReader
    from PySide6.QtPrintSupport import QPrinter

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    assert printing.send(window.desk, printer, ["faces"])
    shown = len(PdfReader(tmp_path / "printed.pdf").pages)
    window.drawing.refresh()
    assert 1 <= shown < len(window.drawing.page_labels)


def test_text_from_the_user_is_never_markup(open_window: Open) -> None:
    job = set_sheet(Job(), title="<b>Bold</b><img src=x>")
    window = open_window(job)
    window.desk.notices.say("<h1>big</h1>")
    assert window.desk.notices.text == "<h1>big</h1>"
    assert "<b>Bold</b>" in window.windowTitle()


def test_disabled_actions_say_what_they_need_by_being_off(window: JobWindow) -> None:
    window.session.select([])
    off: list[QAction] = [window.actions_by_id[name] for name in ("join", "cap", "mate", "replace")]
    assert not any(action.isEnabled() for action in off)
    window.session.select([terminal_with(window.session.job, "RAD", "illumination")])
    assert window.actions_by_id["cap"].isEnabled()
    assert window.actions_by_id["join"].isEnabled()


def test_a_cable_is_put_between_two_parts_like_to_like(window: JobWindow) -> None:
    job = window.session.job
    functions = ("speaker-lf+", "speaker-lf-")
    ends = [terminal_with(job, part, function) for part in ("RAD", "REC") for function in functions]
    window.session.select(ends)
    window.actions_by_id["join by cable"].trigger()
    after = window.session.job
    assert len(after.cables["C1"].conductors) == 2
    for function in functions:
        joints = {after.lookup.joint_of[terminal_with(job, part, function)] for part in ("RAD", "REC")}
        owners = [end.partition(":")[0] for name in joints for end in after.joints[name].ends if ":" in end]
        assert len(set(owners)) == 1


def test_a_broken_library_of_the_shop_is_told_and_left_out(
    program: Application, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "functions.csv").write_text("id,words\nx\n")
    program.set_library_folder(tmp_path)
    asked = _answer(monkeypatch, QMessageBox.StandardButton.Ok)
    assert "Radio plug, 18-way" in program.library().parts
    assert len(asked) == 1


def test_the_drawing_place_offers_every_sheet_and_paper() -> None:
    assert tuple(SHEET_WORDS) == SHEETS
    assert set(PAPER_WORDS) == set(PAPERS)
