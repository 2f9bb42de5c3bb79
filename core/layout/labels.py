"""Where a joint's name stands: beside its dot, off the wires, and off what belongs to other joints."""

from __future__ import annotations

from dataclasses import replace

from core.layout import metrics
from core.layout.curves import CurveBook
from core.layout.grid import Grid
from core.layout.joints import JointBook, box_at, half_width
from core.layout.routes import sampled
from core.layout.shapes import Curve, JointShape, Point, Rect

RISE = metrics.JOINT_LABEL_RISE
HALF = metrics.JOINT_LABEL_HEIGHT / 2
SIDE_GAP = metrics.JOINT_RADIUS + 2.0
SLID = 12.0  # half the room between two wires of a bundle
STEEP = 0.12  # below this slope a name above its dot clears the wires beside it

# What it costs: a wire over the name, a wire of the joint's own (and all of these at most), room where
# another joint's name may stand (most stand above their dots), each place further down the list.
FOREIGN, OWN, MOST_OWN, ABOVE_OTHER, NEAR_OTHER, LATE = 10.0, 3.0, 9.0, 8.0, 2.0, 0.01
PIECES = 12  # straight pieces that stand for a curve

# A straight piece of a curve near a joint: left, right, top and bottom, its two ends, and whether it is the
# joint's own.
Segment = tuple[float, float, float, float, float, float, float, float, bool]
# What a curve covers (left, right, top, bottom), its points and its ends.
Drawn = tuple[float, float, float, float, list[Point], tuple[str, str]]


class Names:
    """Chooses the places of names from what is drawn."""

    def __init__(self, book: JointBook, curves: CurveBook, blocks: Grid) -> None:
        self.book, self.curves, self.blocks = book, curves, blocks
        self.drawn: dict[str, list[Drawn]] = {}

    def named(self, joint: str) -> JointShape:
        """The joint's shape with its name at the first place that is free, else at the freest."""
        shape = self.book.shapes[joint]
        region = region_of(joint, shape.centre)
        segments = self._segments(joint, region)
        if not segments and not self.blocks.near(region):
            return shape
        others = [self.book.shapes[name] for name in self.book.boxes.near(_wide(region)) if name != joint]
        walls = [self.blocks.rects[name] for name in self.blocks.near(region)]
        taken = [(rect, cost) for other in others for rect, cost in _taken(other) if rect.overlaps(region)]
        taken += [(rect, FOREIGN) for rect in walls]
        best: tuple[float, Point] | None = None
        half = half_width(len(joint))
        for number, at in enumerate(_places(shape, half)):
            cost = number * LATE + _cost(at, half, segments, taken)
            if best is None or cost < best[0]:
                best = cost, at
            if cost < 1.0:
                break
        assert best is not None
        return shape if best[1] == shape.label_at else replace(shape, label_at=best[1])

    def _segments(self, joint: str, region: Rect) -> list[Segment]:
        left, top, width, height = region
        right, bottom = left + width, top + height
        found: list[Segment] = []
        drawn = self.drawn
        for key in self.curves.through(region):
            pieces = drawn.get(key)
            if pieces is None:
                pieces = drawn[key] = [_drawn(curve) for curve in self.curves.pieces_of(key)]
            for its_left, its_right, its_top, its_bottom, points, ends in pieces:
                if its_left >= right or its_right <= left or its_top >= bottom or its_bottom <= top:
                    continue
                own = joint in ends
                ax, ay = points[0]
                for bx, by in points:
                    low, high = (ax, bx) if ax < bx else (bx, ax)
                    if low < right and high > left:
                        upper, lower = (ay, by) if ay < by else (by, ay)
                        if upper < bottom and lower > top:
                            found.append((low, high, upper, lower, ax, ay, bx, by, own))
                    ax, ay = bx, by
        return found


def _drawn(curve: Curve) -> Drawn:
    points = sampled((curve.a, curve.c1, curve.c2, curve.b), PIECES)
    xs, ys = zip(*points, strict=True)
    return min(xs), max(xs), min(ys), max(ys), points, curve.ends


