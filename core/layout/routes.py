"""How wires run: smooth cubics that leave flags level, and ways around the parts that stand between."""

from __future__ import annotations

from typing import NamedTuple

from core.layout.grid import Grid, union
from core.layout.shapes import Point, Rect

SAMPLES = 24
CLEARANCE = 4.0
LANE_MARGIN = 18.0
LANE_EDGE = 10.0
LANE_WIDTH = 24.0
MOST_DETOURS = 3
MOST_LANES = 6

Cubic = tuple[Point, Point, Point, Point]
_WEIGHTS = [
    ((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3)
    for t in (step / SAMPLES for step in range(1, SAMPLES))
]


class Stop(NamedTuple):
    """Where a wire begins or ends. `facing` is +1 where it leaves to the right, -1 to the left, 0 either way
    (a joint); `slope` is dy/dx there."""

    at: Point
    facing: int
    slope: float = 0.0


class Route(NamedTuple):
    """The cubics of one wire in order. `reach` holds every place that was looked at to choose them."""

    pieces: tuple[Cubic, ...]
    reach: Rect


def fan(edge: Point, root: Point) -> Cubic:
    """From the edge of a face to a flag: level at both."""
    half = (root.x - edge.x) / 2
    return (edge, Point(edge.x + half, edge.y), Point(root.x - half, root.y), root)


def route(a: Stop, b: Stop, blocks: Grid, own: frozenset[str]) -> Route:
    """From `a` to `b`, around every block but those in `own`, as far as there is a way."""
    return _route(a, b, blocks, own, 0)


def _route(a: Stop, b: Stop, blocks: Grid, own: frozenset[str], depth: int) -> Route:
    plain = _cubic(a, b, None)
    reach = box(plain)
    near = [name for name in blocks.near(_grown(reach)) if name not in own]
    if not near:
        return Route((plain,), _grown(reach))
    rects = [blocks.rects[name] for name in near]
    hit = first_hit(plain, rects)
    if hit is None:
        return Route((plain,), _grown(reach))
    if _opposed(a, b):
        for handles in ((0.85, 0.1), (0.1, 0.85)):
            other = _cubic(a, b, handles)
            if first_hit(other, rects) is None:
                return Route((other,), _grown(union((reach, box(other)))))
    if depth < MOST_DETOURS:
        around = _around(a, b, hit, blocks, own, depth)
        return Route(around.pieces or (plain,), _grown(union((reach, around.reach))))
    return Route((plain,), _grown(reach))


def _cubic(a: Stop, b: Stop, handles: tuple[float, float] | None) -> Cubic:
    """The cubic between two stops. At a joint the handle is short, so that both its wires make one curve."""
    way = a.facing or -b.facing or (1 if b.at.x >= a.at.x else -1)
    across = (b.at.x - a.at.x) * way
    level = abs(b.at.y - a.at.y)
    if _opposed(a, b) and across > 4.0:
        first, last = handles or (0.45 if a.facing else 0.27, 0.45 if b.facing else 0.27)
        if handles is None and a.facing and b.facing:
            first = last = 0.5
        out, back = way * across * first, -way * across * last
    else:
        loop = 40.0 + min(120.0, level * 0.25)
        out, back = loop * (a.facing or b.facing or 1), loop * (b.facing or a.facing or 1)
    return (
        a.at,
        Point(a.at.x + out, a.at.y + out * a.slope),
        Point(b.at.x + back, b.at.y + back * b.slope),
        b.at,
    )


def _opposed(a: Stop, b: Stop) -> bool:
    """Whether a wire can run from the one to the other without turning back."""
    way = a.facing or -b.facing or (1 if b.at.x >= a.at.x else -1)
    return a.facing in (0, way) and b.facing in (0, -way) and (b.at.x - a.at.x) * way > 4.0


def _around(
    a: Stop, b: Stop, hit: tuple[Rect, float], blocks: Grid, own: frozenset[str], depth: int
) -> Route:
    """Above or below the block that is in the way, whichever is nearer; no pieces where there is no room."""
    block, height = hit
    way = 1 if b.at.x > a.at.x else -1
    left, right = block.x - LANE_MARGIN, block.right + LANE_MARGIN
    near, far = (left, right) if way > 0 else (right, left)
    beside = (near - a.at.x) * way >= LANE_MARGIN and (b.at.x - far) * way >= LANE_MARGIN
    if not beside or not _opposed(a, b):
        return Route((), block)
    lanes = [_lane(block, left, right, up, blocks) for up in (-1, 1)]
    free = [(abs(edge - height), up, edge, seen) for edge, up, seen in lanes if edge is not None]
    seen = union([seen for *_, seen in lanes])
    if not free:
        return Route((), seen)
    _, up, edge, _ = min(free)
    part = min(1.0, max(0.0, (height - block.y) / block.height))
    y = edge - (LANE_WIDTH - 4.0) * (1.0 - part) if up < 0 else edge + (LANE_WIDTH - 4.0) * part
    in_at, out_at = Point(near, y), Point(far, y)
    first = _route(a, Stop(in_at, -way), blocks, own, MOST_DETOURS)
    third = (far - near) / 3
    level: Cubic = (in_at, Point(near + third, y), Point(far - third, y), out_at)
    rest = _route(Stop(out_at, way), b, blocks, own, depth + 1)
    return Route((*first.pieces, level, *rest.pieces), union((first.reach, seen, rest.reach, box(level))))


def _lane(block: Rect, left: float, right: float, up: int, blocks: Grid) -> tuple[float | None, int, Rect]:
    """The edge of the first free lane above (-1) or below (1) a block, and what was looked at."""
    edge = block.y - LANE_EDGE if up < 0 else block.bottom + LANE_EDGE
    seen: list[Rect] = []
    for _ in range(MOST_LANES):
        lane = Rect(left, edge - LANE_WIDTH if up < 0 else edge, right - left, LANE_WIDTH)
        seen.append(lane)
        others = [blocks.rects[name] for name in blocks.near(lane)]
        if not others:
            return edge, up, union(seen)
        if up < 0:
            edge = min(other.y for other in others) - LANE_EDGE
        else:
            edge = max(other.bottom for other in others) + LANE_EDGE
    return None, up, union(seen)


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


def sampled(cubic: Cubic) -> list[Point]:
    """Points along a cubic, its ends included."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = cubic
    between = [
        Point(p * ax + q * bx + r * cx + s * dx, p * ay + q * by + r * cy + s * dy) for p, q, r, s in _WEIGHTS
    ]
    return [cubic[0], *between, cubic[3]]


def box(cubic: Cubic) -> Rect:
    """The rectangle around a cubic's four points, which holds the curve."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = cubic
    left, top = min(ax, bx, cx, dx), min(ay, by, cy, dy)
    return Rect(left, top, max(ax, bx, cx, dx) - left, max(ay, by, cy, dy) - top)


def _grown(rect: Rect) -> Rect:
    margin = CLEARANCE + 1.0
    return Rect(rect.x - margin, rect.y - margin, rect.width + 2 * margin, rect.height + 2 * margin)
