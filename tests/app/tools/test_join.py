"""Joining by hand, by keyboard and by typing."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QFocusEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.canvas.view import MapView
from app.tools.join import JoinTool
from core.edits.verdicts import verdict
from tests.app.canvas.hands import LEFT, click, drag, grip, nothing_near, press, spot, take
from tests.app.jobs import terminal_with


def ends_of(view: MapView, *pairs: tuple[str, str]) -> list[str]:
    return [terminal_with(view.session.job, part, function) for part, function in pairs]


def pair(view: MapView, function: str = "accessory") -> tuple[str, str]:
    mine, other = ends_of(view, ("RAD", function), ("REC", function))
    return mine, other


def test_a_drag_from_flag_to_flag_makes_one_joint_and_one_undo(view: MapView) -> None:
    mine, other = pair(view)
    before = view.session.job
    drag(view, spot(view, mine), spot(view, other))
    joint = view.session.job.lookup.joint_of[mine]
    assert set(view.session.job.joints[joint].ends) == {mine, other}
    assert view.session.undo_stack.count() == 1
    view.session.undo_stack.undo()
    assert view.session.job == before


def test_a_drop_on_a_joint_adds_to_it(view: MapView) -> None:
    (mine,) = ends_of(view, ("RAD", "accessory"))
    joint = sorted(view.session.job.joints)[0]
    drag(view, spot(view, mine), spot(view, joint))
    assert view.session.job.lookup.joint_of[mine] == joint
    assert len(view.session.job.joints[joint].ends) == 3


def test_a_drop_on_a_wire_adds_to_its_joint(view: MapView) -> None:
    mine, joined = ends_of(view, ("RAD", "accessory"), ("REC", "constant"))
    middle = view.finder.wire_middle(joined)
    assert middle is not None
    drag(view, spot(view, mine), view.mapFromScene(middle))
    lookup = view.session.job.lookup
    assert lookup.joint_of[mine] == lookup.joint_of[joined]


def test_a_drag_from_a_cavity_joins_its_lead(view: MapView) -> None:
    mine, other = pair(view)
    cell = view.finder.cell(mine)
    assert cell is not None
    start = view.mapFromScene(cell.rect.x + cell.rect.width / 2, cell.rect.y + cell.rect.height / 2)
    drag(view, start, spot(view, other))
    assert mine in view.session.job.lookup.joint_of


@pytest.mark.parametrize("how", ["escape", "right button", "focus"])
def test_a_drag_is_given_up(view: MapView, how: str) -> None:
    mine, other = pair(view)
    before, target = view.session.job, spot(view, other)
    take(view, spot(view, mine), target)
    assert isinstance(view.gestures.tool, JoinTool)
    if how == "escape":
        press(view, Qt.Key.Key_Escape)
    elif how == "right button":
        QTest.mousePress(view.viewport(), Qt.MouseButton.RightButton, pos=target)
    else:
        QApplication.sendEvent(view, QFocusEvent(QEvent.Type.FocusOut))
    assert view.gestures.tool is None
    assert not view.map_scene.guide.isVisible()
    assert not view.map_scene.hand.isVisible()
    QTest.mouseRelease(view.viewport(), LEFT, pos=target)
    assert view.session.job is before
    assert view.session.undo_stack.count() == 0
    assert view.session.selection == frozenset()


def test_every_answer_shown_is_the_answer_of_the_drop(view: MapView) -> None:
    mine, _ = pair(view)
    session = view.session
    view.fit()
    take(view, spot(view, mine), nothing_near(view))
    tool = view.gestures.tool
    assert isinstance(tool, JoinTool)
    tool.answer_everything()
    answers = dict(view.map_scene.guide.answers)
    view.cancel()
    assert set(answers.values()) == {"fits", "but"}
    before = session.job
    for target, answer in answers.items():
        assert verdict(before, mine, target, session.library).kind == answer
        if answer != "cannot":
            view.begin_join(mine)
            tool = view.gestures.tool
            assert isinstance(tool, JoinTool)
            tool._walk_to(target)
            press(view, Qt.Key.Key_Return)
            assert session.undo_stack.count() == 1, target
            session.undo_stack.undo()
            session.undo_stack.clear()


def test_what_cannot_be_is_said_and_refused(view: MapView) -> None:
    mine, other = ends_of(view, ("RAD", "constant"), ("REC", "constant"))
    before, refused = view.session.job, []
    view.session.refused.connect(refused.append)
    take(view, spot(view, mine), spot(view, other))
    assert view.map_scene.guide.answers[other] == "cannot"
    assert "already in joint" in view.map_scene.guide.reason
    QTest.mouseRelease(view.viewport(), LEFT, pos=spot(view, other))
    assert view.session.job is before
    assert refused


def test_the_reason_is_at_the_pointer_and_in_the_status(view: MapView) -> None:
    mine, other = ends_of(view, ("RAD", "accessory"), ("REC", "ground"))
    said: list[str] = []
    view.status_text.connect(said.append)
    take(view, spot(view, mine), spot(view, other))
    assert view.map_scene.guide.answers[other] == "but"
    assert view.map_scene.guide.reason
    assert said[-1].endswith(f"Fits, but: {view.map_scene.guide.reason}")


def test_a_join_by_keyboard(view: MapView) -> None:
    mine, other = pair(view)
    click(view, spot(view, mine))
    said: list[str] = []
    view.status_text.connect(said.append)
    press(view, Qt.Key.Key_Return)
    for _ in range(200):
        press(view, Qt.Key.Key_Tab)
        tool = view.gestures.tool
        assert isinstance(tool, JoinTool)
        if tool.target == other:
            break
    assert said[-1].endswith("Fits")
    press(view, Qt.Key.Key_Return)
    assert view.gestures.tool is None
    lookup = view.session.job.lookup
    assert lookup.joint_of[mine] == lookup.joint_of[other]
    assert view.session.undo_stack.count() == 1


def test_arrows_choose_a_target_and_escape_leaves(view: MapView) -> None:
    mine, _ = pair(view)
    before = view.session.job
    view.begin_join(mine)
    press(view, Qt.Key.Key_Right)
    tool = view.gestures.tool
    assert isinstance(tool, JoinTool)
    first = tool.target
    assert first not in ("", mine)
    press(view, Qt.Key.Key_Down)
    assert tool.target != first
    press(view, Qt.Key.Key_Escape)
    assert view.gestures.tool is None
    assert view.session.job is before


def test_a_join_by_typing(view: MapView) -> None:
    mine, other = pair(view)
    view.begin_typed_connection(mine)
    line = view.gestures.typed
    assert line is not None
    QTest.keyClicks(line, view.session.job.shown(other).lower())
    QTest.keyClick(line, Qt.Key.Key_Return)
    lookup = view.session.job.lookup
    assert lookup.joint_of[mine] == lookup.joint_of[other]
    assert line.isHidden()


def test_typing_nonsense_is_refused_and_escape_closes(view: MapView) -> None:
    mine, _ = pair(view)
    before, refused = view.session.job, []
    view.session.refused.connect(refused.append)
    view.begin_typed_connection(mine)
    line = view.gestures.typed
    assert line is not None
    QTest.keyClicks(line, "XYZ-99")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert refused == ["There is no end called XYZ-99."]
    QTest.keyClick(line, Qt.Key.Key_Escape)
    assert line.isHidden()
    assert view.session.job is before


def test_a_wire_in_the_hand_dropped_on_nothing_does_nothing(view: MapView) -> None:
    mine, _ = pair(view)
    before = view.session.job
    drag(view, spot(view, mine), nothing_near(view))
    assert view.session.job is before


def test_a_click_without_a_drag_only_selects(view: MapView) -> None:
    mine, _ = pair(view)
    drag(view, spot(view, mine), spot(view, mine) + QPoint(2, 1))
    assert view.session.selection == {mine}
    assert view.session.undo_stack.count() == 0


def test_a_gesture_ends_when_the_document_changes_under_it(view: MapView) -> None:
    mine, other = pair(view)
    take(view, spot(view, mine), spot(view, other))
    view.session.apply(
        "Take away", lambda job: job.changed(parts={"RAD": job.parts["RAD"]}, joints={}, mates={})
    )
    assert view.gestures.tool is None
    assert grip(view, "RAD")
