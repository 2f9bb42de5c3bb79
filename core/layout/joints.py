"""Where joints stand: on the way between their ends, in turn along it, clear of blocks and of each other."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from core.layout import metrics
from core.layout.grid import Grid
from core.layout.shapes import FlagShape, JointShape, Point, Rect

MARGIN = 60.0
BESIDE_BLOCKS = 48.0  # room for a wire to come round a block to the joint
MOST_SLOTS = 7
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
    """Places along the way between flags that face each other, worked out as far as they are asked for."""

    x0: float
    y0: float
    x1: float
    y1: float
    slots: int
    first: int

    def __iter__(self) -> Iterator[Candidate]:
        width = self.x1 - self.x0
        margin = MARGIN / width
        for step in range(self.slots):
            slot = (self.first - 1 + step) % self.slots
            t = margin + (1 - 2 * margin) * (slot + 0.5) / self.slots
            yield _on_the_way(self.x0, self.y0, self.x1, self.y1, t)


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
        aside, above = _half(len(joint)) + BESIDE_BLOCKS, _RISE - min(SHIFTS)
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
        for shift in SHIFTS:
            for candidate in candidates:
                shifted = candidate._replace(y=candidate.y + shift) if shift else candidate
                box = box_at(joint, shifted)
                others = self.boxes.near(box)
                if any(self.ranks[other] < rank for other in others) or blocks.near(_clear(box)):
                    continue
                return shifted
        return next(iter(candidates))


def box_at(joint: str, centre: Candidate | Point) -> Rect:
    """What a joint covers: its dot and its name above it."""
    half = _half(len(joint))
    return Rect(centre.x - half, centre.y - _RISE, 2 * half, _RISE + metrics.JOINT_RADIUS)


@lru_cache(maxsize=16)
def _half(signs: int) -> float:
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
        y0, y1 = _mean_y(rights), _mean_y(lefts)
        room = end - start - 2 * MARGIN
        if room >= 0:
            slots = min(MOST_SLOTS, 1 + int(room // metrics.JOINT_SLOT))
            span = Rect(start, min(y0, y1), end - start, abs(y1 - y0))
            return Choice(Between(start, y0, end, y1, slots, number), span)
        middle = Point((start + end) / 2, (y0 + y1) / 2)
        return _row(middle, (0.0, 1.0, -1.0, 2.0, -2.0))
    if not flags:
        return put_at(PARKING.x, PARKING.y - number % 50 * 2 * metrics.JOINT_RADIUS)
    anchors, way = (rights, 1.0) if rights else (lefts, -1.0)
    spread = max(p.y for p in anchors) - min(p.y for p in anchors)
    foremost = max(p.x * way for p in anchors) + MARGIN + min(100.0, spread * 0.15)
    return _row(Point(foremost * way, _mean_y(anchors)), tuple(way * step for step in range(MOST_SLOTS)))


def _row(first: Point, steps: tuple[float, ...]) -> Choice:
    places = tuple(Candidate(first.x + step * metrics.JOINT_SLOT, first.y, 0.0) for step in steps)
    left, right = min(places).x, max(places).x
    return Choice(places, Rect(left, first.y, right - left, 0.0))


def _on_the_way(x0: float, y0: float, x1: float, y1: float, t: float) -> Candidate:
    """A point of the cubic that would run from flag to flag, handles at half the way: wires that do not cross
    without joints do not cross with them."""
    x = 1.5 * t - 1.5 * t**2 + t**3
    y = 3 * t**2 - 2 * t**3
    slope = (6 * t - 6 * t**2) / (1.5 - 3 * t + 3 * t**2)
    return Candidate(x0 + (x1 - x0) * x, y0 + (y1 - y0) * y, slope * (y1 - y0) / (x1 - x0))


def _mean_y(points: list[Point]) -> float:
    return sum(p.y for p in points) / len(points)
