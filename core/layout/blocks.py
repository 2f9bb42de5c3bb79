"""A block where it stands: which way its flags turn, in which order, and every rectangle of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import inf
from typing import Literal

from core.layout import metrics
from core.layout.frames import Frame, Slot, Spot
from core.layout.groups import MOST_THAT_PULL
from core.layout.shapes import BlockShape, CavityShape, FaceShape, FlagShape, Point, Rect

Turned = Literal["left", "right"]
_NO_BRACKET = inf
TIE = 1e-4
BESIDE = metrics.FAN_GAP + metrics.FLAG_LEAST  # nearer than this, neither is to the left of the other


@dataclass
class Standing:
    """Where every block stands: `corners` by block, `block_of` by part, `groups` by terminal."""

    frames: Mapping[str, Frame]
    corners: Mapping[str, Point]
    block_of: Mapping[str, str]
    groups: Mapping[str, tuple[str, ...]]
    _means: dict[str, float] = field(default_factory=dict)
    _turned: dict[tuple[str, str], float] = field(default_factory=dict)

    def moved(self, corners: Mapping[str, Point]) -> Standing:
        """The same blocks at other corners."""
        return Standing(self.frames, corners, self.block_of, self.groups)

    def block(self, terminal: str) -> str | None:
        return self.block_of.get(terminal.partition(".")[0])

    def middle(self, block: str) -> float:
        """The x of the middle of a block's column of faces."""
        return self.corners[block].x + self.frames[block].width / 2

    def pull(self, terminal: str) -> tuple[str, ...]:
        """The group of a terminal, where it is small enough to say where its members should stand."""
        group = self.groups.get(terminal, ())
        return group if len(group) <= MOST_THAT_PULL else ()

    def mean_y(self, group: tuple[str, ...]) -> float:
        """The mean height of a group's cavities: the same for every member, so that all fans agree. Of two in
        one row, what stands further right comes first, as its fan leaves the face higher."""
        known = self._means.get(group[0])
        if known is None:
            cells = [cell for cell in map(self.cavity_at, group) if cell is not None]
            total = sum(cell.y - TIE * cell.x for cell in cells)
            known = self._means[group[0]] = total / len(cells) if cells else 0.0
        return known

    def rank(self, group: tuple[str, ...], block: str) -> float:
        """Where a group belongs among a block's flags: at its mean height. Where all its members stand in one
        column, it makes brackets: in the lowest block their order is turned over, so that they nest."""
        mean = self.mean_y(group)
        known = self._turned.get((group[0], block))
        if known is None:
            known = self._turned[group[0], block] = self._centre_of_brackets(group, block)
        return mean if known == _NO_BRACKET else 2 * known - mean

    def _centre_of_brackets(self, group: tuple[str, ...], block: str) -> float:
        here = self.middle(block)
        others = {other for other in map(self.block, group) if other is not None and other in self.corners}
        if len(others) < 2 or any(abs(self.middle(other) - here) > BESIDE for other in others):
            return _NO_BRACKET
        heights = {self.corners[other].y + self.frames[other].height / 2 for other in others}
        mine = self.corners[block].y + self.frames[block].height / 2
        return (min(heights) + mine) / 2 if mine == max(heights) else _NO_BRACKET

    def cavity_at(self, terminal: str) -> Point | None:
        block = self.block(terminal)
        if block is None or block not in self.corners:
            return None
        cell = self.frames[block].cells.get(terminal)
        corner = self.corners[block]
        return None if cell is None else Point(corner.x + cell.x, corner.y + cell.y)

    def votes(self, terminal: str, block: str) -> list[int]:
        """For each thing a terminal is joined to: +1 where it stands right of the block, -1 where left."""
        here = self.middle(block)
        found: list[int] = []
        for member in self.pull(terminal):
            other = self.block(member)
            if other is not None and other != block and other in self.corners:
                away = self.middle(other) - here
                if abs(away) > BESIDE:
                    found.append(1 if away > 0 else -1)
        return found


def stand(frame: Frame, standing: Standing) -> BlockShape:
    """The block of `frame` at its corner."""
    corner = standing.corners[frame.part]
    turned = _turned(frame, standing)
    flags: list[FlagShape] = []
    for slot in frame.slots:
        ordered = _in_order(slot, frame.part, corner.y, standing)
        for way in ("right", "left"):
            flags += _fan(frame, slot, [s for s in ordered if turned[s.terminal] == way], way, corner)
    core = Rect(corner.x, corner.y, frame.width, frame.height)
    return BlockShape(
        part=frame.part,
        also=frame.absorbed[0] if frame.absorbed else None,
        title=frame.title,
        subtitle=frame.subtitle,
        title_at=Point(corner.x + frame.width / 2, corner.y),
        faces=tuple(_face_at(slot.face, corner) for slot in frame.slots),
        flags=tuple(flags),
        bounds=_moved(extent(frame, "left" in turned.values(), "right" in turned.values()), corner),
        absorbed=frame.absorbed,
        core=core,
    )


