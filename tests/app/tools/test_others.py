"""Selecting, moving, re-plugging, swapping, placing and panning."""

from __future__ import annotations

from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDragLeaveEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.canvas.view import MapView
from app.tools.place import PART_MIME
from core.edits.joins import join_by_wire
from core.edits.notes import add_note
from tests.app.canvas.hands import LEFT, click, drag, grip, nothing_near, press, spot, take
from tests.app.jobs import terminal_with


def end_of(view: MapView, part: str, function: str) -> str:
    return terminal_with(view.session.job, part, function)


def test_click_selects_and_control_or_shift_adds(view: MapView) -> None:
    one, two = end_of(view, "REC", "constant"), end_of(view, "REC", "ground")
    click(view, spot(view, one))
    assert view.session.selection == {one}
    click(view, spot(view, two), Qt.KeyboardModifier.ControlModifier)
    assert view.session.selection == {one, two}
    click(view, spot(view, one), Qt.KeyboardModifier.ShiftModifier)
    assert view.session.selection == {two}
    click(view, nothing_near(view))
    assert view.session.selection == frozenset()


def test_a_rubber_band_takes_what_lies_inside(view: MapView) -> None:
    block = view.sync.layout.blocks["REC"].bounds
    start = view.mapFromScene(QPointF(block.x - 12, block.y - 12))
    end = view.mapFromScene(QPointF(block.right + 12, block.bottom + 12))
    assert view.hit(QPointF(start)).kind == "nothing"
    drag(view, start, end)
    assert "REC" in view.session.selection
    assert "RAD" not in view.session.selection


def test_a_band_given_up_selects_nothing(view: MapView) -> None:
    start = nothing_near(view)
    take(view, start, QPoint(900, 700))
    press(view, Qt.Key.Key_Escape)
    QTest.mouseRelease(view.viewport(), LEFT, pos=QPoint(900, 700))
    assert view.session.selection == frozenset()


def test_a_part_is_moved_in_one_step(view: MapView) -> None:
    before = view.sync.layout.blocks["REC"].core
    start = grip(view, "REC")
    drag(view, start, start + QPoint(60, 40))
    after = view.sync.layout.blocks["REC"].core
    scale = view.scale_now
    assert abs(after.x - before.x - 60 / scale) <= 8
    assert abs(after.y - before.y - 40 / scale) <= 8
    assert view.session.job.view.places["REC"].kept
    assert view.session.undo_stack.count() == 1
    assert view.map_scene.blocks["REC"].pos() == QPointF(0, 0)
    assert not view.store.hidden


def test_a_move_given_up_leaves_all_as_it_was(view: MapView) -> None:
    before = view.session.job
    start = grip(view, "REC")
    take(view, start, start + QPoint(80, 50))
    assert view.store.hidden
    assert view.map_scene.blocks["REC"].pos() != QPointF(0, 0)
    press(view, Qt.Key.Key_Escape)
    QTest.mouseRelease(view.viewport(), LEFT, pos=start + QPoint(80, 50))
    assert view.session.job is before
    assert view.map_scene.blocks["REC"].pos() == QPointF(0, 0)
    assert not view.store.hidden
    view.backdrop.finish()
    assert not view.map_scene.live.wires


def test_a_move_by_keyboard(view: MapView) -> None:
    before = view.sync.layout.blocks["REC"].core
    click(view, grip(view, "REC"))
    press(view, Qt.Key.Key_M, Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_Down, Qt.Key.Key_Return)
    after = view.sync.layout.blocks["REC"].core
    assert (round(after.x - before.x), round(after.y - before.y)) == (16, 8)
    assert view.session.undo_stack.count() == 1


def test_selected_things_move_together(view: MapView) -> None:
    rec, ground = view.sync.layout.blocks["REC"].core, view.sync.layout.blocks["GND"].core
    view.session.select(["REC", "GND"])
    start = grip(view, "REC")
    drag(view, start, start + QPoint(40, 40))
    moved = view.sync.layout.blocks
    assert moved["REC"].core.x - rec.x == moved["GND"].core.x - ground.x > 0


def test_a_leads_end_is_replugged(view: MapView) -> None:
    mine, target = end_of(view, "REC", "constant"), end_of(view, "GND", "ground")
    path = view.finder.wires_of(mine)
    curve = next(path)
    drag(view, view.mapFromScene(QPointF(*_near_joint(curve))), spot(view, target))
    lookup = view.session.job.lookup
    assert lookup.joint_of[mine] == lookup.joint_of[target]
    assert end_of(view, "RAD", "constant") not in lookup.joint_of
    assert view.session.undo_stack.count() == 1


