"""Selection, hover, focus and conflicts: everything drawn over the map without touching its background."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import chain

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainterPath

from app.canvas.badges import BADGE_RADIUS, Badge, Halo
from app.canvas.ghost import Traced
from app.canvas.hit import Finder
from app.canvas.scene import MapScene
from app.canvas.steps import StepMark
from app.canvas.trace import net_of
from app.canvas.wires import WireStore
from core.checks.finding import CheckResult, Conflict
from core.ids import kind_of, owner_of_end
from core.job.document import Job
from core.layout.shapes import Curve, FlagShape, JointShape, Point, Rect

WIRE_KINDS = ("wire", "conductor", "wire end", "terminal")


class Overlay:
    """Fills the items that lie over the blocks."""

    def __init__(self, scene: MapScene, store: WireStore, finder: Finder) -> None:
        self._scene = scene
        self._store = store
        self._finder = finder
        self._result: CheckResult | None = None
        self._chosen: Conflict | None = None
        self._traced = ""
        self._way: tuple[str, ...] = ()
        self._way_level = ""
        self._told = 0

    def _paths(self, owner: str) -> list[tuple[Curve, QPainterPath]]:
        found = ((curve, self._store.path(curve.key)) for curve in self._finder.wires_of(owner))
        return [(curve, path) for curve, path in found if path is not None]

    def show_selected(self, refs: Iterable[str]) -> None:
        outlines = []
        wires: list[tuple[Curve, QPainterPath]] = []
        for ref in refs:
            outline = self._finder.outline(ref)
            if outline is not None:
                outlines.append(outline)
            elif kind_of(ref) in ("wire", "conductor"):
                wires += self._paths(ref)
        self._scene.marks.show_selected(outlines, wires)

    def show_focus(self, ref: str) -> None:
        if not ref:
            self._scene.marks.show_focus(None)
            return
        outline = self._finder.outline(ref)
        middle = self._finder.wire_middle(ref) if outline is None else None
        if middle is not None:
            outline = QRectF(middle.x() - 8, middle.y() - 8, 16, 16), 8.0
        self._scene.marks.show_focus(outline)

    def trace(self, job: Job, ref: str) -> None:
        """Bring out everything joined to `ref`, fade the rest; the empty string ends it."""
        if ref != self._traced:
            self._traced = ref
            self.retrace(job)

    def retrace(self, job: Job) -> None:
        """The same trace in a new layout. While a conflict explains itself, its way is shown instead."""
        if self._way:
            pieces = replace(self._pieces(frozenset(self._way)), level=self._way_level)
            self._scene.trace.show_traced(pieces)
            marks = (self._step_mark(number, ref) for number, ref in enumerate(self._way, start=1))
            self._scene.steps.show_steps([mark for mark in marks if mark is not None], self._told)
            return
        self._scene.steps.show_steps((), 0)
        refs = net_of(job, self._traced) if self._traced else frozenset()
        # A thing alone has nothing to trace: fading the rest would only flicker.
        self._scene.trace.show_traced(self._pieces(refs) if len(refs) > 1 else None)

    def show_way(self, job: Job, refs: Sequence[str], told: int = 0, level: str = "") -> None:
        """Bring out the way of a conflict with its steps numbered from 1, `told` the one told now; no ids end
        it.
        """
        self._way, self._told, self._way_level = tuple(refs), told, level
        self.retrace(job)

    def _step_mark(self, number: int, ref: str) -> StepMark | None:
        flag = self._finder.flag(ref) if kind_of(ref) == "terminal" else None
        middle = self._finder.wire_middle(owner_of_end(ref)) if flag is None else None
        at = _beside(flag) if flag is not None else self._finder.mark_at(ref) or middle
        return None if at is None else StepMark(number, at, self._finder.outline(ref))

    def _pieces(self, refs: frozenset[str]) -> Traced:
        layout, finder, scene = self._finder.layout, self._finder, self._scene
        owners = dict.fromkeys(owner_of_end(ref) for ref in sorted(refs) if kind_of(ref) in WIRE_KINDS)
        flags, cells = [], []
        for ref in refs:
            flag, cell = finder.flag(ref), finder.cell(ref) if kind_of(ref) == "terminal" else None
            block = scene.blocks.get(layout.block_of.get(ref.partition(".")[0], ""))
            if block is None:
                continue
            if flag is not None and ref in block.worn.flags:
                flags.append((flag, block.worn.flags[ref]))
            if cell is not None and cell.terminal in block.worn.cavities:
                cells.append((cell, block.worn.cavities[cell.terminal]))
        fans = [piece for block in scene.blocks.values() for piece in block.fan if piece[0].owner in refs]
        return Traced(
            wires=[*fans, *(piece for owner in owners for piece in self._paths(owner))],
            flags=flags,
            cells=cells,
            joints=[layout.joints[ref] for ref in refs if ref in layout.joints],
        )

    def show_result(self, result: CheckResult | None) -> None:
        self._result = result
        self._show_faults()

    def choose(self, conflict: Conflict | None) -> None:
        self._chosen = conflict
        self._show_faults()

    @property
    def chosen(self) -> Conflict | None:
        return self._chosen

    def _show_faults(self) -> None:
        halos: list[Halo] = []
        badges: dict[tuple[float, float], Badge] = {}
        for conflict in _shown(self._result, self._chosen):
            chosen = self._chosen is not None and conflict.key == self._chosen.key
            owners = dict.fromkeys((*conflict.wires, *conflict.where, *(conflict.path if chosen else ())))
            wires = tuple(
                piece
                for ref in owners
                if kind_of(ref) in WIRE_KINDS
                for piece in self._paths(owner_of_end(ref))
            )
            if wires:
                halos.append(Halo(conflict.level, chosen, wires, self._joints_of(wires)))
            at = self.worst_point(conflict)
            if at is not None and conflict.follows_from is None:
                # One badge a place, the worst: the list beside the map has them all.
                badges[at.x(), at.y()] = Badge(conflict.key, conflict.level, Point(at.x(), at.y()))
        self._scene.faults.show_faults(halos, tuple(badges.values()))

    def _joints_of(self, wires: Iterable[tuple[Curve, QPainterPath]]) -> tuple[JointShape, ...]:
        """The joints on and near these wires: painted again over the halo, with their names."""
        boxes = (path.boundingRect().adjusted(-8, -8, 8, 8) for _, path in wires)
        rects = (Rect(box.x(), box.y(), box.width(), box.height()) for box in boxes)
        names = (self._store.joint_boxes.meeting(rect) for rect in rects)
        return tuple(self._finder.layout.joints[name] for name in dict.fromkeys(chain.from_iterable(names)))

    def worst_point(self, conflict: Conflict) -> QPointF | None:
        """Where a conflict's badge stands: beside its worst point, out of the way of words and wires."""
        finder = self._finder
        for ref in (*conflict.where, *conflict.wires):
            flag = finder.flag(ref) if kind_of(ref) == "terminal" else None
            if flag is not None:
                return _beside(flag)
            mark = finder.mark_at(ref) or finder.wire_middle(owner_of_end(ref))
            if mark is not None:
                return mark
        return None

    def conflict_of(self, key: str) -> Conflict | None:
        conflicts = _shown(self._result, self._chosen)
        return next((conflict for conflict in conflicts if conflict.key == key), None)


def _beside(flag: FlagShape) -> QPointF:
    """Where the flag's lead comes in: no words stand there."""
    way = 1.0 if flag.turned == "right" else -1.0
    return QPointF(flag.root.x - way * (BADGE_RADIUS + 1), flag.rect.y + flag.rect.height / 2)


def _shown(result: CheckResult | None, chosen: Conflict | None) -> list[Conflict]:
    found = [c for c in result.conflicts if c.accepted is None] if result is not None else []
    if chosen is not None and all(c.key != chosen.key for c in found):
        found.append(chosen)
    # Notes first, so that the worse ones are painted over them.
    return sorted(found, key=lambda c: ("note", "look", "stop").index(c.level))
