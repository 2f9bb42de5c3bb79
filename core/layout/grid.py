"""Rectangles by name in a coarse grid: what is near a place, without looking at everything."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from core.layout.shapes import Rect


@dataclass
class Grid:
    """`rects` by name. A grid belongs to one layout once made; take a `copy` to change it."""

    pitch: float
    rects: dict[str, Rect] = field(default_factory=dict)
    cells: dict[tuple[int, int], tuple[str, ...]] = field(default_factory=dict)

    def copy(self) -> Grid:
        return Grid(self.pitch, dict(self.rects), dict(self.cells))

    def put(self, name: str, rect: Rect) -> None:
        old = self.rects.get(name)
        if old is not None:
            if self._span(old) == self._span(rect):
                self.rects[name] = rect
                return
            self.drop(name)
        self.rects[name] = rect
        for cell in self._cells(rect):
            self.cells[cell] = (*self.cells.get(cell, ()), name)

    def drop(self, name: str) -> None:
        old = self.rects.pop(name, None)
        if old is None:
            return
        for cell in self._cells(old):
            left = tuple(other for other in self.cells[cell] if other != name)
            if left:
                self.cells[cell] = left
            else:
                del self.cells[cell]

    def near(self, rect: Rect) -> list[str]:
        """The names whose rectangles overlap `rect`, sorted."""
        x, y, width, height = rect
        right, bottom = x + width, y + height
        pitch, cells = self.pitch, self.cells
        columns, rows = (
            range(int(x // pitch), int(right // pitch) + 1),
            range(int(y // pitch), int(bottom // pitch) + 1),
        )
        if len(columns) * len(rows) > len(self.rects):
            return sorted(overlapping(self.rects, rect))
        found: set[str] = set()
        for column in columns:
            for row in rows:
                names = cells.get((column, row))
                if names:
                    found.update(names)
        if not found:
            return []
        rects, inside = self.rects, []
        for name in found:
            left, top, wide, high = rects[name]
            if left < right and top < bottom and left + wide > x and top + high > y:
                inside.append(name)
        return sorted(inside)

    def _span(self, rect: Rect) -> tuple[int, int, int, int]:
        x, y, width, height = rect
        pitch = self.pitch
        return int(x // pitch), int((x + width) // pitch), int(y // pitch), int((y + height) // pitch)

    def _cells(self, rect: Rect) -> list[tuple[int, int]]:
        first, last, top, bottom = self._span(rect)
        return [(column, row) for column in range(first, last + 1) for row in range(top, bottom + 1)]


def overlapping(rects: Mapping[str, Rect], rect: Rect) -> list[str]:
    """The names whose rectangles overlap `rect`, by looking at all of them."""
    left, top = rect[0], rect[1]
    right, bottom = left + rect[2], top + rect[3]
    return [
        name
        for name, (x, y, width, height) in rects.items()
        if x < right and y < bottom and x + width > left and y + height > top
    ]


def union(rects: Iterable[Rect]) -> Rect:
    """The smallest rectangle around all of them; an empty one at the origin where there is none."""
    every = list(rects)
    if not every:
        return Rect(0.0, 0.0, 0.0, 0.0)
    left, top = min(r.x for r in every), min(r.y for r in every)
    right, bottom = max(r.right for r in every), max(r.bottom for r in every)
    return Rect(left, top, right - left, bottom - top)
