"""Where joints stand: on the way between their ends, in turn along it, clear of blocks and of each other."""

from __future__ import annotations

import heapq
from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from math import inf
from typing import NamedTuple

from core.layout import metrics
from core.layout.grid import Grid
from core.layout.shapes import FlagShape, JointShape, Point, Rect

MARGIN = 60.0
LEAST_MARGIN = 36.0
STEEP = 0.4  # a trunk that climbs more than this share of its way
BESIDE_BLOCKS = 24.0  # room for a wire to come round a block to the joint
MOST_SLOTS = 7
DEEPER = 0.16  # how much further out a bracket stands for each unit that it is wider
BRACKET = 34.0  # the least room between flags and a bracket's joint
MOST_DEEP = 140.0
ASIDE = 34.0  # joints of nested brackets stand below each other, so that their names have room
SHIFTS = (0.0, -30.0, 30.0, -60.0, 60.0)
_RISE = metrics.JOINT_LABEL_RISE + metrics.JOINT_LABEL_HEIGHT / 2
PARKING = Point(-180.0, -60.0)


class Candidate(NamedTuple):
    x: float
    y: float
    slope: float


class Choice(NamedTuple):
    """Where a joint may stand, best first, and the rectangle that holds all these places."""

    candidates: Iterable[Candidate]
    span: Rect


@dataclass(frozen=True, slots=True)
class Between:
    """Places along a trunk, between `left` and `right`, worked out as far as they are asked for."""

    a: Point
    b: Point
    left: float
    right: float
    slots: int
    first: int

    def __iter__(self) -> Iterator[Candidate]:
        margin = _margin(self.right - self.left)
        low, high = self._share(self.left + margin), self._share(self.right - margin)
        for slot in _order(self.slots, self.first, abs(self.b.y - self.a.y) > STEEP * (self.b.x - self.a.x)):
            yield _on_the_way(self.a, self.b, low + (high - low) * (slot + 0.5) / self.slots)

    def _share(self, x: float) -> float:
        """The parameter at which the trunk is at `x`: three steps of Newton's method."""
        wanted = (x - self.a.x) / (self.b.x - self.a.x)
        t = wanted
        for _ in range(3):
            t -= (1.5 * t - 1.5 * t**2 + t**3 - wanted) / (1.5 - 3 * t + 3 * t**2)
        return t


@dataclass
class JointBook:
    """Every joint's place and what it depends on: `reach` holds all it may cover, `boxes` what it covers.

    Joints that a person placed come first, the rest in the order of their numbers; each takes the first of
    its candidates that is free of blocks and of those before it.
    """

    shapes: dict[str, JointShape] = field(default_factory=dict)
    ranks: dict[str, tuple[int, int]] = field(default_factory=dict)
    candidates: dict[str, Iterable[Candidate]] = field(default_factory=dict)
    reach: Grid = field(default_factory=lambda: Grid(256.0))
    boxes: Grid = field(default_factory=lambda: Grid(64.0))

    def copy(self) -> JointBook:
        return JointBook(
            dict(self.shapes), dict(self.ranks), dict(self.candidates), self.reach.copy(), self.boxes.copy()
        )

    def drop(self, joint: str) -> list[str]:
        """Forget a joint; returns the joints that might now stand elsewhere."""
        box = self.boxes.rects.get(joint)
        self.boxes.drop(joint)
        self.reach.drop(joint)
        self.shapes.pop(joint, None)
        self.ranks.pop(joint, None)
        self.candidates.pop(joint, None)
        return [] if box is None else self.reach.near(box)

    def plan(self, joint: str, choice: Choice, *, placed: bool) -> None:
        """Say where a joint may stand (and above or below that); `settle` chooses."""
        self.candidates[joint] = choice.candidates
        self.ranks[joint] = (0 if placed else 1, int(joint[1:]))
        x, y, width, height = choice.span
        aside, above = half_width(len(joint)) + BESIDE_BLOCKS, _RISE - min(SHIFTS)
        below = max(SHIFTS) + metrics.JOINT_RADIUS
        self.reach.put(joint, Rect(x - aside, y - above, width + 2 * aside, above + height + below))

    def settle(self, dirty: Iterable[str], blocks: Grid) -> set[str]:
        """Place the joints named and all that must give way to them; returns those whose shape changed."""
        changed: set[str] = set()
        waiting = {joint for joint in dirty if joint in self.ranks}
        heap = [(self.ranks[joint], joint) for joint in waiting]
        heapq.heapify(heap)
        whole = len(waiting) == len(self.ranks)
        while heap:
            rank, joint = heapq.heappop(heap)
            waiting.discard(joint)
            chosen = self._choice(joint, rank, blocks)
            shape = JointShape(
                joint,
                Point(chosen.x, chosen.y),
                Point(chosen.x, chosen.y - metrics.JOINT_LABEL_RISE),
                chosen.slope,
            )
            if shape == self.shapes.get(joint):
                continue
            changed.add(joint)
            self.shapes[joint] = shape
            before, after = self.boxes.rects.get(joint), box_at(joint, chosen)
            self.boxes.put(joint, after)
            if whole:
                continue
            for box in (before, after):
                for other in self.reach.near(box) if box is not None else ():
                    if other not in waiting and self.ranks[other] > rank:
                        waiting.add(other)
                        heapq.heappush(heap, (self.ranks[other], other))
        return changed

    def _choice(self, joint: str, rank: tuple[int, int], blocks: Grid) -> Candidate:
        candidates = self.candidates[joint]
        if rank[0] == 0:
            return next(iter(candidates))
        off_blocks: Candidate | None = None
        apart: Candidate | None = None
        for shift in SHIFTS:
            for candidate in candidates:
                shifted = candidate._replace(y=candidate.y + shift) if shift else candidate
                box = box_at(joint, shifted)
                others = self.boxes.near(box)
                if any(self.ranks[other] < rank for other in others):
                    continue
                if not blocks.near(_clear(box)):
                    return shifted
                if apart is None:
                    apart = shifted
                if off_blocks is None and not blocks.near(box):
                    off_blocks = shifted
        return off_blocks or apart or next(iter(candidates))


