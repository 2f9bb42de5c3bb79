"""The only writer of items: takes a change of the document and makes the scene show it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping

from PySide6.QtCore import QObject, QRectF, Signal

from app.canvas.connector import BlockItem
from app.canvas.dress import Glow, Level, dress, glowing, worst
from app.canvas.index import union
from app.canvas.notes import NoteItem
from app.canvas.scene import MapScene
from app.canvas.style import Style
from app.canvas.wires import WireStore
from app.session import Change, Session
from core.checks.finding import CheckResult
from core.edits.decide import open_ends
from core.ids import kind_of, owner_of_end, part_of
from core.job.delta import Delta
from core.job.document import Job
from core.layout import lay_out, update
from core.layout.shapes import Curve, Rect

Fans = Mapping[str, list[Curve]]


class Sync(QObject):
    """Keeps layout, items and wire store in step with the session's job."""

    redrawn = Signal(object)
    """(list[QRectF], list[QRectF]): where static wires, and where blocks, are another picture now."""
    moved = Signal()
    """The layout is another one now."""

    def __init__(self, scene: MapScene, store: WireStore, session: Session, style: Style) -> None:
        super().__init__(scene)
        self._scene = scene
        self._store = store
        self._session = session
        self._style = style
        store.blocks = scene.blocks
        self._job: Job = session.job
        self._open: frozenset[str] = frozenset()
        self._levels: dict[str, Level] = {}
        self.layout = lay_out(session.job, session.library)
        self._fans: Fans = {}
        self._show(set(self.layout.blocks))
        session.changed.connect(self._take_change)
        session.checked.connect(self.take_result)

    def set_style(self, style: Style) -> None:
        self._style = style

    def _take_change(self, change: Change) -> None:
        old = self.layout
        self._job = change.after
        if not change.delta.drawn and change.before.settings is change.after.settings:
            return  # a reading, an acceptance, the job sheet
        self.layout = update(old, change.before, change.after, change.delta, self._session.library)
        parts = _parts_touched(change.before, change.after, change.delta)
        self._show(self._blocks_of(parts))
        self.moved.emit()

    def take_result(self, result: CheckResult) -> None:
        """Mark the flags and cavities at fault."""
        levels: dict[str, Level] = {}
        for conflict in result.conflicts:
            if conflict.accepted is None:
                for ref in (*conflict.where, *conflict.wires):
                    found = worst(levels.get(ref), conflict.level)
                    if found is not None:
                        levels[ref] = found
        differing = {
            part_of(ref)
            for ref in levels.keys() | self._levels.keys()
            if levels.get(ref) != self._levels.get(ref) and kind_of(ref) == "terminal"
        }
        self._levels = levels
        self._dress(self._blocks_of(differing))

    def show_live(self, glow: Mapping[str, Glow]) -> None:
        """Let the leads and flags of blocks glow or fade, by terminal; wires are the background's."""
        before, self._store.glow = self._store.glow, glow
        differing = {
            part_of(ref)
            for ref in glow.keys() | before.keys()
            if glow.get(ref) != before.get(ref) and kind_of(ref) == "terminal"
        }
        for name in self._blocks_of(differing):
            item = self._scene.blocks.get(name)
            if item is not None:
                item.show_block(item.shape_, glowing(item.worn, glow), self._fans.get(name, ()))

    def _blocks_of(self, parts: Iterable[str]) -> set[str]:
        block_of = self.layout.block_of
        return {block_of[part] for part in parts if part in block_of}

    def _show(self, touched: set[str]) -> None:
        """Make items and store agree with the layout; `touched` blocks may wear something else."""
        layout, scene = self.layout, self._scene
        undecided = frozenset(open_ends(self._job))
        touched |= self._blocks_of(part_of(end) for end in undecided ^ self._open if "-" in end)
        self._open = undecided
        static: dict[str, Curve] = {}
        fans: dict[str, list[Curve]] = defaultdict(list)
        for key, curve in layout.curves.items():
            if curve.role == "fan":
                fans[layout.block_of.get(part_of(curve.owner), "")].append(curve)
            else:
                static[key] = curve
        self._fans = fans
        gone: list[QRectF] = []
        for name in scene.blocks.keys() - layout.blocks.keys():
            gone.append(scene.blocks[name].boundingRect())
            scene.removeItem(scene.blocks.pop(name))
        for name, shape in layout.blocks.items():
            item = scene.blocks.get(name)
            if item is None:
                item = scene.blocks[name] = BlockItem(shape, self._style)
                item.setVisible(name in scene.seen)
                scene.addItem(item)
                touched.add(name)
            elif item.shape_ is not shape or not _same(item.fan, fans.get(name, ())):
                touched.add(name)
        boxes = [self._scene.blocks[name].boundingRect() for name in touched if name in scene.blocks]
        self._dress(touched)
        boxes += [scene.blocks[name].boundingRect() for name in touched if name in scene.blocks]
        self._store.block_boxes.replace({name: block.bounds for name, block in layout.blocks.items()})
        self._show_notes()
        temporary = frozenset(j.id for j in self._job.joints.values() if j.temporary_for)
        dirty = self._store.replace(static, layout.joints, temporary)
        around = union([*(block.bounds for block in layout.blocks.values()), *layout.notes.values()])
        scene.show_extent(QRectF(*(around or Rect(0, 0, 100, 100))))
        self.redrawn.emit(([QRectF(*rect) for rect in dirty], gone + boxes))

    def _dress(self, blocks: Iterable[str]) -> None:
        for name in blocks:
            shape = self.layout.blocks.get(name)
            item = self._scene.blocks.get(name)
            if shape is not None and item is not None:
                library, glow = self._session.library, self._store.glow
                worn = dress(shape, self._job, library, self._open, self._levels, glow)
                item.show_block(shape, worn, self._fans.get(name, ()))

    def _show_notes(self) -> None:
        scene, notes = self._scene, self.layout.notes
        for name in scene.notes.keys() - notes.keys():
            scene.removeItem(scene.notes.pop(name))
        for name, rect in notes.items():
            note = self._job.notes.get(name)
            text = note.text if note is not None else ""
            if name in scene.notes:
                scene.notes[name].show_note(rect, text)
            else:
                scene.notes[name] = NoteItem(rect, text, self._style)
                scene.addItem(scene.notes[name])


def _same(shown: Iterable[tuple[Curve, object]], wanted: Iterable[Curve]) -> bool:
    mine, theirs = [curve for curve, _ in shown], list(wanted)
    return len(mine) == len(theirs) and all(a is b for a, b in zip(mine, theirs, strict=True))


def _parts_touched(before: Job, after: Job, delta: Delta) -> set[str]:
    """Tags of the parts whose flags or cavities may look different after the change."""
    found = set(delta.touched("parts"))
    found |= {part_of(end) for end in delta.touched("finishes") if "-" in end}
    for job in (before, after):
        for name in delta.touched("joints"):
            joint = job.joints.get(name)
            found |= {part_of(end) for end in joint.ends if "-" in end} if joint else set()
        for name in delta.touched("mates"):
            mate = job.mates.get(name)
            found |= {part_of(mate.a), part_of(mate.b)} if mate else set()
        wires = delta.touched("wires") | delta.touched("cables")
        if wires:
            for terminal, ends in job.lookup.crimped.items():
                if any(owner_of_end(end).partition(".")[0] in wires for end in ends):
                    found.add(part_of(terminal))
    return found
