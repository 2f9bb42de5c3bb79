"""Where the curves are, as numpy arrays: what lies in a rectangle, what lies under the pointer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from core.layout.shapes import Curve, Point, Rect

POINTS = 64
"""Points that a curve is flattened to."""
SPARE = 256

Floats = NDArray[np.float32]
Rows = NDArray[np.intp]

_T = np.linspace(0.0, 1.0, POINTS, dtype=np.float64)
_BASIS = np.stack([(1 - _T) ** 3, 3 * _T * (1 - _T) ** 2, 3 * _T**2 * (1 - _T), _T**3], axis=1)


def flattened(curves: Sequence[Curve]) -> Floats:
    """The curves as points: an array of (curves, POINTS, 2)."""
    if not curves:
        return np.zeros((0, POINTS, 2), dtype=np.float32)
    controls = np.array([(c.a, c.c1, c.c2, c.b) for c in curves], dtype=np.float64)
    points: Floats = np.einsum("pk,nkd->npd", _BASIS, controls).astype(np.float32)
    return points


class CurveIndex:
    """Flattened curves and their boxes, in rows. A row keeps its number while its curve is on the map."""

    def __init__(self) -> None:
        self.row_of: dict[str, int] = {}
        self.curves: list[Curve | None] = []
        self.points: Floats = np.zeros((0, POINTS, 2), dtype=np.float32)
        self.boxes: Floats = np.zeros((0, 4), dtype=np.float32)
        self._free: list[int] = []

    def replace(self, curves: Mapping[str, Curve]) -> tuple[list[int], Rect | None]:
        """Take these curves for the ones held. Returns the rows that differ and a box around."""
        gone = [key for key in self.row_of if key not in curves]
        fresh = [
            curve
            for key, curve in curves.items()
            if (row := self.row_of.get(key)) is None or self.curves[row] is not curve
        ]
        rows: list[int] = []
        dirty = [self.boxes[self.row_of[key]] for key in gone]
        dirty += [self.boxes[self.row_of[c.key]] for c in fresh if c.key in self.row_of]
        old = np.array(dirty, dtype=np.float32).reshape(-1, 4)
        for key in gone:
            row = self.row_of.pop(key)
            self.curves[row] = None
            self.boxes[row] = (np.inf, np.inf, -np.inf, -np.inf)
            self._free.append(row)
            rows.append(row)
        places = [self._row_for(curve) for curve in fresh]
        if fresh:
            self._grow(len(self.curves))
            points = flattened(fresh)
            self.points[places] = points
            self.boxes[places] = np.concatenate([points.min(axis=1), points.max(axis=1)], axis=1)
        rows += places
        return rows, _around(np.concatenate([old, self.boxes[places]]))

    def _row_for(self, curve: Curve) -> int:
        row = self.row_of.get(curve.key)
        if row is None:
            if self._free:
                row = self._free.pop()
            else:
                row = len(self.curves)
                self.curves.append(None)
            self.row_of[curve.key] = row
        self.curves[row] = curve
        return row

    def _grow(self, size: int) -> None:
        if size > len(self.points):
            more = size + SPARE - len(self.points)
            self.points = np.concatenate([self.points, np.zeros((more, POINTS, 2), dtype=np.float32)])
            empty = np.tile(np.array([np.inf, np.inf, -np.inf, -np.inf], dtype=np.float32), (more, 1))
            self.boxes = np.concatenate([self.boxes, empty])

    def rows_in(self, rect: Rect) -> Rows:
        """Rows whose box meets the rectangle, in drawing order."""
        boxes = self.boxes
        return np.flatnonzero(
            (boxes[:, 0] <= rect.right)
            & (boxes[:, 2] >= rect.x)
            & (boxes[:, 1] <= rect.bottom)
            & (boxes[:, 3] >= rect.y)
        )

    def runs_in(self, rows: Rows, rect: Rect) -> list[tuple[int, int, int]]:
        """(row, first point, last point) of the piece of each of these rows that passes the rectangle."""
        points = self.points[rows]
        low = np.minimum(points[:, :-1], points[:, 1:])
        high = np.maximum(points[:, :-1], points[:, 1:])
        inside = (
            (low[:, :, 0] <= rect.right)
            & (high[:, :, 0] >= rect.x)
            & (low[:, :, 1] <= rect.bottom)
            & (high[:, :, 1] >= rect.y)
        )
        touched = inside.any(axis=1)
        first = inside.argmax(axis=1)
        last = POINTS - 1 - inside[:, ::-1].argmax(axis=1)
        return [
            (int(row), int(f), int(t))
            for row, f, t in zip(rows[touched], first[touched], last[touched], strict=True)
        ]

    def nearest(self, point: Point, within: float) -> Curve | None:
        """The curve that passes nearest to the point, at most that far away."""
        x, y = point
        rows = self.rows_in(Rect(x - within, y - within, 2 * within, 2 * within))
        if not len(rows):
            return None
        start = self.points[rows, :-1].astype(np.float64)
        along = self.points[rows, 1:] - start
        toward = np.array(point, dtype=np.float64) - start
        length = (along**2).sum(axis=2)
        share = np.clip((toward * along).sum(axis=2) / np.where(length > 0, length, 1.0), 0.0, 1.0)
        apart = ((toward - share[:, :, None] * along) ** 2).sum(axis=2).min(axis=1)
        best = int(apart.argmin())
        return self.curves[int(rows[best])] if apart[best] <= within**2 else None


class BoxIndex:
    """Rectangles by id, for the blocks, joints and notes under a point or in a rectangle."""

    def __init__(self) -> None:
        self._ids: list[str] = []
        self._boxes: Floats = np.zeros((0, 4), dtype=np.float32)

    def replace(self, rects: Mapping[str, Rect]) -> None:
        self._ids = list(rects)
        boxes = [(r.x, r.y, r.x + r.width, r.y + r.height) for r in rects.values()]
        self._boxes = np.array(boxes, dtype=np.float32).reshape(-1, 4)

    def meeting(self, rect: Rect) -> list[str]:
        """Ids whose rectangle meets that one, in order."""
        boxes = self._boxes
        found = np.flatnonzero(
            (boxes[:, 0] <= rect.right)
            & (boxes[:, 2] >= rect.x)
            & (boxes[:, 1] <= rect.bottom)
            & (boxes[:, 3] >= rect.y)
        )
        return [self._ids[row] for row in found]

    def around(self) -> Rect | None:
        return _around(self._boxes)


def _around(boxes: Floats) -> Rect | None:
    if not len(boxes):
        return None
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    return Rect(float(low[0]), float(low[1]), float(high[0] - low[0]), float(high[1] - low[1]))


def union(rects: Iterable[Rect]) -> Rect | None:
    """The smallest rectangle around all of these."""
    all_rects = list(rects)
    if not all_rects:
        return None
    left, top = min(r.x for r in all_rects), min(r.y for r in all_rects)
    return Rect(left, top, max(r.right for r in all_rects) - left, max(r.bottom for r in all_rects) - top)
