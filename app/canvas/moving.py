"""What follows the pointer while things are moved: blocks, and the wires that hang on them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainterPath

from app.canvas.backdrop import Backdrop
from app.canvas.connector import BlockItem
from app.canvas.hit import Finder
from app.canvas.notes import NoteItem
from app.canvas.scene import MapScene
from app.canvas.wires import WireStore
from core.ids import kind_of, owner_of_end, part_of
from core.job.document import Job
from core.layout.shapes import Curve, JointShape, Point


@dataclass(frozen=True)
class _Live:
    """One wire that moves: its first and last curve, and how far its two ends follow (0 to 1)."""

    first: Curve
    last: Curve
    follow_a: float
    follow_b: float


class Moving:
    """Lifts things off the background and shows them elsewhere, until they are put down."""

    def __init__(
        self,
        scene: MapScene,
        store: WireStore,
        backdrop: Backdrop,
        finder: Finder,
        job: Job,
        refs: Iterable[str],
    ) -> None:
        self._scene, self._store, self._backdrop = scene, store, backdrop
        self._layout, self._job = finder.layout, job
        chosen = frozenset(refs)
        self._blocks = {block for ref in chosen if (block := self._layout.block_of.get(ref)) is not None}
        self._notes = [ref for ref in chosen if ref in self._layout.notes]
        self._follow = {ref: 1.0 for ref in chosen if ref in self._layout.joints}
        self._terminals = [
            flag.terminal for block in self._blocks for flag in self._layout.blocks[block].flags
        ]
        self._add_joints_between()
        self._wires: list[_Live] = []
        hidden: set[str] = set()
        for pieces in self._wires_that_move(finder):
            first, last = pieces[0], pieces[-1]
            self._wires.append(_Live(first, last, *self._shares(first.ends[0], last.ends[1])))
            hidden.update(curve.key for curve in pieces)
        self._joints = [self._layout.joints[name] for name in self._follow]
        store.hide(hidden, self._follow, self._blocks)
        scene.lift(self._blocks)
        self.show(0.0, 0.0)
        backdrop.refresh()

    def _add_joints_between(self) -> None:
        """Joints that nobody placed go part of the way: they stand between their ends."""
        job, moving = self._job, set(self._terminals)
        found = {job.lookup.joint_of.get(terminal) for terminal in self._terminals}
        for name in found:
            if (
                name is not None
                and name not in self._follow
                and name in self._layout.joints
                and name not in job.view.places
            ):
                ends = job.joints[name].ends
                self._follow[name] = sum(end in moving for end in ends) / len(ends)

    def _wires_that_move(self, finder: Finder) -> Iterator[list[Curve]]:
        job = self._job
        owners = dict.fromkeys(self._terminals)
        for terminal in self._terminals:
            owners.update(dict.fromkeys(owner_of_end(end) for end in job.lookup.crimped.get(terminal, ())))
        for joint in self._follow:
            owners.update(dict.fromkeys(owner_of_end(end) for end in job.joints[joint].ends))
        for owner in owners:
            pieces = list(finder.wires_of(owner))
            if pieces:
                yield pieces
        for mate in job.mates.values():
            if not self._blocks.isdisjoint(map(self._block, (mate.a, mate.b))):
                for terminal in job.parts[part_of(mate.a)].cavities | job.parts[part_of(mate.b)].cavities:
                    contact = self._layout.curves.get(f"mate:{mate.id}:{terminal}")
                    if contact is not None:
                        yield [contact]

    def _block(self, ref: str) -> str | None:
        return self._layout.block_of.get(part_of(ref))

    def _shares(self, a: str, b: str) -> tuple[float, float]:
        """How far each end follows; an end that hangs free goes with the other."""
        share_a, share_b = self._share(a), self._share(b)
        return (share_b if share_a is None else share_a) or 0.0, (
            share_a if share_b is None else share_b
        ) or 0.0

    def _share(self, ref: str) -> float | None:
        match kind_of(ref):
            case "joint":
                return self._follow.get(ref, 0.0)
            case "terminal":
                return 1.0 if self._block(ref) in self._blocks else 0.0
            case _:
                return None

    def show(self, dx: float, dy: float) -> None:
        """Everything in the hand stands that far from where it was."""
        for item in (*self._items(), *self._slips()):
            item.setPos(dx, dy)
        self._scene.live.show_moving(
            [(wire.first.colour, _path(wire, dx, dy)) for wire in self._wires],
            [_shifted(joint, dx, dy, self._follow[joint.joint]) for joint in self._joints],
        )

    def release(self) -> None:
        """Nothing is in the hand any more; the live picture stays until `put_down`."""
        for item in (*self._items(), *self._slips()):
            item.setPos(0, 0)
        self._store.hide((), (), ())
        self._scene.lift(())

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
    a, c1, c2, b = wire.first.a, wire.first.c1, wire.last.c2, wire.last.b
    path = QPainterPath(QPointF(a.x + ax, a.y + ay))
    path.cubicTo(c1.x + ax, c1.y + ay, c2.x + bx, c2.y + by, b.x + bx, b.y + by)
    return path
