"""When the view's cached background is painted: at once, as a draft, or in slices into a second image.

The view caches its background (`CacheBackground`). A small repaint is done inside the view's own paint
event. A large one is made in slices of a few milliseconds into a second image, while the old picture
stays; when the image is whole the cache takes it in one blit.
"""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QObject, QRectF, QSize, QTimer, Signal
from PySide6.QtGui import QImage, QPainter, QTransform
from PySide6.QtWidgets import QGraphicsScene, QGraphicsView

from app.canvas.wires import WireStore, drain

SLICE_MS = 4.0
REST_MS = 80
AT_ONCE = 250
"""So many wires are painted within one frame without a thought."""
NARROW_SHARE = 0.3


class _Picture:
    """An image in the making and the painter on it, which must end before the image goes."""

    def __init__(self, size: QSize, ratio: float, transform: QTransform) -> None:
        self.image = QImage(size, QImage.Format.Format_RGB32)
        self.image.setDevicePixelRatio(ratio)
        self.painter = QPainter(self.image)
        self.painter.setTransform(transform)

    def __del__(self) -> None:
        if self.painter.isActive():
            self.painter.end()


class Backdrop(QObject):
    """Paints the static wires and joints behind one view."""

    whole = Signal()
    """A picture made in slices has been put up."""

    def __init__(self, view: QGraphicsView, store: WireStore) -> None:
        super().__init__(view)
        self._view = view
        self.store = store
        self._turning = False
        self._picture: _Picture | None = None
        self._steps: Iterator[None] | None = None
        self._made_for = QTransform()
        self._ready: QImage | None = None
        self._slices = QTimer(self)
        self._slices.setInterval(0)
        self._slices.timeout.connect(self._slice)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self._rested)

    @property
    def busy(self) -> bool:
        """Whether a better picture is still to come."""
        return self._slices.isActive() or self._rest.isActive()

    def draw(self, painter: QPainter, exposed: QRectF) -> None:
        """Answer the view's drawBackground."""
        transform = self._view.viewportTransform()
        if self._ready is not None and transform == self._made_for:
            painter.save()
            painter.resetTransform()
            painter.drawImage(0, 0, self._ready)
            painter.restore()
            self._ready = None
            return
        self._ready = None
        for strip in self._strips(painter, exposed):
            painter.save()
            painter.setClipRect(strip)
            fine = not self._turning or self.store.count_in(strip) <= AT_ONCE
            scale = self._view.transform().m11()
            drain(self.store.steps(painter, strip, scale, fine, self._is_narrow(strip, scale)))
            painter.restore()

    def _strips(self, painter: QPainter, exposed: QRectF) -> list[QRectF]:
        """The rectangles to paint: a slanting pan exposes two strips, whose common box is the whole view."""
        if not painter.hasClipping():
            return [exposed]
        painter.save()
        painter.resetTransform()
        region = painter.clipRegion()
        painter.restore()
        back, sound = self._view.viewportTransform().inverted()
        if not sound or region.rectCount() > 4:
            return [exposed]
        return [back.mapRect(QRectF(rect).adjusted(-1, -1, 1, 1)) for rect in region]  # type: ignore[attr-defined]

    def _is_narrow(self, strip: QRectF, scale: float) -> bool:
        port = self._view.viewport().size()
        area = strip.width() * strip.height() * scale * scale
        return area < NARROW_SHARE * port.width() * port.height()

    def refresh(self, rects: list[QRectF] | None = None) -> None:
        """What stands in these rectangles (None: everywhere) is another picture now."""
        if rects is not None and not rects:
            return
        around = self._visible()
        if rects is not None:
            covered = QRectF()
            for rect in rects:
                covered = covered.united(rect.adjusted(-8, -8, 8, 8))
            around = covered.intersected(around)
            if around.isEmpty():
                return
        if not self._slices.isActive() and self.store.count_in(around) <= AT_ONCE:
            self._ready = None
            self._view.invalidateScene(around, QGraphicsScene.SceneLayer.BackgroundLayer)
        else:
            self.begin_slices()

    def begin_slices(self) -> None:
        """Start (again) on a whole new picture, a few milliseconds at a time."""
        self._abandon()
        port = self._view.viewport()
        ratio = port.devicePixelRatioF()
        size = QSize(round(port.width() * ratio), round(port.height() * ratio))
        if size.isEmpty():
            return
        self._made_for = self._view.viewportTransform()
        self._picture = _Picture(size, ratio, self._made_for)
        self._steps = self.store.steps(
            self._picture.painter, self._visible(), self._view.transform().m11(), fine=True, narrow=False
        )
        self._slices.start()

    def finish(self) -> None:
        """Bring the best picture up now, however long it takes."""
        self._rest.stop()
        self._turning = False
        if self._steps is not None:
            while self._slices.isActive():
                self._slice()
        else:
            self._put_up()

    def moved(self) -> None:
        """The view was scrolled: a picture in the making is of another place."""
        if self._steps is not None:
            self._abandon()
            self._rest.start()

    def turn(self) -> None:
        """The scale is changing: draw drafts until it has rested."""
        self._abandon()
        self._turning = True
        self._rest.start()

    def _rested(self) -> None:
        if self._turning and self.store.count_in(self._visible()) <= AT_ONCE:
            self._turning = False
            return
        self._turning = False
        self.begin_slices()

    def _slice(self) -> None:
        if self._picture is None or self._steps is None or not drain(self._steps, SLICE_MS):
            return
        self._picture.painter.end()
        self._ready = self._picture.image
        self._picture = self._steps = None
        self._slices.stop()
        self._put_up()
        self.whole.emit()

    def _put_up(self) -> None:
        self._view.resetCachedContent()
        self._view.viewport().update()

    def stop(self) -> None:
        """The view is hidden: nothing more is painted until it is shown again."""
        self._abandon()
        self._rest.stop()
        self._turning = False

    def _abandon(self) -> None:
        self._slices.stop()
        self._steps = self._picture = self._ready = None

    def _visible(self) -> QRectF:
        return self._view.mapToScene(self._view.viewport().rect()).boundingRect().adjusted(-1, -1, 1, 1)
