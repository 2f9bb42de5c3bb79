"""What follows the pointer while things are moved: blocks, and the wires that hang on them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainterPath

from app.canvas.backdrop import Backdrop
from app.canvas.connector import BlockItem
from app.canvas.notes import NoteItem
from app.canvas.scene import MapScene
from app.canvas.wires import WireStore
from core.ids import kind_of, part_of
from core.job.document import Job
from core.layout.shapes import Curve, JointShape, MapLayout, Point


@dataclass(frozen=True)
class _Live:
    """One wire that moves: its first and last curve, and how far its two ends follow (0 to 1)."""

    colour: str | None
    first: Curve
    last: Curve
    follow_a: float
    follow_b: float


class Moving:
    """Lifts things off the background and shows them elsewhere. `put_down` brings the old picture back."""

    def __init__(
        self,
        scene: MapScene,
        store: WireStore,
        backdrop: Backdrop,
        layout: MapLayout,
        job: Job,
        refs: Iterable[str],
    ) -> None:
        self._scene = scene
        self._store = store
        self._backdrop = backdrop
        self._layout = layout
        self.refs = frozenset(refs)
        self._blocks = {layout.block_of[ref] for ref in self.refs if ref in layout.block_of}
        self._notes = [ref for ref in self.refs if ref in layout.notes]
        self._follow: dict[str, float] = {}
        self._follow = self._joints_that_follow(job)
        self._wires, hidden = self._wires_that_move()
        self._joints = [layout.joints[name] for name in self._follow if name in layout.joints]
        store.hidden = frozenset(hidden)
        store.hidden_joints = frozenset(self._follow)
        self.show(0.0, 0.0)
        backdrop.refresh()

    @property
    def wire_count(self) -> int:
        return len(self._wires)

    def _moves(self, ref: str) -> float:
        """How far a thing follows: 1 in the hand, less for a joint between what moves and what stays."""
        kind = kind_of(ref)
        if kind == "joint":
            return self._follow.get(ref, 0.0)
        if kind == "terminal":
            return 1.0 if self._layout.block_of.get(part_of(ref)) in self._blocks else 0.0
        return 1.0 if ref.partition(":")[0] in self.refs else 0.0

    def _joints_that_follow(self, job: Job) -> dict[str, float]:
        found = {ref: 1.0 for ref in self.refs if ref in self._layout.joints}
        for name, joint in job.joints.items():
            if name in found or name in job.view.places or name not in self._layout.joints:
                continue
            share = sum(self._moves(end) for end in joint.ends) / len(joint.ends)
            if share > 0:
                found[name] = share
        return found

    def _wires_that_move(self) -> tuple[list[_Live], set[str]]:
        pieces: dict[tuple[str, str], list[Curve]] = defaultdict(list)
        moving: set[tuple[str, str]] = set()
        for curve in self._layout.curves.values():
            if curve.role == "fan":
                continue
            owner = (curve.role, curve.owner)
            pieces[owner].append(curve)
            if any(end and self._moves(end) for end in curve.ends):
                moving.add(owner)
        live: list[_Live] = []
        hidden: set[str] = set()
        for one in moving:
            first, last = pieces[one][0], pieces[one][-1]
            live.append(
                _Live(first.colour, first, last, self._moves(first.ends[0]), self._moves(last.ends[1]))
            )
            hidden.update(curve.key for curve in pieces[one])
        return live, hidden

    def show(self, dx: float, dy: float) -> None:
        """Everything in the hand stands that far from where it was."""
        for item in (*self._items(), *self._slips()):
            item.setPos(dx, dy)
        self._scene.live.show_moving(
            [(wire.colour, _path(wire, dx, dy)) for wire in self._wires],
            [_shifted(joint, dx, dy, self._follow[joint.joint]) for joint in self._joints],
        )

    def release(self) -> None:
        """Nothing is in the hand any more; the live picture stays until `put_down`."""
        for item in (*self._items(), *self._slips()):
            item.setPos(0, 0)
        self._store.hidden = frozenset()
        self._store.hidden_joints = frozenset()

    def put_down(self) -> None:
        """The background is painted anew; what is live stays so until it stands there."""
        self._backdrop.refresh()
        if self._backdrop.busy:
            self._backdrop.whole.connect(self._scene.live.clear, Qt.ConnectionType.SingleShotConnection)
        else:
            self._scene.live.clear()

    def _items(self) -> list[BlockItem]:
        return [self._scene.blocks[name] for name in self._blocks if name in self._scene.blocks]

    def _slips(self) -> list[NoteItem]:
        return [self._scene.notes[name] for name in self._notes if name in self._scene.notes]


def _shifted(joint: JointShape, dx: float, dy: float, share: float) -> JointShape:
    return replace(
        joint,
        centre=Point(joint.centre.x + dx * share, joint.centre.y + dy * share),
        label_at=Point(joint.label_at.x + dx * share, joint.label_at.y + dy * share),
    )


def _path(wire: _Live, dx: float, dy: float) -> QPainterPath:
    """The wire between its shifted ends; a way around parts becomes one curve while it moves."""
    ax, ay = dx * wire.follow_a, dy * wire.follow_a
    bx, by = dx * wire.follow_b, dy * wire.follow_b
    a, b = wire.first.a, wire.last.b
    path = QPainterPath(QPointF(a.x + ax, a.y + ay))
    c1, c2 = wire.first.c1, wire.last.c2
    path.cubicTo(
        QPointF(c1.x + ax, c1.y + ay),
        QPointF(c2.x + bx, c2.y + by),
        QPointF(b.x + bx, b.y + by),
    )
    return path
