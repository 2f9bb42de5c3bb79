"""Where joints stand: on the way between their ends, in turn along it, clear of blocks and of each other."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from core.layout import metrics
from core.layout.grid import Grid, union
from core.layout.shapes import FlagShape, JointShape, Point, Rect

MARGIN = 60.0
BESIDE_BLOCKS = 48.0  # room for a wire to come round a block to the joint
MOST_SLOTS = 7
SHIFTS = (0.0, -30.0, 30.0, -60.0, 60.0)
PARKING = Point(-180.0, -60.0)


class Candidate(NamedTuple):
    x: float
    y: float
    slope: float


@dataclass
class JointBook:
    """Every joint's place and what it depends on: `reach` holds all it may cover, `boxes` what it covers.

    Joints that a person placed come first, the rest in the order of their numbers; each takes the first of
    its candidates that is free of blocks and of those before it.
    """

    shapes: dict[str, JointShape] = field(default_factory=dict)
    ranks: dict[str, tuple[int, int]] = field(default_factory=dict)
    candidates: dict[str, tuple[Candidate, ...]] = field(default_factory=dict)
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

    def plan(self, joint: str, candidates: tuple[Candidate, ...], placed: bool) -> None:
        """Say where a joint may stand; `settle` chooses."""
        self.candidates[joint] = candidates
        self.ranks[joint] = (0 if placed else 1, int(joint[1:]))
        self.reach.put(joint, union([_clear(box_at(joint, c)) for c in candidates]))

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
        for candidate in candidates if rank[0] else ():
            box = box_at(joint, candidate)
            others = self.boxes.near(box)
            if any(self.ranks[other] < rank for other in others) or blocks.near(_clear(box)):
                continue
            return candidate
        return candidates[0]


def box_at(joint: str, candidate: Candidate) -> Rect:
    """What a joint covers: its dot and its name above it."""
    half = max(metrics.JOINT_RADIUS, metrics.text_width(joint, metrics.JOINT_TYPE) / 2) + 2.0
    top = candidate.y - metrics.JOINT_LABEL_RISE - metrics.JOINT_LABEL_HEIGHT / 2
    return Rect(candidate.x - half, top, 2 * half, candidate.y + metrics.JOINT_RADIUS - top)


def _clear(box: Rect) -> Rect:
    """The ground that must be free of blocks for a joint to stand in `box`."""
    return Rect(box.x - BESIDE_BLOCKS, box.y, box.width + 2 * BESIDE_BLOCKS, box.height)


def candidates_between(joint: str, flags: list[FlagShape]) -> tuple[Candidate, ...]:
    """Where a joint of these flags may stand, best first. Its number says where along the way it begins."""
    if not flags:
        turn = int(joint[1:]) % 50
        return (Candidate(PARKING.x, PARKING.y - turn * 2 * metrics.JOINT_RADIUS, 0.0),)
    rights = [flag.anchor for flag in flags if flag.turned == "right"]
    lefts = [flag.anchor for flag in flags if flag.turned == "left"]
    places = list(_along(joint, rights, lefts))
    turn = (int(joint[1:]) - 1) % len(places) if rights and lefts else 0
    places = places[turn:] + places[:turn]
    return tuple(Candidate(x, y + shift, slope) for shift in SHIFTS for x, y, slope in places)


def _along(joint: str, rights: list[Point], lefts: list[Point]) -> Iterator[Candidate]:
    if rights and lefts:
        start, end = max(p.x for p in rights), min(p.x for p in lefts)
        y0, y1 = _mean_y(rights), _mean_y(lefts)
        room = end - start - 2 * MARGIN
        if room >= 0:
            slots = min(MOST_SLOTS, 1 + int(room // metrics.JOINT_SLOT))
            width = end - start
            least = MARGIN / width if width else 0.5
            for slot in range(slots):
                t = least + (1 - 2 * least) * (slot + 0.5) / slots
                yield _on_the_way(start, y0, end, y1, t)
        else:
            for step in (0.0, 1.0, -1.0, 2.0, -2.0):
                yield Candidate((start + end) / 2 + step * metrics.JOINT_SLOT, (y0 + y1) / 2, 0.0)
        return
    anchors, way = (rights, 1.0) if rights else (lefts, -1.0)
    foremost = max(p.x * way for p in anchors) * way
    spread = max(p.y for p in anchors) - min(p.y for p in anchors)
    for step in range(MOST_SLOTS):
        out = 60.0 + min(100.0, spread * 0.15) + step * metrics.JOINT_SLOT
        yield Candidate(foremost + way * out, _mean_y(anchors), 0.0)


def _on_the_way(x0: float, y0: float, x1: float, y1: float, t: float) -> Candidate:
    """A point of the cubic that would run from flag to flag, handles at half the way: wires that do not cross
    without joints do not cross with them."""
    x = 1.5 * t - 1.5 * t**2 + t**3
    y = 3 * t**2 - 2 * t**3
    slope = (6 * t - 6 * t**2) / (1.5 - 3 * t + 3 * t**2)
    return Candidate(x0 + (x1 - x0) * x, y0 + (y1 - y0) * y, slope * (y1 - y0) / (x1 - x0))


def _mean_y(points: list[Point]) -> float:
    return sum(p.y for p in points) / len(points)
