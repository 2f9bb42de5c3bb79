"""How wires run: smooth cubics that leave flags level, and ways around the parts that stand between."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from itertools import pairwise
from math import isinf
from typing import NamedTuple

from core.layout.grid import Grid, union
from core.layout.shapes import Point, Rect

SAMPLES = 24
CLEARANCE = 4.0
LANE_MARGIN = 18.0
LANE_LEAD = 4.0  # the least room between a flag or joint and the way around a block
LANE_EDGE = 10.0
LANE_WIDTH = 24.0
TRACK_PITCH = 8.0  # between the middles of wires that lie beside each other in a lane
MOST_DETOURS = 3
MOST_LANES = 6

Cubic = tuple[Point, Point, Point, Point]


@lru_cache(maxsize=8)
def _weights(pieces: int) -> list[tuple[float, float, float, float]]:
    """What a cubic's four points weigh at the places where it is cut into so many pieces."""
    shares = (step / pieces for step in range(1, pieces))
    return [((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3) for t in shares]


_WEIGHTS = _weights(SAMPLES)


class Stop(NamedTuple):
    """Where a wire begins or ends. `facing` is +1 where it leaves to the right, -1 to the left, 0 either way
    (a joint); `slope` is dy/dx there."""

    at: Point
    facing: int
    slope: float = 0.0


class Lane(NamedTuple):
    """The way along one edge of a block: its left corner, the lane's edge, and -1 above it or 1 below."""

    x: float
    edge: float
    up: int


class Route(NamedTuple):
    """The cubics of one wire in order. `reach` holds every place that was looked at to choose them; `lanes`
    are those that it takes, each with how far out among the lane's wires it wants to lie."""

    pieces: tuple[Cubic, ...]
    reach: Rect
    lanes: tuple[tuple[Lane, float], ...] = ()


# A wire's place in each of its lanes, from the block outwards, and of how many.
Tracks = Mapping[Lane, tuple[int, int]]


def fan(edge: Point, root: Point) -> Cubic:
    """From the edge of a face to a flag: level at both."""
    half = (root.x - edge.x) / 2
    return (edge, Point(edge.x + half, edge.y), Point(root.x - half, root.y), root)


def route(a: Stop, b: Stop, blocks: Grid, own: frozenset[str], tracks: Tracks) -> Route:
    """From `a` to `b`, around every block but those in `own`, as far as there is a way."""
    return _Search(blocks, own, tracks).way(a, b, 0)


class _Search(NamedTuple):
    """What the way of one wire is looked for with."""

    blocks: Grid
    own: frozenset[str]
    tracks: Tracks

    def way(self, a: Stop, b: Stop, depth: int) -> Route:
        plain = _cubic(a, b, None)
        reach = _reach(plain)
        rects = [self.blocks.rects[name] for name in self.blocks.near(reach) if name not in self.own]
        hit = first_hit(plain, rects) if rects else None
        if hit is None or not _opposed(a, b):
            return Route((plain,), reach)
        for handles in ((0.85, 0.1), (0.1, 0.85)):
            other = _cubic(a, b, handles)
            if first_hit(other, rects) is None:
                return Route((other,), union((reach, box(other))))
        if depth >= MOST_DETOURS:
            return Route((plain,), reach)
        around = self._around(a, b, hit, depth)
        return Route(around.pieces or (plain,), union((reach, around.reach)), around.lanes)

    def _around(self, a: Stop, b: Stop, hit: tuple[Rect, float], depth: int) -> Route:
        """Above or below the block in the way, whichever is nearer; no pieces where there is no way.

        An end that stands over or under the block itself says which of the two, and has no corner to turn.
        """
        block, height = hit
        way = 1 if b.at.x > a.at.x else -1
        left, right = block.x - LANE_MARGIN, block.right + LANE_MARGIN
        near, far = (left, right) if way > 0 else (right, left)
        corners, sides = [near, far], [-1, 1]
        for stop, corner, room in ((a, near, near - a.at.x), (b, far, b.at.x - far)):
            if room * way < LANE_LEAD:
                corners.remove(corner)
                sides = [side for side in sides if side == _beyond(stop.at, block)]
        if not corners:
            return Route((), block)
        sides.sort(key=lambda up: abs((block.y if up < 0 else block.bottom) - height))
        seen, free = block, []
        for up in sides:
            edge, looked = self._lane(block, left, right, up)
            seen = union((seen, looked))
            if edge is not None:
                free.append((abs(edge - height), up, edge))
                if looked.height <= LANE_WIDTH:  # right beside the block: the other side cannot be nearer
                    break
        if not free:
            return Route((), seen)
        _, up, edge = min(free)
        lane = Lane(block.x, edge, up)
        place, count = self.tracks.get(lane, (0, 1))
        pitch, deep = TRACK_PITCH, count * TRACK_PITCH
        if deep > LANE_WIDTH:
            wide = Rect(left, edge - deep if up < 0 else edge, right - left, deep)
            seen = union((seen, wide))
            if self.blocks.near(wide):
                pitch = LANE_WIDTH / count
        y = edge + up * place * pitch
        rest = self._by(a, b, [Point(x, y) for x in corners], way, seen, depth)
        return rest._replace(lanes=((lane, up * (a.at.y + b.at.y)), *rest.lanes))

    def _by(self, a: Stop, b: Stop, corners: list[Point], way: int, seen: Rect, depth: int) -> Route:
        """From `a` level through the corners, and on to `b`."""
        first = self.way(a, Stop(corners[0], -way), MOST_DETOURS)
        pieces, reach = list(first.pieces), [seen, first.reach]
        for start, end in pairwise(corners):
            third = (end.x - start.x) / 3
            pieces.append((start, Point(start.x + third, start.y), Point(end.x - third, end.y), end))
        rest = self.way(Stop(corners[-1], way), b, depth + 1)
        return Route((*pieces, *rest.pieces), union((*reach, rest.reach)), rest.lanes)

    def _lane(self, block: Rect, left: float, right: float, up: int) -> tuple[float | None, Rect]:
        """The edge of the first free lane above (-1) or below (1) a block, and what was looked at."""
        edge = block.y - LANE_EDGE if up < 0 else block.bottom + LANE_EDGE
        seen: list[Rect] = []
        for _ in range(MOST_LANES):
            lane = Rect(left, edge - LANE_WIDTH if up < 0 else edge, right - left, LANE_WIDTH)
            seen.append(lane)
            others = [self.blocks.rects[name] for name in self.blocks.near(lane)]
            if not others:
                return edge, union(seen)
            if up < 0:
                edge = min(other.y for other in others) - LANE_EDGE
            else:
                edge = max(other.bottom for other in others) + LANE_EDGE
        return None, union(seen)


def _beyond(point: Point, block: Rect) -> int:
    """-1 where a point is higher than the block, 1 where it is lower, else 0."""
    return -1 if point.y <= block.y else 1 if point.y >= block.bottom else 0


def _cubic(a: Stop, b: Stop, handles: tuple[float, float] | None) -> Cubic:
    """The cubic between two stops. At a joint the handles are such that both its wires make one curve."""
    way = a.facing or -b.facing or (1 if b.at.x >= a.at.x else -1)
    across, climb = (b.at.x - a.at.x) * way, b.at.y - a.at.y
    if _opposed(a, b):
        first, last = handles or (_share(a, b, across * way, climb), _share(b, a, across * way, climb))
        out, back = way * across * first, -way * across * last
    else:
        loop = 40.0 + min(120.0, abs(climb) * 0.25)
        out, back = loop * (a.facing or b.facing or 1), loop * (b.facing or a.facing or 1)
    return a.at, _handle(a, out, climb), _handle(b, back, -climb), b.at


def _share(stop: Stop, other: Stop, across: float, climb: float) -> float:
    """How much of the way across a handle takes, so that the wires at a joint are parts of one trunk.

    The shares are those of a cubic with handles at half its way, cut in two: they follow from how steep it is
    at the cut, against the straight line.
    """
    joint = other if stop.facing else stop
    steep = joint.slope * across / climb if climb and not joint.facing else 0.0
    if stop.facing and other.facing:
        return 0.5
    if not 0.35 < steep < 2.0:  # near the flag that it comes from, or a branch
        return 0.45 if stop.facing else 0.27
    return 0.5 if stop.facing else 0.5 - 0.125 * steep


def _handle(stop: Stop, out: float, climb: float) -> Point:
    """The handle at a stop; it stands upright where a bracket turns back."""
    x, y = stop.at
    if isinf(stop.slope):
        return Point(x, y + climb / 2)
    return Point(x + out, y + _rise(out * stop.slope, climb))


def _rise(wanted: float, whole: float) -> float:
    """How far a handle may climb: as its joint's slope wants, but not past half the way nor away from it."""
    if wanted * whole <= 0:
        return 0.0
    return min(wanted, whole / 2) if whole > 0 else max(wanted, whole / 2)


def _opposed(a: Stop, b: Stop) -> bool:
    """Whether a wire can run from the one to the other without turning back."""
    way = a.facing or -b.facing or (1 if b.at.x >= a.at.x else -1)
    return a.facing in (0, way) and b.facing in (0, -way) and (b.at.x - a.at.x) * way > 4.0


def first_hit(cubic: Cubic, rects: list[Rect]) -> tuple[Rect, float] | None:
    """The first rectangle that a cubic enters, and at which height."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = cubic
    sides = [
        (r[0] - CLEARANCE, r[1] - CLEARANCE, r[0] + r[2] + CLEARANCE, r[1] + r[3] + CLEARANCE) for r in rects
    ]
    for p, q, r, s in _WEIGHTS:
        x = p * ax + q * bx + r * cx + s * dx
        y = p * ay + q * by + r * cy + s * dy
        for index, (left, top, right, bottom) in enumerate(sides):
            if left < x < right and top < y < bottom:
                return rects[index], y
    return None


def sampled(cubic: Cubic, pieces: int = SAMPLES) -> list[Point]:
    """The points that cut a cubic into so many pieces, its ends included."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = cubic
    between = [
        Point(p * ax + q * bx + r * cx + s * dx, p * ay + q * by + r * cy + s * dy)
        for p, q, r, s in _weights(pieces)
    ]
    return [cubic[0], *between, cubic[3]]


def box(cubic: Cubic) -> Rect:
    """The rectangle around a cubic's four points, which holds the curve."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = cubic
    left, top = min(ax, bx, cx, dx), min(ay, by, cy, dy)
    return Rect(left, top, max(ax, bx, cx, dx) - left, max(ay, by, cy, dy) - top)


def _reach(cubic: Cubic) -> Rect:
    """Where a block would be in the way of a cubic."""
    x, y, width, height = box(cubic)
    margin = CLEARANCE + 1.0
    return Rect(x - margin, y - margin, width + 2 * margin, height + 2 * margin)