def box_at(joint: str, centre: Candidate | Point) -> Rect:
    """What a joint covers: its dot and its name above it."""
    half = half_width(len(joint))
    return Rect(centre.x - half, centre.y - _RISE, 2 * half, _RISE + metrics.JOINT_RADIUS)


@lru_cache(maxsize=16)
def half_width(signs: int) -> float:
    """Half the width of a joint with so long a name; all digits are equally wide."""
    name = "J" + "0" * (signs - 1)
    return max(metrics.JOINT_RADIUS, metrics.text_width(name, metrics.JOINT_TYPE) / 2) + 2.0


def _clear(box: Rect) -> Rect:
    """The ground that must be free of blocks for a joint to stand in `box`."""
    return Rect(box.x - BESIDE_BLOCKS, box.y, box.width + 2 * BESIDE_BLOCKS, box.height)


def put_at(x: float, y: float) -> Choice:
    """The one place of a joint that was put there."""
    return Choice((Candidate(x, y, 0.0),), Rect(x, y, 0.0, 0.0))


def choice_between(joint: str, flags: list[FlagShape]) -> Choice:
    """Where a joint of these flags may stand. Its number says where along the way it begins to look."""
    number = int(joint[1:])
    rights = [flag.anchor for flag in flags if flag.turned == "right"]
    lefts = [flag.anchor for flag in flags if flag.turned == "left"]
    if rights and lefts:
        start, end = max(p.x for p in rights), min(p.x for p in lefts)
        a, b = _trunk(rights, lefts)
        room = end - start - 2 * _margin(end - start)
        if room >= 0:
            slots = min(MOST_SLOTS, 1 + int(room // metrics.JOINT_SLOT))
            return Choice(
                Between(a, b, start, end, slots, number % slots),
                Rect(start, min(a.y, b.y), end - start, abs(b.y - a.y)),
            )
        return _row(Point((start + end) / 2, (a.y + b.y) / 2), (0.0, 1.0, -1.0, 2.0, -2.0), 0.0)
    if not flags:
        return put_at(PARKING.x, PARKING.y - number % 50 * 2 * metrics.JOINT_RADIUS)
    anchors, way = (rights, 1.0) if rights else (lefts, -1.0)
    top, bottom = min(p.y for p in anchors), max(p.y for p in anchors)
    foremost = max(p.x * way for p in anchors) + BRACKET + min(MOST_DEEP, (bottom - top) * DEEPER)
    steps = tuple(way * step for step in range(MOST_SLOTS))
    if len(anchors) == 1:
        return _row(Point(foremost * way, top), steps, 0.0)
    aside = round((bottom - top) / (2 * metrics.FLAG_PITCH)) % 5 - 2
    return _row(Point(foremost * way, (top + bottom) / 2 + aside * ASIDE), steps, inf)


def _margin(width: float) -> float:
    """The least room between a flag and a joint."""
    return min(MARGIN, max(LEAST_MARGIN, width / 5))


@lru_cache(maxsize=128)
def _order(slots: int, first: int, steep: bool) -> tuple[int, ...]:
    """The slots of a trunk in turn, beginning with one that goes by the joint's number; on a steep trunk
    those at its level ends come before those in the middle."""
    turn = [(first + slots - 1 + step) % slots for step in range(slots)]
    if steep:
        turn.sort(key=lambda slot: min(slot, slots - 1 - slot) > (slots - 1) // 4)
    return tuple(turn)


def _trunk(rights: list[Point], lefts: list[Point]) -> tuple[Point, Point]:
    """The two flags that face each other at the least difference of height: the joint stands between them,
    and what else is joined branches off there."""
    if len(rights) == len(lefts) == 1:
        return rights[0], lefts[0]
    others = sorted(lefts, key=lambda p: (p.y, p.x))
    heights = [p.y for p in others]
    best: tuple[float, Point, Point] | None = None
    for right in rights:
        at = bisect_left(heights, right.y)
        for left in others[max(0, at - 1) : at + 1]:
            found = (abs(left.y - right.y), right, left)
            if best is None or found < best:
                best = found
    assert best is not None
    return best[1], best[2]


def _row(first: Point, steps: tuple[float, ...], slope: float) -> Choice:
    places = tuple(Candidate(first.x + step * metrics.JOINT_SLOT, first.y, slope) for step in steps)
    left, right = min(places).x, max(places).x
    return Choice(places, Rect(left, first.y, right - left, 0.0))


def _on_the_way(a: Point, b: Point, t: float) -> Candidate:
    """A point of the cubic that would run from flag to flag, handles at half the way: wires that do not cross
    without joints do not cross with them."""
    x = 1.5 * t - 1.5 * t**2 + t**3
    y = 3 * t**2 - 2 * t**3
    slope = (6 * t - 6 * t**2) / (1.5 - 3 * t + 3 * t**2)
    return Candidate(a.x + (b.x - a.x) * x, a.y + (b.y - a.y) * y, slope * (b.y - a.y) / (b.x - a.x))


def name_box(joint: str, at: Point) -> Rect:
    """What a joint's name covers around the middle of its box."""
    half = half_width(len(joint))
    return Rect(at.x - half, at.y - metrics.JOINT_LABEL_HEIGHT / 2, 2 * half, metrics.JOINT_LABEL_HEIGHT)