def _cost(at: Point, half: float, segments: list[Segment], taken: list[tuple[Rect, float]]) -> float:
    """What stands or runs where the name would be."""
    x, y = at
    left, top, right, bottom = x - half, y - HALF, x + half, y + HALF
    cost = own = 0.0
    for low, high, upper, lower, ax, ay, bx, by, mine in segments:
        beside = low >= right or high <= left or upper >= bottom or lower <= top
        if beside or not crosses(ax, ay, bx, by, left, top, right, bottom):
            continue
        if mine:
            own = min(own + OWN, MOST_OWN)
        else:
            cost += FOREIGN
    for (x, y, width, height), price in taken:
        if x < right and y < bottom and x + width > left and y + height > top:
            cost += price
    return cost + own


def _taken(other: JointShape) -> tuple[tuple[Rect, float], ...]:
    """What another joint covers, and what each place costs that lies over it."""
    (x, y), radius = other.centre, metrics.JOINT_RADIUS
    return (
        (Rect(x - radius, y - radius, 2 * radius, 2 * radius), FOREIGN),
        (box_at(other.joint, other.centre), ABOVE_OTHER),
        (region_of(other.joint, other.centre), NEAR_OTHER),
    )


def region_of(joint: str, centre: Point) -> Rect:
    """All that a joint's name may cover, whichever place it takes."""
    half = half_width(len(joint))
    wide, high = 2 * half + SIDE_GAP, half + 2 * SIDE_GAP + SLID + HALF
    return Rect(centre.x - wide, centre.y - high, 2 * wide, 2 * high)


def crosses(
    ax: float, ay: float, bx: float, by: float, left: float, top: float, right: float, bottom: float
) -> bool:
    """Whether the segment from `a` to `b`, whose own rectangle overlaps this one, enters it: its corners do
    not all lie on one side of the line."""
    dx, dy = bx - ax, by - ay
    one = dx * (top - ay) - dy * (left - ax) > 0
    return not (
        one
        == (dx * (top - ay) - dy * (right - ax) > 0)
        == (dx * (bottom - ay) - dy * (left - ax) > 0)
        == (dx * (bottom - ay) - dy * (right - ax) > 0)
    )


def _places(shape: JointShape, half: float) -> list[Point]:
    """Where the name may stand, best first: between the wires of a bundle as steep as the joint's own."""
    (x, y), slope = shape.centre, shape.slope
    beside = half + SIDE_GAP
    plain = [Point(x, y - RISE), Point(x, y + RISE)]
    sides = [Point(x + beside, y), Point(x - beside, y)]
    diagonal = [*_diagonal(x, y, beside), *_diagonal(x, y, -beside)]
    if abs(slope) > 1.0:
        return [*sides, *diagonal, *plain]
    if abs(slope) < STEEP:
        return [*plain, *_diagonal(x, y, -0.6 * beside), *_diagonal(x, y, 0.6 * beside), *sides, *diagonal]
    back = -1.0 if slope > 0 else 1.0  # where the wire lies on the far side of the dot
    shifted = [
        Point(x + side * back * step * half, y - side * (13.0 + abs(slope) * step * half))
        for step in (0.6, 1.2)
        for side in (1.0, -1.0)
    ]
    slid = [
        Point(x + side * beside, y + side * (slope * beside + turn * SLID))
        for turn in (-1.0, 1.0)
        for side in (1.0, -1.0)
    ]
    return [*plain, *shifted, *slid, *sides, *diagonal]


def _diagonal(x: float, y: float, aside: float) -> list[Point]:
    """Above and to one side, below and to the other."""
    return [Point(x + aside, y - RISE), Point(x - aside, y + RISE)]


def _wide(region: Rect) -> Rect:
    """Where the other joints stand whose names may come near."""
    return Rect(
        region.x - region.width / 2, region.y - region.height / 2, 2 * region.width, 2 * region.height
    )


def beside(rect: Rect, margin: float = 64.0) -> Rect:
    """Where the joints stand whose names may have to do with what is in `rect`; those whose names meet the
    name of a joint there are twice as far off."""
    return Rect(rect.x - margin, rect.y - margin, rect.width + 2 * margin, rect.height + 2 * margin)
