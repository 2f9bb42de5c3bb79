"""What lies under a point of the map, and where a thing stands on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QPointF, QRectF

from app.canvas.connector import cell_at
from app.canvas.joints import RADIUS
from app.canvas.wires import LOOSE_RADIUS, WireStore
from core.ids import kind_of, part_of
from core.layout.metrics import FLAG_HEIGHT
from core.layout.shapes import BlockShape, CavityShape, Curve, FlagShape, MapLayout, Point, Rect

Kind = Literal["flag", "cavity", "part", "joint", "loose end", "wire", "note", "nothing"]
SLACK_PX = 5.0


@dataclass(frozen=True)
class Hit:
    """`ref` is what is meant: terminal, joint, wire, conductor, part or note; `curve` the wire hit."""

    kind: Kind
    ref: str = ""
    curve: Curve | None = None

    @property
    def joinable(self) -> bool:
        """Whether something can be joined to it."""
        return self.kind in ("flag", "cavity", "joint", "loose end", "wire")


NOTHING = Hit("nothing")


class Finder:
    """Answers for one layout. Takes a new one with `show`."""

    def __init__(self, store: WireStore) -> None:
        self._store = store
        self._layout: MapLayout | None = None
        self._cells: dict[str, dict[str, CavityShape]] = {}

    def show(self, layout: MapLayout) -> None:
        if self._layout is None or layout.blocks is not self._layout.blocks:
            self._cells = {}
        self._layout = layout

    @property
    def layout(self) -> MapLayout:
        assert self._layout is not None
        return self._layout

    def hit(self, point: QPointF, scale: float) -> Hit:
        """The topmost thing at a point of the map."""
        slack = SLACK_PX / scale
        x, y = point.x(), point.y()
        here = Rect(x - slack, y - slack, 2 * slack, 2 * slack)
        for name, note in self.layout.notes.items():
            if note.contains(Point(x, y)):
                return Hit("note", name)
        blocks = [self.layout.blocks[name] for name in self._store.block_boxes.meeting(here)]
        for block in reversed(blocks):
            found = self._in_block(block, x, y)
            if found is not None:
                return found
        return (
            self._joint(x, y, slack, here) or self._loose(x, y, slack) or self._wire(point, slack) or NOTHING
        )

    def _in_block(self, block: BlockShape, x: float, y: float) -> Hit | None:
        for flag in block.flags:
            if flag.rect.contains(Point(x, y)):
                return Hit("flag", flag.terminal)
        cell = cell_at(block, x, y)
        if cell is not None and not cell.blocked:
            return Hit("cavity", cell.terminal)
        core = block.core
        if core.contains(Point(x, y)) or any(face.body.contains(Point(x, y)) for face in block.faces):
            return Hit("part", block.part)
        return None

    def _joint(self, x: float, y: float, slack: float, here: Rect) -> Hit | None:
        reach = RADIUS + slack
        for name in self._store.joint_boxes.meeting(here):
            centre = self.layout.joints[name].centre
            if (centre.x - x) ** 2 + (centre.y - y) ** 2 <= reach * reach:
                return Hit("joint", name)
        return None

    def _loose(self, x: float, y: float, slack: float) -> Hit | None:
        reach = LOOSE_RADIUS + slack
        for end, at in self._store.loose.items():
            if (at.x - x) ** 2 + (at.y - y) ** 2 <= reach * reach:
                return Hit("loose end", end)
        return None

    def _wire(self, point: QPointF, slack: float) -> Hit | None:
        curve = self._store.index.nearest(Point(point.x(), point.y()), 2.0 + slack)
        return Hit("wire", curve.owner, curve) if curve is not None and curve.role != "mate" else None

    def cell(self, terminal: str) -> CavityShape | None:
        """The cell that shows a terminal: its own, or the one it shares with its mate."""
        block = self.layout.block_of.get(part_of(terminal))
        if block is None:
            return None
        if block not in self._cells:
            cells: dict[str, CavityShape] = {}
            for face in self.layout.blocks[block].faces:
                for cell in face.cavities:
                    cells[cell.terminal] = cell
                    if cell.mate is not None:
                        cells.setdefault(cell.mate, cell)
            self._cells[block] = cells
        return self._cells[block].get(terminal)

    def flag(self, terminal: str) -> FlagShape | None:
        return self.layout.flag_of.get(terminal)

    def outline(self, ref: str) -> tuple[QRectF, float] | None:
        """The rectangle around a thing and its corners' radius; None for wires and what is not shown."""
        match kind_of(ref):
            case "terminal":
                flag = self.flag(ref)
                if flag is not None:
                    return QRectF(*flag.rect), flag.rect.height / 2
                cell = self.cell(ref)
                return (QRectF(*cell.rect), 4.0) if cell is not None else None
            case "joint":
                joint = self.layout.joints.get(ref)
                return None if joint is None else _around(joint.centre, RADIUS)
            case "wire end":
                at = self._store.loose.get(ref)
                return None if at is None else _around(at, LOOSE_RADIUS)
            case "note":
                note = self.layout.notes.get(ref)
                return None if note is None else (QRectF(*note), 2.0)
            case "part" | "connector":
                name = self.layout.block_of.get(part_of(ref))
                return None if name is None else (QRectF(*self.layout.blocks[name].core), 8.0)
            case _:
                return None

    def anchor(self, ref: str) -> tuple[QPointF, float] | None:
        """Where a wire in the hand starts, and which way it leaves (1 right, -1 left, 0 either)."""
        flag = self.flag(ref) if kind_of(ref) == "terminal" else None
        if flag is not None:
            return QPointF(*flag.anchor), 1.0 if flag.turned == "right" else -1.0
        outline = self.outline(ref)
        if outline is not None:
            return outline[0].center(), 0.0
        middle = self.wire_middle(ref)
        return None if middle is None else (middle, 0.0)

    def mark_at(self, ref: str) -> QPointF | None:
        """Where a mark on a target stands: at its outer upper corner."""
        flag = self.flag(ref) if kind_of(ref) == "terminal" else None
        if flag is not None:
            return QPointF(flag.anchor.x, flag.anchor.y - FLAG_HEIGHT / 2)
        outline = self.outline(ref)
        if outline is None:
            return None
        # A joint's name stands above it.
        return outline[0].bottomRight() if kind_of(ref) in ("joint", "wire end") else outline[0].topRight()

    def wires_of(self, owner: str) -> Iterator[Curve]:
        """The curves that draw a lead, a wire or a conductor."""
        for role in ("lead", "wire"):
            key = f"{role}:{owner}"
            part = 0
            while (curve := self.layout.curves.get(key)) is not None:
                yield curve
                part += 1
                key = f"{role}:{owner}/{part}"

    def wire_middle(self, owner: str) -> QPointF | None:
        pieces = list(self.wires_of(owner))
        if not pieces:
            return None
        curve = pieces[len(pieces) // 2]
        path = self._store.path(curve.key)
        return None if path is None else path.pointAtPercent(0.5)


def _around(centre: Point, radius: float) -> tuple[QRectF, float]:
    return QRectF(centre.x - radius, centre.y - radius, 2 * radius, 2 * radius), radius