def _turned(frame: Frame, standing: Standing) -> dict[str, Turned]:
    spots = list(frame.roots)
    if frame.in_line:
        return {terminal: _way_in_line(frame, terminal, standing) for terminal in spots}
    return dict.fromkeys(spots, "right" if faces_right(frame, standing) else "left")


def faces_right(frame: Frame, standing: Standing) -> bool:
    """Whether most of what a block is joined to stands to its right; the car's plugs face right by nature."""
    each = (sum(standing.votes(terminal, frame.part)) for terminal in frame.roots)
    votes = sum((vote > 0) - (vote < 0) for vote in each)
    return votes > 0 or (votes == 0 and frame.on_the_car)


def _way_in_line(frame: Frame, terminal: str, standing: Standing) -> Turned:
    """To the side of all it is joined to; where there are both, outputs right and the rest left."""
    votes = set(standing.votes(terminal, frame.part))
    onwards = votes == {1} or (votes != {-1} and terminal in frame.outputs)
    return "right" if onwards else "left"


def _in_order(slot: Slot, part: str, top: float, standing: Standing) -> list[Spot]:
    """Flags in the order of the groups they belong to; what is not joined keeps its place among them."""
    ranks: dict[str, tuple[float, str]] = {}
    for spot in slot.spots:
        group = standing.pull(spot.terminal)
        if group:
            ranks[spot.terminal] = standing.rank(group, part), group[0]
    moved = [ranks[s.terminal][0] - top - s.y for s in slot.spots if s.terminal in ranks]
    shift = sum(moved) / len(moved) if moved else 0.0
    keyed = [
        (*ranks.get(s.terminal, (top + s.y + shift, "")), s.y + s.shift, i) for i, s in enumerate(slot.spots)
    ]
    return [slot.spots[index] for *_, index in sorted(keyed)]


def _fan(frame: Frame, slot: Slot, spots: list[Spot], way: Turned, corner: Point) -> list[FlagShape]:
    width, height = frame.flag_width, metrics.FLAG_HEIGHT
    x = corner.x + (frame.width + metrics.FAN_GAP if way == "right" else -metrics.FAN_GAP - width)
    first = corner.y + slot.middle - (len(spots) - 1) * metrics.FLAG_PITCH / 2
    flags: list[FlagShape] = []
    for index, spot in enumerate(spots):
        y = first + index * metrics.FLAG_PITCH
        rect = Rect(x, y - height / 2, width, height)
        if way == "right":
            tab, anchor, root = Point(x + width - spot.tab / 2, y), Point(x + width, y), Point(x, y)
        else:
            tab, anchor, root = Point(x + spot.tab / 2, y), Point(x, y), Point(x + width, y)
        flags.append(FlagShape(spot.terminal, rect, tab, anchor, root, way))
    return flags


def _face_at(face: FaceShape, corner: Point) -> FaceShape:
    dx, dy = corner
    cavities = tuple(
        CavityShape(
            c.terminal,
            c.pin,
            Rect(c.rect.x + dx, c.rect.y + dy, c.rect.width, c.rect.height),
            c.blocked,
            c.filled,
            c.mate,
        )
        for c in face.cavities
    )
    latch = None if face.latch is None else _moved(face.latch, corner)
    return FaceShape(face.connector, face.title, _moved(face.body, corner), latch, face.side, cavities)


def _moved(rect: Rect, by: Point) -> Rect:
    return Rect(rect.x + by.x, rect.y + by.y, rect.width, rect.height)


def extent(frame: Frame, left: bool, right: bool) -> Rect:
    """All that a block covers around its own corner, with flags to the left, to the right, or both."""
    words = max(
        metrics.text_width(frame.title, metrics.TITLE_TYPE),
        metrics.text_width(frame.subtitle, metrics.SUBTITLE_TYPE),
        *(metrics.text_width(slot.face.title, metrics.SUBTITLE_TYPE) for slot in frame.slots),
    )
    flags = metrics.FAN_GAP + frame.flag_width
    outside = max((words - frame.width) / 2, metrics.LATCH_DEPTH)
    before, after = max(outside, flags if left else 0.0), max(outside, flags if right else 0.0)
    return Rect(-before, 0.0, before + frame.width + after, frame.height)
