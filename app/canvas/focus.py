"""Walking the map by keyboard: what comes next in a direction."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

import numpy as np

from app.canvas.hit import Finder
from app.canvas.index import Floats
from app.canvas.wires import WireStore

Way = Literal["left", "right", "up", "down"]
STEPS: dict[Way, tuple[int, int]] = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}
ASIDE = 2.5
"""How much more a step aside counts than a step ahead."""


class Walker:
    """Finds the neighbour of a thing among flags, bare cavities, joints, free ends, parts and notes."""

    def __init__(self, finder: Finder, store: WireStore) -> None:
        self._finder = finder
        self._store = store
        self._refs: list[str] = []
        self._points: Floats = np.zeros((0, 2), dtype=np.float32)
        self._row: dict[str, int] = {}

    def forget(self) -> None:
        """The layout is another one now."""
        self._refs = []

    def targets(self) -> list[str]:
        """Everything that can be joined, from left to right and top to bottom of each part."""
        self._collect()
        layout = self._finder.layout
        return [ref for ref in self._refs if ref not in layout.blocks and ref not in layout.notes]

    def first(self) -> str:
        self._collect()
        return self._refs[0] if self._refs else ""

    def next(self, ref: str, way: Way, among: Iterable[str] | None = None) -> str:
        """The nearest thing in that direction; the same one where there is none."""
        self._collect()
        if ref not in self._row:
            return self.first()
        rows = np.arange(len(self._refs))
        if among is not None:
            wanted = set(among) | {ref}
            rows = np.array([self._row[name] for name in self._refs if name in wanted])
        here = self._points[self._row[ref]]
        across, down = STEPS[way]
        off = self._points[rows] - here
        ahead = off[:, 0] * across + off[:, 1] * down
        aside = np.abs(off[:, 0] * down) + np.abs(off[:, 1] * across)
        cost = np.where(ahead > 1.0, ahead + ASIDE * aside, np.inf)
        best = int(cost.argmin())
        return self._refs[int(rows[best])] if np.isfinite(cost[best]) else ref

    def _collect(self) -> None:
        if self._refs:
            return
        layout = self._finder.layout
        points: list[tuple[float, float]] = []

        def take(ref: str, x: float, y: float) -> None:
            self._refs.append(ref)
            points.append((x, y))

        for name, block in layout.blocks.items():
            take(name, block.core.x + block.core.width / 2, block.core.y + 12)
            for flag in block.flags:
                take(flag.terminal, flag.rect.x + flag.rect.width / 2, flag.rect.y + flag.rect.height / 2)
            for face in block.faces:
                for cell in face.cavities:
                    if not cell.blocked and cell.terminal not in layout.flag_of:
                        rect = cell.rect
                        take(cell.terminal, rect.x + rect.width / 2, rect.y + rect.height / 2)
        for name, joint in layout.joints.items():
            take(name, *joint.centre)
        for end, at in self._store.loose.items():
            take(end, *at)
        for name, note in layout.notes.items():
            take(name, note.x + note.width / 2, note.y + note.height / 2)
        self._points = np.array(points, dtype=np.float32).reshape(-1, 2)
        self._row = {ref: row for row, ref in enumerate(self._refs)}
