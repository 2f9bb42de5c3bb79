"""The list of conflicts: filter, levels, groups, what can be done; rules off and limits of a job."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import QPoint, QRect, Qt, QTimer
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QDialog, QLabel, QMenu, QPushButton
from pytestqt.qtbot import QtBot

from app.application import Application
from app.commands import ruling
from app.dialogs.limits import LimitsForm
from app.dialogs.rules import RulesDialog
from app.panels.conflict_entry import Card
from app.panels.conflict_filter import matches
from app.panels.conflicts import SHOWN_AT_ONCE
from app.window import JobWindow
from core.checks.finding import CheckResult, Conflict, Level
from core.checks.report import status_words
from core.checks.rules import RULES
from core.drawing.status import status_bar
from core.edits import record
from core.job.document import Job
from core.job.record import Settings
from core.library.library import Library
from core.library.limits import Limit, Limits
from core.paths import sample_jobs_folder
from tests.app.form_hands import type_in

LEFT = Qt.MouseButton.LeftButton
OFF = next(rule.name for rule in RULES if rule.level == "look")


@pytest.fixture
def window(program: Application, qtbot: QtBot) -> JobWindow:
    assert program.open_path(sample_jobs_folder() / "van_five_mistakes.loomjob")
    window = program.windows[-1]
    window.resize(1366, 768)
    qtbot.waitExposed(window)
    assert window.checks.wait_until_idle()
    return window


def found(level: Level, rule: str, *where: str, message: str = "m") -> Conflict:
    return Conflict(rule, level, message, "w", "d", where)


def shown(window: JobWindow, *conflicts: Conflict) -> None:
    """As if a check had found just these."""
    session = window.session
    session.take_result(CheckResult(session.job, conflicts, (), (), ("run",)))
    QApplication.processEvents()


def headings(window: JobWindow) -> list[str]:
    labels = window.conflicts.body.findChildren(QLabel)
    return [label.text() for label in labels if label.objectName() == "section" and label.isVisible()]


def rules_shown(window: JobWindow) -> list[str]:
    return [card.conflict.rule for card in window.conflicts.cards]


def button(card: Card, words: str) -> QPushButton:
    return next(b for b in card.findChildren(QPushButton) if b.text() == words)


MIXED = (
    found("stop", "no return", "REC.A-2", message="REC-2 reaches no ground"),
    found("look", "found differs from sheet", "RAD.A-15", message="sheet says grey"),
    found("look", "cut into the car", "RAD.A-1"),
    found("note", "same colour, different job", "J1"),
)


def test_conflicts_stand_in_groups_with_their_counts(window: JobWindow) -> None:
    shown(window, *MIXED)
    assert headings(window) == ["Stop: 1", "Look: 2", "Note: 1"]
    assert [b.text() for b in window.conflicts.filter.levels.values()] == ["1 Stop", "2 Look", "1 Note"]


def test_a_level_is_hidden_and_shown_by_its_button(window: JobWindow) -> None:
    shown(window, *MIXED)
    look = window.conflicts.filter.levels["look"]
    QTest.mouseClick(look, LEFT)
    assert headings(window) == ["Stop: 1", "Note: 1"]
    assert look.accessibleName() == "2 Look, hidden"
    assert window.conflicts.filter.words.text() == "2 of 4 shown"
    look.setFocus()
    QTest.keyClick(look, Qt.Key.Key_Space)
    assert len(window.conflicts.cards) == 4
    assert window.conflicts.filter.words.isHidden()


def test_typing_narrows_by_words_rule_and_place(window: JobWindow) -> None:
    shown(window, *MIXED)
    line = window.conflicts.filter.line
    line.setFocus()
    QTest.keyClicks(line, "ground")
    assert rules_shown(window) == ["no return"]
    type_in(line, "cut car")
    assert rules_shown(window) == ["cut into the car"]
    type_in(line, "rad-15")
    assert rules_shown(window) == ["found differs from sheet"]
    type_in(line, "nothing like it")
    assert rules_shown(window) == []
    assert any("None of the conflicts" in label.text() for label in window.conflicts.findChildren(QLabel))
    type_in(line, "")
    assert len(window.conflicts.cards) == 4


def test_every_word_must_be_found_wherever_it_stands() -> None:
    conflict = MIXED[0]
    assert matches(conflict, Job(), "STOP ground")
    assert matches(conflict, Job(), "")
    assert not matches(conflict, Job(), "ground look")


def test_cards_that_stay_are_not_made_anew(window: JobWindow) -> None:
    shown(window, *MIXED)
    before = {card.conflict.key: card for card in window.conflicts.cards}
    shown(window, *MIXED[1:])
    assert [before[card.conflict.key] for card in window.conflicts.cards] == window.conflicts.cards
    type_in(window.conflicts.filter.line, "colour")
    assert window.conflicts.cards == [before[MIXED[3].key]]


def test_the_keyboard_goes_from_card_to_card(window: JobWindow) -> None:
    shown(window, *MIXED)
    first, second = window.conflicts.cards[:2]
    first.setFocus()
    QTest.keyClick(first, Qt.Key.Key_Down)
    assert second.hasFocus()
    QTest.keyClick(second, Qt.Key.Key_Up)
    assert first.hasFocus()
    QTest.keyClick(first, Qt.Key.Key_Up)
    assert first.hasFocus()


def test_more_than_anybody_reads_come_by_a_button(window: JobWindow, qtbot: QtBot) -> None:
    many = [found("look", "cut into the car", f"J{n}") for n in range(1, SHOWN_AT_ONCE + 11)]
    shown(window, *many)
    assert len(window.conflicts.cards) < SHOWN_AT_ONCE, "the rest comes while the window goes on"
    qtbot.waitUntil(lambda: len(window.conflicts.cards) == SHOWN_AT_ONCE)
    assert headings(window) == [f"Look: {len(many)}"]
    assert [card.conflict for card in window.conflicts.cards] == many[:SHOWN_AT_ONCE]

    def button_for_more() -> list[QPushButton]:
        return [b for b in window.conflicts.findChildren(QPushButton) if "10 left" in b.accessibleName()]

    qtbot.waitUntil(lambda: bool(button_for_more()))
    QTest.mouseClick(button_for_more()[0], LEFT)
    qtbot.waitUntil(lambda: [card.conflict for card in window.conflicts.cards] == many)


def test_no_button_of_a_card_is_cut(window: JobWindow) -> None:
    conflict = window.conflicts.cards[0].conflict
    checking_on = {"positions": conflict.positions, "numbers": dict(conflict.numbers), "reason": "r" * 80}
    window.session.apply(
        "Accept",
        lambda job: record.accept(job, conflict.rule, conflict.where, name="A. Marlow", **checking_on),
    )
    assert window.checks.wait_until_idle()
    assert "Accepted: 1" in headings(window)
    for card in window.conflicts.cards:
        window.conflicts.show_card(card)
        QApplication.processEvents()
        assert card.width() < window.conflicts.width() - 12
        for b in card.findChildren(QAbstractButton):
            assert b.width() >= b.minimumSizeHint().width(), b.accessibleName()
            there = QRect(b.mapTo(card, QPoint(0, 0)), b.size())
            assert card.rect().contains(there), b.accessibleName()


def entries(menu: QMenu) -> dict[str, QAction]:
    return {action.text(): action for action in menu.actions() if action.text()}


def test_a_look_is_switched_off_from_its_card_and_switched_on_again(window: JobWindow, qtbot: QtBot) -> None:
    shown(window, found("look", OFF, "RAD.A-1"))
    card = window.conflicts.cards[0]
    off = entries(card.menu())["Switch this rule off for this job"]
    assert off.isEnabled()
    off.trigger()
    assert window.session.job.settings.rules_off == (OFF,)
    assert window.checks.wait_until_idle()
    qtbot.waitUntil(lambda: "Off or not run: 1" in headings(window))
    assert "1 rule off or not run" in window.bar.status.text()
    name = f"Switch on again: {OFF}"

    def again() -> list[QPushButton]:
        return [b for b in window.conflicts.findChildren(QPushButton) if b.accessibleName() == name]

    qtbot.waitUntil(lambda: bool(again()))
    QApplication.processEvents()
    window.conflicts.show_card(again()[0])
    QTest.mouseClick(again()[0], LEFT)
    assert window.session.job.settings.rules_off == ()
    window.session.undo_stack.undo()
    window.session.undo_stack.undo()
    assert window.session.job.settings.rules_off == ()
    assert not window.session.undo_stack.canUndo()


def test_a_stop_cannot_be_switched_off(window: JobWindow) -> None:
    card = next(card for card in window.conflicts.cards if card.conflict.level == "stop")
    assert not entries(card.menu())["Switch this rule off for this job"].isEnabled()
    stop = card.conflict.rule
    window.session.apply("Off", lambda job: record.set_settings(job, rules_off=(stop,)))
    assert window.checks.wait_until_idle()
    assert stop in {c.rule for c in window.session.result.conflicts}  # type: ignore[union-attr]
    assert window.session.result.not_run == ()  # type: ignore[union-attr]


def test_a_rule_off_turns_the_status_amber_in_words_on_the_screen_and_on_paper(
    open_window: Callable[[Job], JobWindow], library: Library
) -> None:
    window = open_window(Job())
    window.session.apply("Off", lambda job: record.set_settings(job, rules_off=(OFF,)))
    assert window.checks.wait_until_idle()
    result = window.session.result
    assert result is not None
    assert result.status == "amber"
    assert status_words(result) == "1 rule off or not run"
    assert status_bar(window.checks.final_result()).words.startswith("1 rule off or not run")


def answered(act: Callable[[Any], None], keep: bool = True) -> None:
    """When the window of questions is open, do something in it and press a button."""

    def when_open() -> None:
        dialog = QApplication.activeModalWidget()
        if not isinstance(dialog, QDialog):
            QTimer.singleShot(0, when_open)
            return
        try:
            act(dialog)
        finally:
            agree: Any = dialog
            QTest.keyClick(dialog, Qt.Key.Key_Escape) if not keep else agree.agree.click()

    QTimer.singleShot(0, when_open)


def test_rules_are_switched_off_in_the_page_of_rules_by_the_keyboard(window: JobWindow) -> None:
    def act(dialog: RulesDialog) -> None:
        dialog.filter.setFocus()
        QTest.keyClicks(dialog.filter, OFF)
        QTest.keyClick(dialog.filter, Qt.Key.Key_Return)
        assert dialog.focusWidget() is dialog.tree
        assert dialog.isVisible()
        item = dialog.items[OFF]
        assert not item.isHidden()
        assert sum(not other.isHidden() for other in dialog.items.values()) < len(RULES)
        assert not dialog.tree.currentItem().isHidden(), "what was found is shown at once"
        dialog.tree.setCurrentItem(item)
        QApplication.processEvents()
        words = " ".join(label.text() for label in dialog.help.findChildren(QLabel) if not label.isHidden())
        assert all(text in words for text in next(r for r in RULES if r.name == OFF).help)
        QTest.keyClick(dialog.tree, Qt.Key.Key_Space)

    answered(act)
    window.actions_by_id["rules"].trigger()
    assert window.session.job.settings.rules_off == (OFF,)
    window.session.undo_stack.undo()
    assert window.session.job.settings.rules_off == ()


def test_the_page_has_every_rule_and_no_box_at_a_stop(window: JobWindow) -> None:
    dialog = RulesDialog(
        window, RULES, window.session.library.limits, Settings(rules_off=("of another version",)), ""
    )
    assert set(dialog.items) == {rule.name for rule in RULES}
    for rule in RULES:
        checkable = bool(dialog.items[rule.name].flags() & Qt.ItemFlag.ItemIsUserCheckable)
        assert checkable == (rule.level != "stop")
    assert dialog.off() == ("of another version",)
    dialog.deleteLater()


def test_leaving_the_page_changes_nothing(window: JobWindow) -> None:
    answered(lambda dialog: dialog.items[OFF].setCheckState(0, Qt.CheckState.Unchecked), keep=False)
    ruling.rules(window.desk, OFF)
    assert window.session.job.settings.rules_off == ()


ROWS = {
    "least_ohms": Limit(0.5, "ohm", "the least of a coil", "common practice"),
    "drop_share": Limit(0.03, "share", "lost on the way", "ABYC E-11, from memory"),
    "wires": Limit(3, "1", "wires in a bundle", "common practice"),
}


def test_a_job_takes_a_limit_otherwise_and_undo_brings_the_shops_back(window: JobWindow) -> None:
    def act(dialog: LimitsForm) -> None:
        line = dialog.entries["contact_ohms"].line  # type: ignore[attr-defined]
        assert line.placeholderText() == "0.002 ohm"
        type_in(line, "5 m")

    answered(act)
    window.actions_by_id["limits"].trigger()
    assert window.session.job.settings.limits == {"contact_ohms": 0.005}
    assert window.checks.wait_until_idle()
    engine = window.checks.engine()
    assert engine is not None
    # The circuit is worked out with it.
    assert window.session.library.limits.but(window.session.job.settings.limits)["contact_ohms"] == 0.005
    window.session.undo_stack.undo()
    assert window.session.job.settings.limits == {}


def test_what_a_limit_cannot_be_is_said_at_its_field(qtbot: QtBot) -> None:
    form = LimitsForm(None, Limits(ROWS), {"drop_share": 0.1, "of_another_version": 2.0})
    qtbot.addWidget(form)
    form.show()
    share = form.entries["drop_share"]
    assert share.line.text() == "10"  # type: ignore[attr-defined]
    type_in(share.line, "120")  # type: ignore[attr-defined]
    assert share.complaint == "a share cannot be more than 100 %"
    assert form.made is None
    type_in(share.line, "5")  # type: ignore[attr-defined]
    type_in(form.entries["least_ohms"].line, "0")  # type: ignore[attr-defined]
    assert form.entries["least_ohms"].complaint == "must be more than 0"
    type_in(form.entries["least_ohms"].line, "")  # type: ignore[attr-defined]
    assert form.made == {"drop_share": 0.05, "of_another_version": 2.0}


def test_limits_are_found_by_words_and_source(qtbot: QtBot) -> None:
    form = LimitsForm(None, Limits(ROWS), {})
    qtbot.addWidget(form)
    form.show()
    type_in(form.filter, "abyc")
    assert [name for name, entry in form.entries.items() if entry.isVisible()] == ["drop_share"]
    QTest.keyClick(form.filter, Qt.Key.Key_Return)
    assert form.isVisible()
    type_in(form.filter, "")
    assert all(entry.isVisible() for entry in form.entries.values())


def test_the_rule_of_a_conflict_tells_of_itself(window: JobWindow) -> None:
    card = window.conflicts.cards[0]
    said: list[str] = []

    def act(dialog: QDialog) -> None:
        said.extend(label.text() for label in dialog.findChildren(QLabel))

    answered(act, keep=False)
    window.conflicts.show_card(card)
    QTest.mouseClick(button(card, "About"), LEFT)
    rule = ruling.known(card.conflict.rule)
    assert rule is not None
    assert set(rule.help) <= set(said)


def test_the_lists_carry_the_mark_and_the_word_of_the_level(window: JobWindow, qtbot: QtBot) -> None:
    window.show_panel("lists")
    model = window.lists.models["Joints"]
    qtbot.waitUntil(lambda: bool(model.table.rows))
    rows = {row.ref: number for number, row in enumerate(model.table.rows)}
    marked = [ref for ref, number in rows.items() if model.table.rows[number].conflicts]
    assert marked
    assert len(marked) < len(rows)
    index = model.index(rows[marked[0]], 0)
    assert index.data() == f"{marked[0]}  Stop"
    assert not index.data(Qt.ItemDataRole.DecorationRole).isNull()
    assert index.data(Qt.ItemDataRole.AccessibleTextRole).startswith(f"{marked[0]}, Stop: ")
    view = window.lists.views["Joints"]
    assert view.columnWidth(0) >= view.sizeHintForColumn(0)
    assert (
        model.index(rows[marked[0]], 1).data(Qt.ItemDataRole.EditRole)
        == model.table.rows[rows[marked[0]]].cells[1].text
    )
    plain = next(ref for ref in rows if ref not in marked)
    assert model.index(rows[plain], 0).data() == plain
