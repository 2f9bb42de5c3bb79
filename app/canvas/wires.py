"""Static wires: cached paths and the strokes that make a wire. Painted into the view's background."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPainterPath, QPolygonF

from app.canvas.dress import Glow
from app.canvas.index import POINTS, BoxIndex, CurveIndex, Rows
from app.canvas.joints import joint_reach, paint_joints
from app.canvas.overview import FACES_FROM, Block, paint_flat
from app.canvas.style import HALO_WIDTH, READABLE_FROM, Style, WirePens, pen
from core.layout.shapes import Curve, JointShape, Point, Rect

TRUE_CURVES_FROM = 1.5
DOTS_FROM = 0.4
DOT_STEP = 32.0
WIRES_A_STEP = 24
JOINTS_A_STEP = 100
LOOSE_RADIUS = 5.0
MARGIN = HALO_WIDTH


def path_of(curve: Curve) -> QPainterPath:
    path = QPainterPath(QPointF(*curve.a))
    path.cubicTo(QPointF(*curve.c1), QPointF(*curve.c2), QPointF(*curve.b))
    return path


def stroke_wire(painter: QPainter, path: QPainterPath, pens: WirePens, cased: bool = True) -> None:
    """A wire along a path: casing, core and stripe; or, from far away, one thin stroke."""
    if not cased:
        painter.strokePath(path, pens.thin)
        return
    painter.strokePath(path, pens.casing)
    painter.strokePath(path, pens.core)
    for stripe in pens.stripes:
        painter.strokePath(path, stripe)


def stroke_glowing(
    painter: QPainter, path: QPainterPath, colour: str | None, glow: Glow | None, style: Style, cased: bool
) -> None:
    """A wire as the position shown has it: live ones glow, dead and floating ones fade."""
    if glow == "live":
        painter.strokePath(path, style.glow_pen)
    stroke_wire(
        painter, path, style.faded(colour) if glow in ("dead", "floating") else style.wire(colour), cased
    )


class WireStore:
    """All curves but the fans, and the joints: what the background shows. Hidden ones are shown live."""

    def __init__(self, style: Style) -> None:
        self.style = style
        self.index = CurveIndex()
        self.joints: Mapping[str, JointShape] = {}
        self.joint_boxes = BoxIndex()
        self.temporary: frozenset[str] = frozenset()
        self.loose: dict[str, Point] = {}
        """Free ends of wires, and where they hang."""
        self.blocks: Mapping[str, Block] = {}
        self.block_boxes = BoxIndex()
        self.hidden: frozenset[str] = frozenset()
        self.hidden_joints: frozenset[str] = frozenset()
        self.hidden_blocks: frozenset[str] = frozenset()
        self.glow: Mapping[str, Glow] = {}
        self._paths: list[QPainterPath | None] = []

    def replace(
        self, curves: Mapping[str, Curve], joints: Mapping[str, JointShape], temporary: frozenset[str]
    ) -> list[Rect]:
        """Take a new layout's curves and joints. Returns the boxes of what changed."""
        rows, around = self.index.replace(curves)
        self._paths += [None] * (len(self.index.curves) - len(self._paths))
        for row in rows:
            self._paths[row] = None
        if rows:
            self.loose = dict(_loose_ends(self.index.curves))
        dirty = [around] if around is not None else []
        if joints is not self.joints or temporary != self.temporary:
            odd = self.temporary ^ temporary
            for name in self.joints.keys() | joints.keys():
                old, new = self.joints.get(name), joints.get(name)
                if old is not new or name in odd:
                    dirty += [_rect(joint_reach(j)) for j in (old, new) if j is not None]
            self.joints = joints
            self.temporary = temporary
            self.joint_boxes.replace({name: _rect(joint_reach(j)) for name, j in joints.items()})
        return dirty

    def hide(self, curves: Iterable[str], joints: Iterable[str], blocks: Iterable[str]) -> None:
        """Leave these out of the background: they are shown live."""
        self.hidden = frozenset(curves)
        self.hidden_joints = frozenset(joints)
        self.hidden_blocks = frozenset(blocks)

    def path(self, key: str) -> QPainterPath | None:
        """The whole path of a curve that is held, by key."""
        row = self.index.row_of.get(key)
        return None if row is None else self._path(row)

    def _path(self, row: int) -> QPainterPath:
        known = self._paths[row]
        if known is None:
            curve = self.index.curves[row]
            if curve is None:
                raise KeyError(row)
            known = self._paths[row] = path_of(curve)
        return known

    def count_in(self, exposed: QRectF) -> int:
        """How many wires pass near that rectangle: what a repaint of it will cost."""
        return len(self.index.rows_in(_rect(exposed)))

    def steps(
        self, painter: QPainter, exposed: QRectF, scale: float, fine: bool, narrow: bool
    ) -> Iterator[None]:
        """Paint everything inside the exposed rectangle, pausing now and then.

        `fine`: antialiased. `narrow`: the rectangle is a strip, paint only the pieces that pass it.
        """
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.fillRect(exposed, self.style.felt)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, fine)
        if scale >= DOTS_FROM:
            self._paint_dots(painter, exposed, scale)
        painter.setRenderHint(QPainter.RenderHint.TextAntialiasing, True)
        around = _rect(exposed.adjusted(-MARGIN, -MARGIN, MARGIN, MARGIN))
        rows = self.index.rows_in(around)
        cased = scale >= READABLE_FROM
        if narrow and scale < TRUE_CURVES_FROM:
            strokes = self._pieces(rows, around)
        else:
            strokes = self._wholes(rows)
        for done, (curve, path) in enumerate(strokes):
            self._paint_wire(painter, curve, path, cased)
            if done % WIRES_A_STEP == 0:
                yield
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
        names = [name for name in self.joint_boxes.meeting(around) if name not in self.hidden_joints]
        for first in range(0, len(names), JOINTS_A_STEP):
            some = [self.joints[name] for name in names[first : first + JOINTS_A_STEP]]
            paint_joints(painter, some, self.style, scale, self.temporary)
            yield
        if scale < FACES_FROM:
            for name in self.block_boxes.meeting(around):
                if name not in self.hidden_blocks:
                    block = self.blocks[name]
                    paint_flat(painter, block.shape_, block.worn, self.style, scale)
                    yield
        if cased:
            for end, at in self.loose.items():
                if around.contains(at) and f"wire:{end[:-2]}" not in self.hidden:
                    self._paint_loose(painter, end, at)

    def _paint_loose(self, painter: QPainter, end: str, at: Point) -> None:
        """A wire's end that hangs free: an open ring with the end's name."""
        style = self.style
        painter.setPen(style.open_pen)
        painter.setBrush(style.action_wash)
        painter.drawEllipse(QPointF(*at), LOOSE_RADIUS, LOOSE_RADIUS)
        text = style.text(end, "letters")
        painter.setPen(style.quiet)
        painter.setFont(style.letters)
        painter.drawStaticText(QPointF(at.x - text.size().width() / 2, at.y + LOOSE_RADIUS + 1), text)

    def _wholes(self, rows: Rows) -> Iterator[tuple[Curve, QPainterPath]]:
        curves = self.index.curves
        for row in rows.tolist():
            curve = curves[row]
            if curve is not None and curve.key not in self.hidden:
                yield curve, self._path(row)

    def _pieces(self, rows: Rows, around: Rect) -> Iterator[tuple[Curve, QPainterPath]]:
        points = self.index.points
        for row, first, last in self.index.runs_in(rows, around):
            curve = self.index.curves[row]
            if curve is not None and curve.key not in self.hidden:
                run = points[row, max(0, first - 1) : min(POINTS, last + 2)].tolist()
                path = QPainterPath()
                path.addPolygon(QPolygonF([QPointF(x, y) for x, y in run]))
                yield curve, path

    def _paint_wire(self, painter: QPainter, curve: Curve, path: QPainterPath, cased: bool) -> None:
        style = self.style
        if curve.role == "mate":
            painter.strokePath(path, style.border_pen)
            return
        stroke_glowing(painter, path, curve.colour, self.glow.get(curve.owner), style, cased)

    def _paint_dots(self, painter: QPainter, exposed: QRectF, scale: float) -> None:
        step = DOT_STEP if scale >= 0.8 else 2 * DOT_STEP
        left, top = int(exposed.left() // step), int(exposed.top() // step)
        right, bottom = int(exposed.right() // step) + 1, int(exposed.bottom() // step) + 1
        painter.setPen(pen(self.style.dot, 2.0 / min(scale, 1.0)))
        painter.drawPoints(
            QPolygonF(
                [QPointF(x * step, y * step) for x in range(left, right + 1) for y in range(top, bottom + 1)]
            )
        )


def _loose_ends(curves: Sequence[Curve | None]) -> Iterator[tuple[str, Point]]:
    for curve in curves:
        if curve is not None and curve.role == "wire":
            for end, at in zip(curve.ends, (curve.a, curve.b), strict=True):
                if ":" in end:
                    yield end, at


def drain(
    steps: Iterator[None], ms: float | None = None, clock: Callable[[], float] = time.perf_counter
) -> bool:
    """Run the steps to their end, or for that many milliseconds. True when they have ended."""
    stop = None if ms is None else clock() + ms / 1000
    for _ in steps:
        if stop is not None and clock() >= stop:
            return False
    return True


def _rect(rect: QRectF) -> Rect:
    return Rect(rect.x(), rect.y(), rect.width(), rect.height())
