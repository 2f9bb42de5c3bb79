"""The map on the screen: zoom, pan, and the doors through which window and gestures reach it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QFocusEvent,
    QHideEvent,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QPixmapCache,
    QResizeEvent,
    QTransform,
    QWheelEvent,
)
from PySide6.QtWidgets import QGraphicsView, QWidget

from app.canvas.access import announce
from app.canvas.backdrop import Backdrop
from app.canvas.conflict_card import ConflictCard
from app.canvas.describe import describe
from app.canvas.dress import Glow
from app.canvas.focus import Walker
from app.canvas.hit import Finder, Hit
from app.canvas.overlay import Overlay
from app.canvas.overview import FACES_FROM
from app.canvas.room import free_corner
from app.canvas.scene import MapScene
from app.canvas.sight import around_things, extent
from app.canvas.style import Style
from app.canvas.sync import Sync
from app.canvas.wires import WireStore
from app.session import Session
from app.theme import Tokens
from app.tools.gestures import Gestures
from app.work.live import glow_of, words_at
from core.checks.finding import Conflict
from core.ids import kind_of
from core.job.parts import Part
from core.layout.shapes import Rect

LEAST_SCALE = 0.02
MOST_SCALE = 8.0
FIT_MARGIN = 8
FIT_MOST = 1.25
CACHE_KB = 256 * 1024
"""Room for the blocks' pictures; Qt's own 10 MB hold only a few at double pixel ratio."""


class MapView(QGraphicsView):
    """Shows one session's job and lets it be edited by hand."""

    status_text = Signal(object)
    """str: one line about what the pointer or the keyboard is on."""
    part_dropped = Signal(object)
    """(library entry, x, y): a part was dragged here from the shelf."""
    conflict_mend = Signal(object)
    """Mend: its button was pressed."""
    conflict_shown = Signal(object)
    """str: key of the conflict whose callout is open, empty where none is."""
    hovered = Signal(object)
    """str: id under the pointer, empty where nothing is."""
    note_opened = Signal(object)
    """str: a note was double-clicked."""
    menu_wanted = Signal(object)
    """(id or empty, QPoint on the screen)."""

    def __init__(self, session: Session, tokens: Tokens, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.tokens = tokens
        self.style_ = Style(tokens)
        if QPixmapCache.cacheLimit() < CACHE_KB:
            QPixmapCache.setCacheLimit(CACHE_KB)
        self.map_scene = MapScene(self.style_, self)
        self.store = WireStore(self.style_)
        self.backdrop = Backdrop(self, self.store)
        self.sync = Sync(self.map_scene, self.store, session, self.style_)
        self.finder = Finder(self.store)
        self.finder.show(self.sync.layout)
        self.overlay = Overlay(self.map_scene, self.store, self.finder)
        self.walker = Walker(self.finder, self.store)
        self.card = ConflictCard(self, tokens)
        self.gestures = Gestures(self)
        self.focus_ref = ""
        self.hover_ref = ""
        self._fitted = False
        self._set_up()
        self._connect()

    def _set_up(self) -> None:
        self.setScene(self.map_scene)
        self.setCacheMode(QGraphicsView.CacheModeFlag.CacheBackground)
        self.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.FullViewportUpdate)
        self.setOptimizationFlags(
            QGraphicsView.OptimizationFlag.DontSavePainterState
            | QGraphicsView.OptimizationFlag.DontAdjustForAntialiasing
        )
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QGraphicsView.Shape.NoFrame)
        self.setMouseTracking(True)
        self.viewport().setMouseTracking(True)
        self.setAcceptDrops(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Wiring map")
        self.viewport().grabGesture(Qt.GestureType.PinchGesture)

    def _connect(self) -> None:
        self.sync.redrawn.connect(self._redrawn)
        self.sync.moved.connect(self._relaid)
        self.session.selection_changed.connect(self._show_selection)
        self.session.checked.connect(self._show_result)
        self.session.shown_changed.connect(self._show_shown)
        self.card.callout.mend_wanted.connect(self.conflict_mend)
        self.card.callout.closed.connect(lambda: self.show_conflict(None))
        if self.session.result is not None:
            self.sync.take_result(self.session.result)
            self._show_result(self.session.result)

    # What the window asks for

    @property
    def conflict_key(self) -> str:
        """The conflict whose callout is open; empty where none is."""
        return self.overlay.chosen.key if self.overlay.chosen is not None else ""

    def set_tokens(self, tokens: Tokens) -> None:
        if tokens == self.tokens:
            return
        self.tokens = tokens
        self.style_ = Style(tokens)
        self.store.style = self.style_
        self.sync.set_style(self.style_)
        self.map_scene.set_style(self.style_)
        self.card.callout.set_tokens(tokens)
        self.resetCachedContent()
        self.viewport().update()

    def fit(self) -> None:
        """Show the whole map."""
        self._show_rect(extent(self.sync.layout), FIT_MOST)

    def zoom_to(self, refs: Iterable[str]) -> None:
        """Show these things, as near as is good to read."""
        around = around_things(self.finder, refs)
        if around is not None:
            self._show_rect(around.adjusted(-60, -60, 60, 60), FIT_MOST)

    def reveal(self, refs: Iterable[str]) -> None:
        """Scroll just so far that these things are in sight."""
        around = around_things(self.finder, refs)
        if around is not None and not self.visible_rect().contains(around):
            self.show_scale(self.scale_now, self.viewport().rect().center(), around.center())

    def zoom_by(self, factor: float, at: QPointF | None = None) -> None:
        """Zoom in or out; what is under `at` (of the view; its middle) stays where it is."""
        point = at if at is not None else QPointF(self.viewport().rect().center())
        held = self.scene_point(point)
        scale = min(max(self.scale_now * factor, LEAST_SCALE), MOST_SCALE)
        if scale != self.scale_now:
            self.backdrop.turn()
            self.show_scale(scale, point, held)

    def show_conflict(self, conflict: Conflict | None) -> None:
        """Open the callout of a conflict, bring it into sight and light its halo; None closes it."""
        self.card.choose(conflict)
        self.conflict_shown.emit(self.conflict_key)

    def show_live(self, states: Mapping[str, Glow]) -> None:
        """Let live leads and wires glow and dead ones fade, by id of terminal, wire or conductor."""
        if states != self.store.glow:
            self.sync.show_live(dict(states))
            self.backdrop.refresh()

    def begin_join(self, end: str) -> None:
        self.gestures.begin_join(end)

    def begin_typed_connection(self, end: str) -> None:
        self.gestures.begin_typed(end)

    def begin_swap(self, terminal: str) -> None:
        self.gestures.begin_swap(terminal)

    def begin_move(self, refs: Sequence[str]) -> None:
        self.gestures.begin_move(refs)

    def cancel(self) -> None:
        """End whatever gesture is under way; nothing is changed."""
        self.gestures.cancel()

    def centre_of_map(self) -> tuple[float, float]:
        """The point of the map in the middle of the view."""
        centre = self.visible_rect().center()
        return round(centre.x()), round(centre.y())

    def free_place_for(self, part: Part) -> tuple[float, float]:
        """A corner near the middle of the view where the part would cover nothing."""
        return free_corner(self.sync.layout, part, self.visible_rect())

    # What gestures ask for

    @property
    def scale_now(self) -> float:
        return self.transform().m11()

    def scene_point(self, at: QPointF) -> QPointF:
        """A point of the view, in map units, to a fraction of a pixel."""
        back, _ = self.viewportTransform().inverted()
        return back.map(at)

    def visible_rect(self) -> QRectF:
        return self.mapToScene(self.viewport().rect()).boundingRect()

    def hit(self, at: QPointF) -> Hit:
        """What lies under a point of the view."""
        return self.finder.hit(self.scene_point(at), self.scale_now)

    def say(self, text: str) -> None:
        self.status_text.emit(text)

    def describe(self, ref: str) -> str:
        level = words_at(self.session.shown, ref)
        return describe(self.session.job, self.session.library, ref, level) if ref else ""

    def hover(self, ref: str) -> None:
        """Trace what the pointer is on; the empty string ends it."""
        if ref == self.hover_ref:
            return
        self.hover_ref = ref
        traced = ref if ref and kind_of(ref) in ("terminal", "joint", "wire", "conductor", "wire end") else ""
        self.overlay.trace(self.session.job, traced)
        self.hovered.emit(ref)
        self.say(self.describe(ref))

    def focus_on(self, ref: str, in_sight: bool = True) -> None:
        """Put the keyboard's ring on a thing and say its name."""
        self.focus_ref = ref
        self.overlay.show_focus(ref)
        if ref and in_sight:
            self.reveal([ref])
        self.announce_target(ref)
        self.say(self.describe(ref))

    def announce_target(self, ref: str) -> None:
        """Have screen readers say what the keyboard is on."""
        announce(self, self.describe(ref))

    def scroll_by(self, across: float, down: float) -> None:
        """Move the view over the map, in pixels."""
        self.horizontalScrollBar().setValue(self.horizontalScrollBar().value() + round(across))
        self.verticalScrollBar().setValue(self.verticalScrollBar().value() + round(down))

    # Geometry

    def _show_rect(self, rect: QRectF, most: float) -> None:
        port = self.viewport().rect()
        width = max(port.width() - 2 * FIT_MARGIN, 50.0)
        height = max(port.height() - 2 * FIT_MARGIN, 50.0)
        scale = min(width / max(rect.width(), 1.0), height / max(rect.height(), 1.0), most)
        self.show_scale(max(scale, LEAST_SCALE), QPointF(port.center()), rect.center())

    def show_scale(self, scale: float, at: QPointF | QPoint, point: QPointF) -> None:
        """Set the scale so that `point` of the map stands at `at` of the view."""
        if scale != self.scale_now:
            self.setTransform(QTransform.fromScale(scale, scale))
            self._cull()
        off = self.viewportTransform().map(point) - QPointF(at)
        self.scroll_by(off.x(), off.y())

    # What the session tells

    def _redrawn(self, where: tuple[list[QRectF], list[QRectF]]) -> None:
        wires, blocks = where
        self.backdrop.refresh([*wires, *(blocks if self.scale_now < FACES_FROM else ())])

    def _cull(self) -> None:
        """Draw as items only the blocks in sight, and none where they are flat in the background."""
        seen = self.visible_rect()
        near = self.scale_now >= FACES_FROM
        around = Rect(seen.x() - 60, seen.y() - 60, seen.width() + 120, seen.height() + 120)
        self.map_scene.show_only(self.store.block_boxes.meeting(around) if near else ())

    def _relaid(self) -> None:
        self.finder.show(self.sync.layout)
        self._cull()
        self.walker.forget()
        job = self.session.job
        self.overlay.show_selected(self.session.selection)
        self.overlay.retrace(job)
        self.overlay.show_result(self.session.result)
        self.overlay.show_focus(self.focus_ref if self.finder.outline(self.focus_ref or "-") else "")
        self.gestures.document_changed()
        self.card.place()

    def _show_selection(self, refs: frozenset[str]) -> None:
        self.overlay.show_selected(refs)
        if len(refs) == 1:
            self.focus_on(next(iter(refs)), in_sight=False)

    def _show_result(self, result: object) -> None:
        self.card.show_result(self.session.result)

    def _show_shown(self, _: object) -> None:
        self.show_live(glow_of(self.session.shown))
        self.overlay.retrace(self.session.job)
        if self.hover_ref:
            self.say(self.describe(self.hover_ref))

    # Events

    def drawBackground(self, painter: QPainter, rect: QRectF | QRect) -> None:
        self.backdrop.draw(painter, QRectF(rect))

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        super().scrollContentsBy(dx, dy)
        self._cull()
        self.backdrop.moved()
        self.card.place()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._cull()
        if not self._fitted and event.size().width() > 100:
            self._fitted = True
            self.fit()
        self.card.place()

    def hideEvent(self, event: QHideEvent) -> None:
        self.backdrop.stop()
        self.resetCachedContent()
        super().hideEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        self.gestures.wheel(event)

    def viewportEvent(self, event: QEvent) -> bool:
        if isinstance(event, QNativeGestureEvent) or event.type() in (QEvent.Type.Gesture, QEvent.Type.Leave):
            self.gestures.touch(event)
        return super().viewportEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.gestures.press(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self.gestures.move(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self.gestures.release(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self.gestures.double_click(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        self.gestures.menu(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self.gestures.key(event):
            event.ignore()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        self.gestures.key_up(event)

    def focusNextPrevChild(self, forward: bool) -> bool:
        return self.gestures.tab(forward) or super().focusNextPrevChild(forward)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self.gestures.cancel()
        super().focusOutEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.ActivationChange and not self.isActiveWindow():
            self.gestures.cancel()
        super().changeEvent(event)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        self.gestures.drag_enter(event)

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        self.gestures.drag_move(event)

    def dragLeaveEvent(self, event: QDragLeaveEvent) -> None:
        self.gestures.drag_leave()

    def dropEvent(self, event: QDropEvent) -> None:
        self.gestures.drop(event)
