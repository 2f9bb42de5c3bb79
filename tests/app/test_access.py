"""Use without a pointer and without seeing: names, sizes, the order of the Tab key, the main job by keys."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtCore import QSize, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QDialog,
    QGraphicsView,
    QLineEdit,
    QMessageBox,
    QPlainTextEdit,
    QTabBar,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.application import Application
from app.dialogs import pages
from app.dialogs.accept import ask_acceptance
from app.dialogs.blank_plug import ask_blank_plug
from app.dialogs.car import edit_car
from app.dialogs.choose_part import choose_part
from app.dialogs.forms import ask_line, ask_text
from app.dialogs.job_sheet import edit_job_sheet
from app.dialogs.limits import edit_limits
from app.dialogs.rule_help import show_rule
from app.dialogs.rules import choose_rules
from app.dialogs.unsaved import may_close
from app.panels.internal_form import ask_internal
from app.theme import TOUCH
from app.window import JobWindow
from core.checks.rules import RULES
from core.edits.notes import add_note
from core.job.document import Job
from core.library.library import Library
from core.paths import sample_jobs_folder
from tests.app.jobs import joined_job, terminal_with

Open = Callable[[Job], JobWindow]
CONTROLS = (
    QAbstractButton,
    QLineEdit,
    QComboBox,
    QAbstractSpinBox,
    QPlainTextEdit,
    QAbstractItemView,
    QGraphicsView,
)


def _controls(top: QWidget) -> Iterator[QWidget]:
    """What can be used; not the inner pieces that Qt makes for its own compound controls."""
    for widget in top.findChildren(QWidget):
        owner = widget.parentWidget()
        inner = isinstance(owner, QComboBox | QAbstractSpinBox | QTabBar | QLineEdit | QAbstractItemView)
        of_qt = inner or widget.objectName().startswith("qt_")
        if isinstance(widget, CONTROLS) and widget.window() is top and not of_qt:
            yield widget


def _nameless(top: QWidget) -> list[str]:
    found = []
    for widget in _controls(top):
        text = widget.text() if isinstance(widget, QAbstractButton) else ""
        if not (widget.accessibleName() or text).strip():
            found.append(f"{type(widget).__name__} {widget.objectName()}")
    return found


def _small(top: QWidget) -> list[str]:
    return [
        f"{widget.accessibleName()} {widget.height()}"
        for widget in _controls(top)
        if widget.isVisible() and isinstance(widget, QAbstractButton | QComboBox | QLineEdit)
        if widget.height() < TOUCH or (isinstance(widget, QAbstractButton) and widget.width() < TOUCH)
    ]


@pytest.fixture
def window(open_window: Open, library: Library) -> JobWindow:
    return open_window(add_note(joined_job(library), "Look behind the fuse box", (0.0, 0.0)))


def test_every_control_of_the_window_has_a_name_and_a_size_for_fingers(window: JobWindow) -> None:
    job = window.session.job
    pin = terminal_with(job, "REC", "constant")
    window.show_panel("lists")
    window.actions_by_id["find"].trigger()
    window.desk.notices.say("A message.")
    for selection in ([], [pin], [pin, terminal_with(job, "REC", "ground")], ["REC"], ["J1"], ["N1"]):
        window.session.select(selection)
        assert _nameless(window) == []
        assert _small(window) == []
    window.show_place("drawing")
    assert _nameless(window) == []
    assert _small(window) == []


def test_the_start_page_can_be_used_without_seeing_it(program: Application, qtbot: QtBot) -> None:
    program.show_start()
    page = next(
        top for top in QApplication.topLevelWidgets() if top.objectName() == "start" and top.isVisible()
    )
    qtbot.waitExposed(page)
    assert len(list(_controls(page))) >= 7
    assert _nameless(page) == []
    assert _small(page) == []
    page.close()


DIALOGS: dict[str, Callable[[JobWindow], object]] = {
    "accept": lambda w: ask_acceptance(w, w.session.result.unfolded()[0], "A. Marlow"),  # type: ignore[union-attr]
    "blank plug": lambda w: ask_blank_plug(w),
    "replace": lambda w: choose_part(w, w.session.library, "Replace REC by"),
    "leave": lambda w: ask_line(w, "Leave as it is", "Why is RAD-4 left as it is?"),
    "note": lambda w: ask_text(w, "Note", "What should stand on the map?"),
    "job sheet": lambda w: edit_job_sheet(w, w.session.job),
    "car": lambda w: edit_car(w, w.session.job.settings, w.session.library.limits),
    "piece": lambda w: ask_internal(
        w, w.session.job, w.session.library, next(iter(w.session.job.parts.values())), "load", {}, "Add"
    ),
    "limits": lambda w: edit_limits(w, w.session.library.limits, {}),
    "rules": lambda w: choose_rules(w, RULES, w.session.library.limits, w.session.job.settings),
    "rule": lambda w: show_rule(w, RULES[0], w.session.library.limits, w.session.job.settings),
    "keys": lambda w: pages.show_keys(w, w.action_rows()),
    "cautions": lambda w: pages.show_cautions(w),
    "about": lambda w: pages.show_about(w),
}


def _seen(run: Callable[[], object], look: Callable[[QDialog], None]) -> None:
    """Open a dialog, look at it while it is open, leave it with Escape."""
    looked: list[bool] = []

    def when_open() -> None:
        dialog = QApplication.activeModalWidget()
        if not isinstance(dialog, QDialog):
            QTimer.singleShot(0, when_open)
            return
        try:
            look(dialog)
            looked.append(True)
        finally:
            QTest.keyClick(dialog, Qt.Key.Key_Escape)

    QTimer.singleShot(0, when_open)
    run()
    assert looked == [True]


@pytest.mark.parametrize("name", DIALOGS)
def test_every_dialog_has_names_sizes_and_begins_at_its_first_field(
    program: Application, name: str, qtbot: QtBot
) -> None:
    assert program.open_path(sample_jobs_folder() / "first_light.loomjob")
    window = program.windows[-1]
    assert window.checks.wait_until_idle()

    def look(dialog: QDialog) -> None:
        assert dialog.windowTitle()
        assert _nameless(dialog) == []
        assert _small(dialog) == []
        fields = [w for w in _controls(dialog) if not isinstance(w, QAbstractButton)]
        if fields:
            first = min(fields, key=lambda w: w.mapTo(dialog, w.rect().topLeft()).y())
            assert dialog.focusWidget() is first
            order = [first]
            while (following := order[-1].nextInFocusChain()) is not first:
                order.append(following)
            heights = [w.mapTo(dialog, w.rect().topLeft()).y() for w in order if w in fields]
            assert heights == sorted(heights)

    _seen(lambda: DIALOGS[name](window), look)


def test_a_long_form_keeps_its_buttons_in_sight_on_a_low_screen(
    window: JobWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    class LowScreen:
        def availableSize(self) -> QSize:
            return QSize(960, 540)

    monkeypatch.setattr(QDialog, "screen", lambda _: LowScreen())

    def look(dialog: QDialog) -> None:
        assert dialog.height() <= 540

    for name in ("job sheet", "car", "piece", "limits"):
        _seen(partial(DIALOGS[name], window), look)


def test_the_question_about_unsaved_work_says_what_its_buttons_do(
    window: JobWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.session.mark_saved(None)
    seen: list[str] = []

    def answer(box: QMessageBox) -> QMessageBox.StandardButton:
        seen.extend(button.text() for button in box.buttons())
        return QMessageBox.StandardButton.Cancel

    monkeypatch.setattr(QMessageBox, "exec", answer)
    assert not may_close(window.desk)
    assert "Close without saving" in seen


def _focus(window: JobWindow) -> QWidget:
    widget = window.focusWidget()
    assert widget is not None
    return widget


def _type(window: JobWindow, text: str) -> None:
    QTest.keyClicks(_focus(window), text)


def _press(
    window: JobWindow, key: Qt.Key, keys: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
) -> None:
    QTest.keyClick(_focus(window), key, keys)


CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def test_the_main_job_needs_no_pointer(open_window: Open, qtbot: QtBot, tmp_path: Path) -> None:
    """Parts from the shelf, joins by typing, a cap, a mend, the drawing: keys alone."""
    window = open_window(Job())
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    session = window.session
    assert window.hint.isVisible()
    for name in ("camera plug, 6 v", "video in", "body ground", "fuse-box tap, acc"):
        _press(window, Qt.Key.Key_Return, CTRL)
        _type(window, name)
        _press(window, Qt.Key.Key_Return)
    assert set(session.job.parts) >= {"CAM", "CAMC", "VID", "GND", "AFT"}
    assert window.hint.isHidden()

    def go_to(end: str) -> None:
        """Find by name: the search selects it, Escape goes back to the map."""
        _press(window, Qt.Key.Key_F, CTRL)
        _type(window, end)
        _press(window, Qt.Key.Key_Escape)
        assert session.job.shown(next(iter(session.selection))) == end
        assert window.view.hasFocus()

    def shown(part: str, function: str) -> str:
        return session.job.shown(terminal_with(session.job, part, function))

    for part, function, other, its in (
        ("CAM", "camera-feed", "AFT", "accessory"),
        ("CAM", "camera-return", "GND", "ground"),
        ("CAM", "video", "VID", "video"),
    ):
        go_to(shown(part, function))
        _press(window, Qt.Key.Key_T)
        _type(window, shown(other, its))
        _press(window, Qt.Key.Key_Return)
    assert len(session.job.joints) == 3
    go_to(shown("CAM", "shield"))
    _press(window, Qt.Key.Key_C)
    assert session.job.finishes[terminal_with(session.job, "CAM", "shield")].kind == "capped"

    assert window.checks.wait_until_idle()
    rule = "more volts than the part accepts"
    assert session.result is not None
    assert rule in {c.rule for c in session.result.unfolded()}
    for _ in session.result.unfolded():
        _press(window, Qt.Key.Key_F8)
        if window.view.conflict_key.startswith(rule):
            break
    _press(window, Qt.Key.Key_M, CTRL | SHIFT)
    assert window.checks.wait_until_idle()
    assert any(tag.startswith("SDN") for tag in session.job.parts)
    assert rule not in {c.rule for c in session.result.unfolded()}
    _press(window, Qt.Key.Key_P, CTRL)
    assert window.drawing.isVisible()
    assert len(window.drawing.page_labels) >= 4
