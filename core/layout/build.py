"""The whole map from a job, and the map after an edit from the map before it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from core.ids import kind_of
from core.job.delta import Delta
from core.job.document import Job
from core.job.faces import Side
from core.job.lookup import Lookup, conductors_of
from core.layout.blocks import Standing, stand
from core.layout.curves import CurveBook, Pen, keys_at
from core.layout.frames import Frame, frame_of
from core.layout.grid import Grid
from core.layout.groups import changed_terminals, joined_groups
from core.layout.joints import JointBook, choice_between, put_at
from core.layout.labels import Names, beside
from core.layout.notes import note_shapes
from core.layout.owners import members_of, parts_at
from core.layout.pairs import absorbers
from core.layout.positions import corners_of
from core.layout.routes import box
from core.layout.shapes import BlockShape, FlagShape, MapLayout, Point, Rect
from core.layout.walk import Walk
from core.layout.words import Functions


@dataclass
class Workings:
    """What one layout was made from."""

    library: Functions
    lookup: Lookup
    standing: Standing
    members: dict[str, tuple[str, ...]]
    unplaced: bool
    rects: Grid
    book: JointBook
    curves: CurveBook


def lay_out(job: Job, library: Functions, open_side: Side | None = None) -> MapLayout:
    """Every shape of the map. `open_side` shows the faces from that side, whatever the job's view says."""
    return _Builder(job, library, open_side or job.view.side, None).whole()


def lay_out_roughly(job: Job, library: Functions) -> MapLayout:
    """The same with every joint's name above its dot: enough to compare arrangements by."""
    return _Builder(job, library, job.view.side, None).whole(named=False)


def update(layout: MapLayout, before: Job, after: Job, delta: Delta, library: Functions) -> MapLayout:
    """The map of `after`, from that of `before`: what the edit did not touch is kept. Equal to `lay_out`."""
    old = layout.workings
    if (
        not isinstance(old, Workings)
        or old.library is not library
        or before.view.side != after.view.side
        or layout.side != after.view.side
        or old.unplaced
    ):
        return lay_out(after, library)
    return _Builder(after, library, after.view.side, layout).after(before, delta)


