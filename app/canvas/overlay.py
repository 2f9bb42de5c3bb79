"""Selection, hover, focus and conflicts: everything drawn over the map without touching its background."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainterPath

from app.canvas.badges import Badge, Halo
from app.canvas.ghost import Traced
from app.canvas.hit import Finder
from app.canvas.scene import MapScene
from app.canvas.trace import net_of
from app.canvas.wires import WireStore
from core.checks.finding import CheckResult, Conflict
from core.ids import kind_of, owner_of_end
from core.job.document import Job
from core.layout.shapes import Curve, FlagShape, Point

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
        if ref == self._traced:
            return
        self._traced = ref
        refs = net_of(job, ref) if ref else frozenset()
        # A thing alone has nothing to trace: fading the rest would only flicker.
        self._scene.trace.show_traced(self._pieces(refs) if len(refs) > 1 else None)

    def retrace(self, job: Job) -> None:
        """The same trace in a new layout."""
        ref, self._traced = self._traced, ""
        self.trace(job, ref)

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
        badges: list[Badge] = []
        taken: dict[tuple[int, int], int] = {}
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
                halos.append(Halo(conflict.level, chosen, wires))
            at = self.worst_point(conflict)
            if at is not None and conflict.follows_from is None:
                spot = round(at.x()), round(at.y())
                beside = taken.get(spot, 0)
                taken[spot] = beside + 1
                badges.append(Badge(conflict.key, conflict.level, Point(at.x() + 16 * beside, at.y())))
        self._scene.faults.show_faults(halos, badges)

    def worst_point(self, conflict: Conflict) -> QPointF | None:
        """Where a conflict's badge stands: beside its worst point, out of the way of words and wires."""
        finder = self._finder
        for ref in (*conflict.where, *conflict.wires):
            flag = finder.flag(ref) if kind_of(ref) == "terminal" else None
            if flag is not None:
                return _outer_corner(flag)
            mark = finder.mark_at(ref) or finder.wire_middle(owner_of_end(ref))
            if mark is not None:
                return mark
        return None

    def conflict_of(self, key: str) -> Conflict | None:
        conflicts = _shown(self._result, self._chosen)
        return next((conflict for conflict in conflicts if conflict.key == key), None)


def _outer_corner(flag: FlagShape) -> QPointF:
    return QPointF(flag.root.x, flag.rect.y + 2)


def _shown(result: CheckResult | None, chosen: Conflict | None) -> list[Conflict]:
    found = [c for c in result.conflicts if c.accepted is None] if result is not None else []
    if chosen is not None and all(c.key != chosen.key for c in found):
        found.append(chosen)
    # Notes first, so that the worse ones are painted over them.
    return sorted(found, key=lambda c: ("note", "look", "stop").index(c.level))
