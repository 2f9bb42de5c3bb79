"""Which gesture an event belongs to. Knows every tool; the view only forwards to here."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import (
    QContextMenuEvent,
    QDragMoveEvent,
    QDropEvent,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QApplication, QGestureEvent, QPinchGesture

from app.canvas.hit import NOTHING, Hit
from app.tools.base import NO_KEYS, Keys, Tool
from app.tools.join import JoinTool, near_end
from app.tools.meter import Meter
from app.tools.move import ARROWS, MoveTool
from app.tools.pan import PanTool
from app.tools.place import PlaceTool, entry_of
from app.tools.replug import ReplugTool
from app.tools.select import BandTool, click
from app.tools.swap import SwapTool
from app.tools.typed import TypedConnection
from core.ids import kind_of

if TYPE_CHECKING:
    from app.canvas.view import MapView

WHEEL_STEP = 1.0015
MOVABLE = ("part", "joint", "note")
JOINABLE = ("terminal", "joint", "wire end")
LEFT, MIDDLE, RIGHT = Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton, Qt.MouseButton.RightButton


class Gestures:
    """At most one gesture at a time. Escape, the right button and lost focus end it and touch nothing."""

    def __init__(self, view: MapView) -> None:
        self.view = view
        self.tool: Tool | None = None
        self.typed: TypedConnection | None = None
        self.meter = Meter(view)
        self._pressed: QPointF | None = None
        self._keys: Keys = NO_KEYS
        self._hit: Hit = NOTHING
        self._space = False
        self._no_menu = False

    # Mouse

    def press(self, event: QMouseEvent) -> None:
        at, button = event.position(), event.button()
        self._no_menu = False
        if self.tool is not None:
            keyboard = self.tool.by_keyboard
            if button == RIGHT:
                self.cancel()
                self._no_menu = True
            elif keyboard and button == LEFT:
                self._finish(at, event.modifiers())
            return
        if button == MIDDLE or (button == LEFT and self._space):
            self._begin(PanTool(self.view), at)
        elif self.meter.press(event):
            return
        elif button == LEFT:
            self._pressed = at
            self._keys = event.modifiers()
            self._hit = self.view.hit(at)
        elif button == RIGHT:
            self._pressed = None

    def move(self, event: QMouseEvent) -> None:
        at = event.position()
        if self.tool is not None:
            self.tool.move(self.view.scene_point(at), event.modifiers())
            return
        if self.meter.move(event):
            return
        if self._pressed is not None and event.buttons() & LEFT:
            if (at - self._pressed).manhattanLength() >= QApplication.startDragDistance():
                self._begin(self._choose(self._hit, self._keys), self._pressed)
                self.move(event)
            return
        if not event.buttons():
            self.view.hover(self.view.hit(at).ref)

    def release(self, event: QMouseEvent) -> None:
        if self.tool is not None:
            if not self.tool.by_keyboard and event.button() in (LEFT, MIDDLE):
                self._finish(event.position(), event.modifiers())
        elif self._pressed is None and self.meter.release(event):
            return
        elif self._pressed is not None and event.button() == LEFT:
            self._click(event.position(), event.modifiers())
        self._pressed = None

    def _click(self, at: QPointF, keys: Keys) -> None:
        view = self.view
        badge = view.map_scene.faults.badge_at(view.scene_point(at), view.scale_now)
        conflict = view.overlay.conflict_of(badge.key) if badge is not None else None
        if conflict is not None:
            view.show_conflict(conflict)
            return
        if self._hit.kind == "nothing":
            view.show_conflict(None)
            view.focus_on("")
        click(view.session, self._hit, keys)

    def double_click(self, event: QMouseEvent) -> None:
        hit = self.view.hit(event.position())
        if self.meter.out:
            self.press(event)
        elif hit.kind == "note":
            self.view.note_opened.emit(hit.ref)
        elif hit.kind == "part":
            self.view.zoom_to([hit.ref])
        elif hit.kind in ("flag", "loose end"):
            self.begin_typed(hit.ref)
        else:
            self.press(event)

    def menu(self, event: QContextMenuEvent) -> None:
        """Right click: what can be done with the thing under the pointer, or with what is selected."""
        event.accept()
        if self.tool is not None or self._no_menu:
            self._no_menu = False
            self.cancel()
            return
        view = self.view
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            ref = view.focus_ref
        else:
            ref = view.hit(QPointF(event.pos())).ref
            if ref and ref not in view.session.selection:
                view.session.select([ref])
        view.menu_wanted.emit((ref, QPoint(event.globalPos())))

    def _choose(self, hit: Hit, keys: Keys) -> Tool:
        view = self.view
        if hit.kind in ("flag", "cavity", "loose end"):
            if keys & Keys.ControlModifier and kind_of(hit.ref) == "terminal":
                return SwapTool(view, hit.ref)
            joined = hit.ref in view.session.job.lookup.joint_of
            return (
                ReplugTool(view, hit.ref) if keys & Keys.AltModifier and joined else JoinTool(view, hit.ref)
            )
        if hit.kind == "joint" and keys & Keys.ShiftModifier:
            return JoinTool(view, hit.ref)
        if hit.kind in MOVABLE:
            return MoveTool(view, self._moved_with(hit.ref))
        if hit.kind == "wire":
            if kind_of(hit.ref) == "terminal":
                return ReplugTool(view, hit.ref)
            return ReplugTool(view, f"{hit.ref}:{near_end(view, hit.ref, self._from())}")
        return BandTool(view)

    def _from(self) -> QPointF:
        return self.view.scene_point(self._pressed or QPointF())

    def _moved_with(self, ref: str) -> list[str]:
        """The thing itself first; with it all others selected, where it is one of them."""
        chosen = self.view.session.selection
        others = [other for other in sorted(chosen) if other != ref and kind_of(other) in MOVABLE]
        return [ref, *others] if ref in chosen else [ref]

    def _begin(self, tool: Tool, at: QPointF) -> None:
        self.view.hover("")
        self.tool = tool
        tool.begin(self.view.scene_point(at))

    def _finish(self, at: QPointF, keys: Keys) -> None:
        tool, self.tool = self.tool, None
        if tool is not None:
            if tool.by_keyboard:
                tool.move(self.view.scene_point(at), keys)
            tool.commit(self.view.scene_point(at), keys)

    def cancel(self) -> None:
        """End whatever is under way; the document is as it was."""
        self._pressed = None
        self._space = False
        tool, self.tool = self.tool, None
        if tool is not None:
            tool.cancel()

    def document_changed(self) -> None:
        """A gesture does not outlive the document it began in; its own edit comes after its end."""
        self.cancel()

    # Started by the window

    def begin_join(self, end: str) -> None:
        self.cancel()
        self._begin_by_keyboard(JoinTool(self.view, end, keyboard=True))

    def begin_swap(self, terminal: str) -> None:
        self.cancel()
        self._begin_by_keyboard(SwapTool(self.view, terminal, keyboard=True))

    def begin_move(self, refs: Sequence[str]) -> None:
        self.cancel()
        movable = [ref for ref in refs if kind_of(ref) in MOVABLE]
        if movable:
            self._begin_by_keyboard(MoveTool(self.view, movable, keyboard=True))

    def begin_typed(self, end: str) -> None:
        self.cancel()
        if self.typed is not None:
            self.typed.close_line()
        self.typed = TypedConnection(self.view, end)
        self.typed.destroyed.connect(self._typed_gone)

    def _typed_gone(self) -> None:
        self.typed = None

    def _begin_by_keyboard(self, tool: Tool) -> None:
        self.view.setFocus()
        self.view.hover("")
        self.tool = tool
        tool.begin(self.view.visible_rect().center())

    # Keys

    def key(self, event: QKeyEvent) -> bool:
        key = event.key()
        if self.tool is None and self.meter.key(event):
            return True
        if key == Qt.Key.Key_Escape:
            return self._escape()
        if self.tool is not None:
            handled = self.tool.key(event)
            self._drop_if_done()
            return handled
        if key in ARROWS:
            self._walk(event)
            return True
        if (
            key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_J)
            and kind_of(self._here() or "-") in JOINABLE
        ):
            self.begin_join(self._here())
            return True
        if key == Qt.Key.Key_M and not event.modifiers():
            self.begin_move(sorted(self.view.session.selection) or [self._here()])
            return True
        if key == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = True
            self.view.viewport().setCursor(Qt.CursorShape.OpenHandCursor)
            return True
        return False

    def _drop_if_done(self) -> None:
        if self.tool is not None and self.tool.done:
            self.tool = None

    def _here(self) -> str:
        return self.view.focus_ref

    def key_up(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = False
            self.view.viewport().unsetCursor()

    def tab(self, forward: bool) -> bool:
        return self.tool is not None and self.tool.tab(forward)

    def _escape(self) -> bool:
        view = self.view
        if self.tool is not None or self._pressed is not None:
            self.cancel()
        elif view.overlay.chosen is not None:
            view.show_conflict(None)
        elif view.session.selection:
            view.session.select(())
        else:
            return False
        return True

    def _walk(self, event: QKeyEvent) -> None:
        """Arrow keys: select the next thing that way; with Ctrl move only the ring; with Shift add."""
        view = self.view
        ref = view.walker.next(view.focus_ref, ARROWS[event.key()])
        if not ref:
            return
        if event.modifiers() & Keys.ShiftModifier:
            view.session.select(view.session.selection | {ref})
        elif not event.modifiers() & Keys.ControlModifier:
            view.session.select([ref])
        view.focus_on(ref)

    # Wheel, pinch, shelf

    def wheel(self, event: QWheelEvent) -> None:
        """Wheel zooms at the pointer; with Shift or on a touch pad's slide it pans."""
        if event.pixelDelta().isNull() and not event.modifiers() & Keys.ShiftModifier:
            self.view.zoom_by(WHEEL_STEP ** event.angleDelta().y(), event.position())
        elif event.modifiers() & Keys.ControlModifier:
            self.view.zoom_by(WHEEL_STEP ** (2 * event.pixelDelta().y()), event.position())
        else:
            off = event.pixelDelta() if not event.pixelDelta().isNull() else event.angleDelta() / 2
            across = off.x() or (off.y() if event.modifiers() & Keys.ShiftModifier else 0)
            down = 0 if event.modifiers() & Keys.ShiftModifier else off.y()
            self.view.scroll_by(-across, -down)
        event.accept()

    def touch(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.Leave:
            if self.tool is None:
                self.view.hover("")
        elif isinstance(event, QNativeGestureEvent):
            if event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture:
                self.view.zoom_by(1.0 + event.value(), event.position())
        elif isinstance(event, QGestureEvent):
            pinch = event.gesture(Qt.GestureType.PinchGesture)
            if isinstance(pinch, QPinchGesture):
                self.view.zoom_by(pinch.scaleFactor(), pinch.centerPoint())

    def drag_enter(self, event: QDragMoveEvent) -> None:
        entry = entry_of(event.mimeData())
        if not entry:
            event.ignore()
            return
        self.cancel()
        tool = PlaceTool(self.view)
        tool.entry = entry
        self._begin(tool, event.position())
        event.acceptProposedAction()

    def drag_move(self, event: QDragMoveEvent) -> None:
        if isinstance(self.tool, PlaceTool):
            self.tool.move(self.view.scene_point(event.position()), event.modifiers())
            event.acceptProposedAction()

    def drag_leave(self) -> None:
        self.cancel()

    def drop(self, event: QDropEvent) -> None:
        if isinstance(self.tool, PlaceTool):
            event.acceptProposedAction()
            self._finish(event.position(), event.modifiers())