class _Builder:
    """Makes one layout. Stages follow each other: frames, corners, blocks, joints, curves."""

    def __init__(self, job: Job, library: Functions, side: Side, layout: MapLayout | None) -> None:
        self.job, self.library, self.side = job, library, side
        self.layout = layout
        self.shapes: dict[str, BlockShape] = dict(layout.blocks) if layout else {}
        self.flags: dict[str, FlagShape] = dict(layout.flag_of) if layout else {}

    def whole(self, *, named: bool = True) -> MapLayout:
        job = self.job
        self.lookup, self.walk = job.lookup, Walk(job.lookup, job.joints)
        self.groups = joined_groups(job)
        found = absorbers(job)
        self.block_of = {tag: found.get(tag, tag) for tag in job.parts}
        self.members = members_of(self.block_of)
        self.frames = {tag: self._frame(tag) for tag in self.members}
        self.rects, self.book, self.curves = Grid(160.0), JointBook(), CurveBook()
        self._corners()
        self._blocks(self.members)
        for joint in job.joints:
            self._plan(joint)
        self.book.settle(job.joints, self.rects)
        pen = self._pen()
        for terminal in self.flags:
            pen.fan(terminal)
            pen.lead(terminal)
        for name in self.lookup.conductors:
            pen.wire(name)
        pen.loose()
        pen.beside_each_other()
        self._contacts(set(self.members), ())
        self.joints = self.book.shapes
        if named:
            names = Names(self.book, self.curves, self.rects)
            self.joints = {joint: names.named(joint) for joint in self.book.shapes}
        return self._done()

    def after(self, before: Job, delta: Delta) -> MapLayout:
        job, layout = self.job, self.layout
        assert layout is not None
        assert isinstance(layout.workings, Workings)
        old = layout.workings
        self.lookup, self.groups = old.lookup, dict(old.standing.groups)
        self.block_of, self.members = dict(old.standing.block_of), old.members
        self.frames = dict(old.standing.frames)
        self.rects, self.book, self.curves = old.rects.copy(), old.book.copy(), old.curves.copy()
        stale: set[str] = set()  # blocks whose frame or corner is another
        regrouped: frozenset[str] = frozenset()
        meaning = any(delta.touched(kind) for kind in ("parts", "mates", "wires", "cables", "joints"))
        if meaning or before.view.opened != job.view.opened:
            self.lookup, self.groups = job.lookup, joined_groups(job)
            regrouped = changed_terminals(old.standing.groups, self.groups)
            stale |= self._reframed(before, delta)
        self.walk = Walk(self.lookup, job.joints)
        if meaning or before.view.opened or job.view.opened or not delta.places <= job.view.places.keys():
            self._corners()
        else:
            self._moved_corners(old.standing.corners, delta.places)
        if self.unplaced:
            return lay_out(job, self.library)
        corners = old.standing.corners
        stale |= {tag for tag in self.members if corners.get(tag) != self.standing.corners[tag]}
        gone = layout.blocks.keys() - self.members.keys()
        dirty = stale | self._neighbours(stale | gone, old.standing) | self._blocks_of(regrouped)
        for tag in sorted(gone):
            self._forget(tag)
        moved = self._blocks(sorted(dirty & self.members.keys()))
        flags, rects = self._differences(moved | gone)
        flags |= {t for tag in stale for t in _flags_of(self.shapes[tag])}
        wires = self._touched_conductors(before, delta)
        joints = self._rejoined(before, delta, flags, wires, rects)
        keys = self._recurved(before, delta, flags, wires, joints, rects)
        self._contacts(moved | gone, delta.touched("mates"))
        self._renamed(old, joints, keys, rects)
        return self._done()

    def _differences(self, tags: set[str]) -> tuple[set[str], list[Rect]]:
        """The flags of these blocks that are not what they were, and the ground taken or left by blocks."""
        assert self.layout is not None
        flags: set[str] = set()
        rects: list[Rect] = []
        for tag in sorted(tags):
            old, new = self.layout.blocks.get(tag), self.shapes.get(tag)
            for terminal in (*_flags_of(old), *_flags_of(new)):
                if self.layout.flag_of.get(terminal) != self.flags.get(terminal):
                    flags.add(terminal)
            if old is None or new is None or old.bounds != new.bounds:
                rects += [block.bounds for block in (old, new) if block is not None]
        return flags, rects

    def _touched_conductors(self, before: Job, delta: Delta) -> set[str]:
        found = set(delta.touched("wires"))
        for cable in delta.touched("cables"):
            for job in (before, self.job):
                if cable in job.cables:
                    found.update(name for name, _ in conductors_of(job.cables[cable]))
        return found

    # Frames and corners

    def _frame(self, tag: str) -> Frame:
        job = self.job
        return frame_of(job, self.lookup, job.parts[tag], self.members[tag], self.side, self.library)

    def _reframed(self, before: Job, delta: Delta) -> set[str]:
        """Make anew the frames that the edit may have changed; returns their blocks."""
        job = self.job
        found = absorbers(job)
        block_of = {tag: found.get(tag, tag) for tag in job.parts}
        members = members_of(block_of)
        tags = set(delta.touched("parts"))
        for kind in ("mates", "wires", "cables", "joints"):
            for ref in delta.touched(kind):
                for one in (before, job):
                    tags.update(parts_at(one, ref))
        stale = {block_of[tag] for tag in tags if tag in block_of}
        stale |= {tag for tag, absorbed in members.items() if self.members.get(tag) != absorbed}
        self.block_of, self.members = block_of, members
        self.frames = {tag: frame for tag, frame in self.frames.items() if tag in members}
        changed: set[str] = set()
        for tag in stale:
            frame = self._frame(tag)
            if frame != self.frames.get(tag):
                self.frames[tag] = frame
                changed.add(tag)
        return changed

    def _corners(self) -> None:
        corners, self.unplaced = corners_of(self.job, self.frames, self.block_of, self.groups)
        self.standing = Standing(self.frames, corners, self.block_of, self.groups)

    def _moved_corners(self, corners: Mapping[str, Point], places: frozenset[str]) -> None:
        """The corners of before, where nothing but these places is otherwise."""
        moved = {self.block_of[ref] for ref in places if ref in self.block_of}
        frames = {tag: self.frames[tag] for tag in moved}
        found, self.unplaced = corners_of(self.job, frames, self.block_of, self.groups)
        self.standing = Standing(self.frames, {**corners, **found}, self.block_of, self.groups)

    def _blocks_of(self, terminals: Iterable[str]) -> set[str]:
        found = {self.standing.block(terminal) for terminal in terminals}
        return {tag for tag in found if tag is not None}

    def _neighbours(self, tags: set[str], old: Standing) -> set[str]:
        """The blocks whose flags look at one of these: they may turn or change their order."""
        found: set[str] = set()
        for tag in tags:
            for standing in (old, self.standing):
                frame = standing.frames.get(tag)
                for terminal in frame.cells if frame is not None else ():
                    for member in standing.pull(terminal):
                        block = self.standing.block(member)
                        if block is not None:
                            found.add(block)
        return found

    # Blocks

    def _blocks(self, tags: Iterable[str]) -> set[str]:
        """Stand the blocks named; returns those that now look otherwise."""
        moved: set[str] = set()
        for tag in tags:
            block = stand(self.frames[tag], self.standing)
            if block == self.shapes.get(tag):
                continue
            self._forget(tag)
            moved.add(tag)
            self.shapes[tag] = block
            self.rects.put(tag, block.bounds)
            for flag in block.flags:
                self.flags[flag.terminal] = flag
        return moved

    def _forget(self, tag: str) -> None:
        block = self.shapes.pop(tag, None)
        if block is None:
            return
        self.rects.drop(tag)
        for flag in block.flags:
            if self.flags.get(flag.terminal) == flag:
                del self.flags[flag.terminal]

    # Joints

    def _rejoined(
        self, before: Job, delta: Delta, flags: set[str], wires: set[str], rects: list[Rect]
    ) -> set[str]:
        """Place the joints that the edit may have moved; returns those that are gone or stand elsewhere."""
        joints = self.job.joints
        touched = set(delta.touched("joints")) | {ref for ref in delta.places if kind_of(ref) == "joint"}
        for walk in (Walk(before.lookup, before.joints) if wires or touched else self.walk, self.walk):
            beside = {joint for terminal in flags for joint in walk.joints_of(terminal)}
            for wire in wires:
                ends = (f"{wire}:a", f"{wire}:b")
                beside.update(walk.lookup.joint_of[end] for end in ends if end in walk.lookup.joint_of)
            touched |= walk.leaning(beside | touched)
        dirty = {joint for rect in rects for joint in self.book.reach.near(rect)}
        gone = touched - joints.keys()
        for joint in sorted(gone):
            dirty.update(self.book.drop(joint))
        planned = touched & joints.keys()
        for joint in sorted(planned):
            self._plan(joint)
        return gone | self.book.settle(planned | dirty, self.rects)

    def _plan(self, joint: str) -> None:
        place = self.job.view.places.get(joint)
        if place is not None:
            self.book.plan(joint, put_at(place.x, place.y), placed=True)
            return
        flags = [self.flags[t] for t in self.walk.terminals_at(joint) if t in self.flags]
        self.book.plan(joint, choice_between(joint, flags), placed=False)

    # Curves

    def _pen(self) -> Pen:
        return Pen(self.curves, self.standing, self.walk, self.flags, self.book.shapes, self.rects)

    def _recurved(
        self,
        before: Job,
        delta: Delta,
        flags: set[str],
        wires: set[str],
        joints: set[str],
        rects: list[Rect],
    ) -> set[str]:
        """Draw anew what the edit may have changed; returns the keys of these leads and wires."""
        pen = self._pen()
        for terminal in sorted(flags):
            pen.fan(terminal)
        rejoined = joints | delta.touched("joints")
        leads, conductors = keys_at(self.walk, flags, rejoined)
        if delta.touched("joints"):
            old_leads, old_conductors = keys_at(Walk(before.lookup, before.joints), (), rejoined)
            leads, conductors = leads | old_leads, conductors | old_conductors
        conductors |= wires
        for rect in rects:
            for key in self.curves.through(rect):
                role, _, ref = key.partition(":")
                (leads if role == "lead" else conductors).add(ref)
        for terminal in sorted(leads):
            pen.lead(terminal)
        for name in sorted(conductors):
            pen.wire(name)
        if wires or delta.touched("joints"):
            pen.loose()
        keys = pen.beside_each_other()
        keys.update(f"lead:{terminal}" for terminal in leads)
        keys.update(f"wire:{name}" for name in conductors)
        return keys

    def _renamed(self, old: Workings, joints: set[str], keys: set[str], rects: list[Rect]) -> None:
        """Place the names anew of the joints that are elsewhere, and of those beside what changed."""
        assert self.layout is not None
        dirty, book, found = set(joints), self.book, dict(self.layout.joints)
        boxes = [b for joint in joints for books in (old.book, book) if (b := books.boxes.rects.get(joint))]
        for rect in rects:
            dirty.update(book.boxes.near(beside(rect)))
        for rect in boxes:
            dirty.update(book.boxes.near(beside(rect, 128.0)))
        for key in keys:
            before, after = old.curves.pieces_of(key), self.curves.pieces_of(key)
            if before != after:
                for curve in (*before, *after):
                    dirty.update(book.boxes.near(beside(box((curve.a, curve.c1, curve.c2, curve.b)))))
        names = Names(book, self.curves, self.rects)
        for joint in dirty:
            if joint in book.shapes:
                found[joint] = names.named(joint)
            else:
                found.pop(joint, None)
        self.joints = found

    def _contacts(self, blocks: set[str], mates: Iterable[str]) -> None:
        """Draw the contacts of these mates and of all that hang on these blocks."""
        pen, wanted = self._pen(), set(mates)
        for mate in self.job.mates.values():
            if mate.id in wanted or {self.standing.block(mate.a), self.standing.block(mate.b)} & blocks:
                pen.contacts(mate)
        for name in sorted(wanted - self.job.mates.keys()):
            pen.part(name)

    def _done(self) -> MapLayout:
        workings = Workings(
            self.library,
            self.lookup,
            self.standing,
            self.members,
            self.unplaced,
            self.rects,
            self.book,
            self.curves,
        )
        return MapLayout(
            side=self.side,
            blocks=self.shapes,
            joints=self.joints,
            curves=self.curves.curves,
            notes=note_shapes(self.job),
            block_of=self.block_of,
            flag_of=self.flags,
            workings=workings,
        )


def _flags_of(block: BlockShape | None) -> list[str]:
    return [flag.terminal for flag in block.flags] if block is not None else []