def _near_joint(curve: object) -> tuple[float, float]:
    a, b = curve.a, curve.b  # type: ignore[attr-defined]
    joint = b if curve.ends[1].startswith("J") else a  # type: ignore[attr-defined]
    other = a if joint is b else b
    return joint.x + (other.x - joint.x) * 0.25, joint.y + (other.y - joint.y) * 0.25


def test_a_wires_end_is_replugged(view: MapView) -> None:
    one, two, three = (end_of(view, "RAD", f) for f in ("accessory", "illumination", "speaker-lf+"))
    other = end_of(view, "REC", "accessory")
    view.session.apply("Wire", lambda job: join_by_wire(job, one, other))
    (wire,) = view.session.job.wires
    view.fit()
    tool = view.gestures
    middle = view.finder.wire_middle(wire)
    assert middle is not None
    pieces = list(view.finder.wires_of(wire))
    near_a = QPointF(pieces[0].a.x * 0.8 + pieces[-1].b.x * 0.2, pieces[0].a.y * 0.8 + pieces[-1].b.y * 0.2)
    hit = view.finder.hit(near_a, view.scale_now)
    if hit.kind != "wire":
        near_a = middle
    drag(view, view.mapFromScene(near_a), spot(view, two))
    assert tool.tool is None
    ends = {end for joint in view.session.job.joints.values() for end in joint.ends if end.startswith(wire)}
    joined_to = {
        end for joint in view.session.job.joints.values() if ends & set(joint.ends) for end in joint.ends
    }
    assert two in joined_to
    assert three not in joined_to


def test_control_drag_swaps_two_pins(view: MapView) -> None:
    one, two = end_of(view, "REC", "constant"), end_of(view, "REC", "accessory")
    colour = view.session.job.parts["REC"].cavities[one].lead
    assert colour is not None
    drag(view, spot(view, one), spot(view, two), Qt.KeyboardModifier.ControlModifier)
    assert view.session.job.parts["REC"].cavities[two].lead == colour
    assert view.session.undo_stack.count() == 1


def test_a_part_is_dropped_from_the_shelf(view: MapView) -> None:
    dropped: list[tuple[str, float, float]] = []
    view.part_dropped.connect(dropped.append)
    data = QMimeData()
    data.setData(PART_MIME, b"Body ground point")
    at, buttons = QPointF(300, 200), Qt.MouseButton.LeftButton
    action, keys = Qt.DropAction.CopyAction, Qt.KeyboardModifier.NoModifier
    QApplication.sendEvent(view.viewport(), QDragEnterEvent(at.toPoint(), action, data, buttons, keys))
    QApplication.sendEvent(view.viewport(), QDropEvent(at, action, data, buttons, keys))
    point = view.scene_point(at)
    assert dropped == [("Body ground point", round(point.x()), round(point.y()))]


def test_a_drag_that_leaves_drops_nothing(view: MapView) -> None:
    dropped: list[object] = []
    view.part_dropped.connect(dropped.append)
    data = QMimeData()
    data.setData(PART_MIME, b"Body ground point")
    event = QDragEnterEvent(
        QPoint(300, 200), Qt.DropAction.CopyAction, data, LEFT, Qt.KeyboardModifier.NoModifier
    )
    QApplication.sendEvent(view.viewport(), event)
    assert view.gestures.tool is not None
    QApplication.sendEvent(view.viewport(), QDragLeaveEvent())
    assert view.gestures.tool is None
    assert dropped == []


def test_the_middle_button_pans(view: MapView) -> None:
    view.show_scale(1.0, QPointF(600, 300), QPointF(0, 0))
    held = view.scene_point(QPointF(400, 300))
    QTest.mousePress(view.viewport(), Qt.MouseButton.MiddleButton, pos=QPoint(400, 300))
    QTest.mouseMove(view.viewport(), QPoint(450, 330))
    QTest.mouseRelease(view.viewport(), Qt.MouseButton.MiddleButton, pos=QPoint(450, 330))
    moved = view.scene_point(QPointF(450, 330))
    assert (moved - held).manhattanLength() < 2


def test_a_note_is_opened_by_a_double_click(view: MapView) -> None:
    view.session.apply("Note", lambda job: add_note(job, "warm the trim", (0.0, -260.0)))
    view.fit()
    opened: list[str] = []
    view.note_opened.connect(opened.append)
    QTest.mouseDClick(view.viewport(), LEFT, pos=spot(view, "N1"))
    assert opened == ["N1"]
