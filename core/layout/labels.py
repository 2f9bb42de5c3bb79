"""Where a joint's name stands: beside its dot, off the wires, and off what belongs to other joints."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

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

# What it costs: a wire over the name, a wire of the joint's own (all of them at most), room where another name may stand (most
# stand above their dots), and each place further down the list.
FOREIGN, OWN, MOST_OWN, ABOVE_OTHER, NEAR_OTHER, LATE = 10.0, 3.0, 9.0, 8.0, 2.0, 0.01


class Segment(NamedTuple):
    """A straight piece of a curve near a joint."""

    ax: float
    ay: float
    bx: float
    by: float
    own: bool


class Names:
    """Chooses the places of names from what is drawn."""

    def __init__(self, book: JointBook, curves: CurveBook, blocks: Grid) -> None:
        self.book, self.curves, self.blocks = book, curves, blocks
        self.polylines: dict[str, list[Point]] = {}

    def named(self, joint: str) -> JointShape:
        """The joint's shape with its name at the first place that is free, else at the freest."""
        shape = self.book.shapes[joint]
        region = region_of(joint, shape.centre)
        segments = self._segments(joint, region)
        if not segments and not self.blocks.near(region):
            return shape
        others = [self.book.shapes[name] for name in self.book.boxes.near(_wide(region)) if name != joint]
        best: tuple[float, Point] | None = None
        for number, at in enumerate(_places(shape, half_width(len(joint)))):
            cost = number * LATE + self._cost(joint, at, segments, others)
            if best is None or cost < best[0]:
                best = cost, at
            if cost < 1.0:
                break
        assert best is not None
        return shape if best[1] == shape.label_at else replace(shape, label_at=best[1])

    def _cost(self, joint: str, at: Point, segments: list[Segment], others: list[JointShape]) -> float:
        half = half_width(len(joint))
        left, top, right, bottom = at.x - half, at.y - HALF, at.x + half, at.y + HALF
        cost = own = 0.0
        for segment in segments:
            if crosses(segment, left, top, right, bottom):
                if segment.own:
                    own = min(own + OWN, MOST_OWN)
                else:
                    cost += FOREIGN
        box = Rect(left, top, right - left, bottom - top)
        if self.blocks.near(box):
            cost += FOREIGN
        for other in others:
            if box.overlaps(_dot(other.centre)):
                cost += FOREIGN
            elif box.overlaps(box_at(other.joint, other.centre)):
                cost += ABOVE_OTHER
            elif box.overlaps(region_of(other.joint, other.centre)):
                cost += NEAR_OTHER
        return cost + own

    def _segments(self, joint: str, region: Rect) -> list[Segment]:
        left, top = region.x, region.y
        right, bottom = region.right, region.bottom
        found: list[Segment] = []
        for key in self.curves.through(region):
            for curve in self.curves.pieces_of(key):
                own = joint in curve.ends
                points = self._polyline(curve)
                ax, ay = points[0]
                for point in points:
                    bx, by = point
                    if (
                        (ax < right or bx < right)
                        and (ax > left or bx > left)
                        and (ay < bottom or by < bottom)
                        and (ay > top or by > top)
                    ):
                        found.append(Segment(ax, ay, bx, by, own))
                    ax, ay = bx, by
        return found

    def _polyline(self, curve: Curve) -> list[Point]:
        points = self.polylines.get(curve.key)
        if points is None:
            points = self.polylines[curve.key] = sampled((curve.a, curve.c1, curve.c2, curve.b))
        return points


def region_of(joint: str, centre: Point) -> Rect:
    """All that a joint's name may cover, whichever place it takes."""
    half = half_width(len(joint))
    wide, high = 2 * half + SIDE_GAP, half + 2 * SIDE_GAP + SLID + HALF
    return Rect(centre.x - wide, centre.y - high, 2 * wide, 2 * high)


def crosses(segment: Segment, left: float, top: float, right: float, bottom: float) -> bool:
    """Whether a segment enters a rectangle (Liang and Barsky's clipping)."""
    ax, ay, bx, by, _ = segment
    first, last = 0.0, 1.0
    for start, way, low, high in ((ax, bx - ax, left, right), (ay, by - ay, top, bottom)):
        if way == 0:
            if not low < start < high:
                return False
            continue
        enter, leave = (low - start) / way, (high - start) / way
        if enter > leave:
            enter, leave = leave, enter
        first, last = max(first, enter), min(last, leave)
        if first >= last:
            return False
    return True


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


def _dot(centre: Point) -> Rect:
    radius = metrics.JOINT_RADIUS
    return Rect(centre.x - radius, centre.y - radius, 2 * radius, 2 * radius)


def _wide(region: Rect) -> Rect:
    """Where the other joints stand whose names may come near."""
    return Rect(
        region.x - region.width / 2, region.y - region.height / 2, 2 * region.width, 2 * region.height
    )


def beside(rect: Rect) -> Rect:
    """Where the joints stand whose names may have to do with what is in `rect`."""
    margin = 128.0
    return Rect(rect.x - margin, rect.y - margin, rect.width + 2 * margin, rect.height + 2 * margin)
