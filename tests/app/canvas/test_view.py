"""Zoom, hover, callouts, focus, themes: what the map shows and what it leaves alone."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QContextMenuEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QToolButton

from app.canvas.sight import extent
from app.canvas.style import Style, contrast
from app.canvas.view import MapView
from app.theme import ThemeName, load_tokens
from core.checks.finding import CheckResult, Conflict, Mend
from core.colours import swatches
from core.edits.finishes import cap
from core.edits.joins import join
from core.edits.place import set_side
from core.job.document import Job
from tests.app.canvas.conftest import ShowMap
from tests.app.canvas.hands import LEFT, click, nothing_near, press, spot
from tests.app.jobs import terminal_with

CTRL = Qt.KeyboardModifier.ControlModifier


def turn_wheel(view: MapView, at: QPointF, clicks: int) -> None:
    event = QWheelEvent(
        at,
        view.viewport().mapToGlobal(at),
        QPoint(),
        QPoint(0, 120 * clicks),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(view.viewport(), event)


@pytest.mark.parametrize("clicks", [1, -1, 4, -3])
@pytest.mark.parametrize("at", [(300, 200), (1100, 640), (683, 384)])
def test_the_wheel_keeps_what_is_under_the_pointer(view: MapView, clicks: int, at: tuple[int, int]) -> None:
    point, before = QPointF(*at), view.scale_now
    held = view.scene_point(point)
    turn_wheel(view, point, clicks)
    assert (view.scale_now > before) == (clicks > 0)
    off = view.viewportTransform().map(held) - point
    assert abs(off.x()) <= 1
    assert abs(off.y()) <= 1


def test_the_scale_has_limits(view: MapView) -> None:
    for clicks in (60, -120):
        turn_wheel(view, QPointF(600, 300), clicks)
        assert 0.02 <= view.scale_now <= 8.0


def test_a_draft_is_followed_by_a_fine_picture(view: MapView) -> None:
    turn_wheel(view, QPointF(600, 300), 1)
    assert view.backdrop.busy
    view.backdrop.finish()
    assert not view.backdrop.busy


def test_a_picture_in_the_making_is_dropped_with_the_view(view: MapView) -> None:
    view.backdrop.begin_slices()
    assert view.backdrop.busy
    view.hide()
    assert not view.backdrop.busy
    view.show()
    QApplication.processEvents()
    view.backdrop.begin_slices()
    view.show_scale(0.7, QPointF(600, 300), QPointF(0, 0))
    view.backdrop.finish()
    assert not view.backdrop.busy


def test_fit_shows_everything(view: MapView) -> None:
    view.zoom_by(3.0)
    view.fit()
    assert view.visible_rect().contains(extent(view.sync.layout))


def test_zoom_to_shows_what_is_named(view: MapView) -> None:
    view.zoom_to(["REC"])
    block = view.sync.layout.blocks["REC"]
    assert view.visible_rect().contains(QRectF(*block.bounds))
    assert view.scale_now > 0.5


def test_reveal_scrolls_only_when_it_must(view: MapView) -> None:
    view.fit()
    before = view.visible_rect()
    view.reveal(["REC"])
    assert view.visible_rect() == before
    view.show_scale(2.0, QPointF(600, 300), QPointF(-2000, -2000))
    view.reveal(["REC"])
    assert view.visible_rect().intersects(QRectF(*view.sync.layout.blocks["REC"].bounds))


def test_an_empty_job_is_shown(show_map: ShowMap) -> None:
    view = show_map(Job())
    view.viewport().repaint()
    press(view, Qt.Key.Key_Right, Qt.Key.Key_Return, Qt.Key.Key_M, Qt.Key.Key_Escape)
    assert view.hit(QPointF(100, 100)).kind == "nothing"


def test_hover_traces_the_net_and_leaves_the_background(
    view: MapView, monkeypatch: pytest.MonkeyPatch
) -> None:
    mine = terminal_with(view.session.job, "RAD", "ground")
    other = terminal_with(view.session.job, "REC", "ground")
    hovered: list[str] = []
    view.hovered.connect(hovered.append)
    view.viewport().repaint()
    painted: list[QRectF] = []
    monkeypatch.setattr(view.backdrop, "draw", lambda painter, exposed: painted.append(exposed))
    QTest.mouseMove(view.viewport(), spot(view, mine))
    QApplication.processEvents()
    view.viewport().repaint()
    trace = view.map_scene.trace
    assert trace.isVisible()
    assert {flag.terminal for flag, _ in trace.traced.flags} == {mine, other}
    assert {joint.joint for joint in trace.traced.joints} == {view.session.job.lookup.joint_of[mine]}
    assert {curve.owner for curve, _ in trace.traced.wires} == {mine, other}
    QTest.mouseMove(view.viewport(), nothing_near(view))
    QApplication.processEvents()
    view.viewport().repaint()
    assert not trace.isVisible()
    assert hovered == [mine, ""]
    assert painted == []


def test_a_thing_alone_traces_nothing(view: MapView) -> None:
    view.hover(terminal_with(view.session.job, "REC", "accessory"))
    assert not view.map_scene.trace.isVisible()


def conflict_at(where: str, mends: tuple[Mend, ...] = ()) -> Conflict:
    return Conflict(
        rule="made up", level="stop", message="<b>6 V</b> part on 12 V", why="It is fed by J1.",
        mend="Put a step-down before it.", where=(where,), wires=(), mends=mends,
    )  # fmt: skip


def result_of(job: Job, *conflicts: Conflict) -> CheckResult:
    return CheckResult(job=job, conflicts=conflicts, open_ends=(), not_run=(), positions=())


def test_a_callout_says_and_mends(view: MapView) -> None:
    mine = terminal_with(view.session.job, "REC", "accessory")
    mend = Mend("Cap it", lambda job: cap(job, [mine]))
    wanted: list[Mend] = []
    view.conflict_mend.connect(wanted.append)
    view.session.take_result(result_of(view.session.job, conflict_at(mine, (mend,))))
    view.show_conflict(view.session.result.conflicts[0])  # type: ignore[union-attr]
    callout = view.card.callout
    assert callout.isVisible()
    assert view.conflict_key == f"made up:{mine}"
    texts = [label.text() for label in callout.findChildren(QLabel)]
    assert "<b>6 V</b> part on 12 V" in texts
    assert all(label.textFormat() == Qt.TextFormat.PlainText for label in callout.findChildren(QLabel))
    (button,) = (b for b in callout.findChildren(QPushButton) if b.objectName() != "link")
    QTest.mouseClick(button, LEFT)
    assert wanted == [mend]
    assert all(one.accessibleName() for one in (button, *callout.findChildren(QToolButton)))
    assert view.viewport().rect().contains(callout.geometry())


def test_a_badge_opens_its_callout_and_escape_closes_it(view: MapView) -> None:
    mine = terminal_with(view.session.job, "REC", "accessory")
    view.session.take_result(result_of(view.session.job, conflict_at(mine)))
    shown: list[str] = []
    view.conflict_shown.connect(shown.append)
    (badge,) = view.map_scene.faults.badges
    click(view, view.mapFromScene(QPointF(*badge.at)))
    assert view.card.callout.isVisible()
    press(view, Qt.Key.Key_Escape)
    assert not view.card.callout.isVisible()
    assert shown == [f"made up:{mine}", ""]


def test_a_conflict_that_is_gone_takes_its_callout_along(view: MapView) -> None:
    mine = terminal_with(view.session.job, "REC", "accessory")
    view.session.take_result(result_of(view.session.job, conflict_at(mine)))
    view.show_conflict(conflict_at(mine))
    assert view.map_scene.blocks["REC"].worn.flags[mine].level == "stop"
    view.session.take_result(result_of(view.session.job))
    assert not view.card.callout.isVisible()
    assert view.conflict_key == ""
    assert view.map_scene.faults.badges == ()
    assert view.map_scene.blocks["REC"].worn.flags[mine].level is None


def test_arrow_keys_walk_and_say_where(view: MapView) -> None:
    said: list[str] = []
    view.status_text.connect(said.append)
    mine = terminal_with(view.session.job, "REC", "constant")
    click(view, spot(view, mine))
    press(view, Qt.Key.Key_Down)
    first = view.focus_ref
    assert first not in ("", mine)
    assert view.session.selection == {first}
    assert view.accessibleDescription() == view.describe(first) == said[-1]
    QTest.keyClick(view, Qt.Key.Key_Up, CTRL)
    assert view.session.selection == {first}
    assert view.focus_ref != first


def test_a_flag_is_named_in_full(view: MapView) -> None:
    job = view.session.job
    mine = terminal_with(job, "REC", "constant")
    pin, joint = mine.partition("-")[2], job.lookup.joint_of[mine]
    assert view.describe(mine) == f"REC-{pin}, constant, yellow, joined to {joint}"
    other = terminal_with(job, "REC", "accessory")
    assert view.describe(other).endswith("not joined")


def test_the_menu_is_asked_for_with_what_is_under_the_pointer(view: MapView) -> None:
    wanted: list[tuple[str, QPoint]] = []
    view.menu_wanted.connect(wanted.append)
    mine = terminal_with(view.session.job, "REC", "constant")
    at = spot(view, mine)
    QTest.mouseClick(view.viewport(), Qt.MouseButton.RightButton, pos=at)
    event = QContextMenuEvent(
        QContextMenuEvent.Reason.Mouse, at, view.viewport().mapToGlobal(at), Qt.KeyboardModifier.NoModifier
    )
    QApplication.sendEvent(view.viewport(), event)
    assert [ref for ref, _ in wanted] == [mine]
    assert view.session.selection == {mine}


def luminance(colour: QColor) -> float:
    """Relative luminance by WCAG 2.2, from its table of definitions."""
    parts = (colour.redF(), colour.greenF(), colour.blueF())
    red, green, blue = (v / 12.92 if v <= 0.03928 else ((v + 0.055) / 1.055) ** 2.4 for v in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast_of(one: QColor, other: QColor) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_of_black_and_white() -> None:
    """WCAG 2.2: the ratio of black and white is 21."""
    assert contrast(QColor("#000000"), QColor("#FFFFFF")) == pytest.approx(21)


@pytest.mark.parametrize("name", ["light", "dark"])
@pytest.mark.parametrize("code", list(swatches()))
def test_every_colour_stays_visible_on_the_felt(name: ThemeName, code: str) -> None:
    """WCAG 2.2, 1.4.11: what must be seen has at least 3:1 to what is beside it; here core or casing."""
    style = Style(load_tokens(name))
    pens = style.wire(code)
    assert max(contrast_of(p.color(), style.felt) for p in (pens.casing, pens.core)) >= 3
    assert contrast_of(pens.thin.color(), style.felt) >= 1.9


def test_another_theme_repaints_all(view: MapView) -> None:
    light = view.grab().toImage().pixelColor(5, 5)
    view.set_tokens(load_tokens("dark"))
    dark = view.grab().toImage().pixelColor(5, 5)
    assert (light.name().upper(), dark.name().upper()) == (
        load_tokens("light").felt.upper(),
        load_tokens("dark").felt.upper(),
    )


def test_flipping_the_side_writes_the_other_side(view: MapView) -> None:
    assert {face.side for block in view.sync.layout.blocks.values() for face in block.faces} == {"wire"}
    view.session.apply("Flip", lambda job: set_side(job, "mating"))
    item = view.map_scene.blocks["RAD"]
    assert {face.side for face in item.shape_.faces} == {"mating"}


def test_live_and_dead_nets_change_the_picture(view: MapView) -> None:
    mine = terminal_with(view.session.job, "RAD", "constant")
    before = view.grab().toImage()
    view.show_live({mine: "live"})
    view.backdrop.finish()
    lit = view.grab().toImage()
    view.show_live({mine: "dead"})
    view.backdrop.finish()
    dead = view.grab().toImage()
    view.show_live({mine: "floating"})
    view.backdrop.finish()
    floating = view.grab().toImage()
    assert len({bytes(image.constBits()) for image in (before, lit, dead, floating)}) == 4
    view.show_live({})
    view.backdrop.finish()
    assert view.grab().toImage() == before


def test_a_new_join_is_drawn_where_it_was_made(view: MapView) -> None:
    job = view.session.job
    mine, other = terminal_with(job, "RAD", "accessory"), terminal_with(job, "REC", "accessory")
    before = view.grab().toImage()
    view.session.apply("Join", lambda job: join(job, mine, other))
    view.backdrop.finish()
    after = view.grab().toImage()
    middle = view.finder.wire_middle(mine)
    assert middle is not None
    at = view.mapFromScene(middle)
    assert before.pixelColor(at) != after.pixelColor(at)
    view.session.undo_stack.undo()
    view.backdrop.finish()
    assert view.grab().toImage() == before
