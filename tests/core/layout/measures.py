"""How a map looks, in figures: wires that lie along each other, names under wires, turns and ways around."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import hypot

from core.layout.crossings import cubic_of, wires_of
from core.layout.grid import Grid
from core.layout.joints import name_box
from core.layout.routes import Cubic, box
from core.layout.shapes import Curve, MapLayout, Point, Rect

STEP = 4.0  # units between the points at which two wires are compared
CLOSE = 4.0
PARALLEL = 0.94  # cosine: within about 20 degrees of each other
SHORT = 40.0  # two wires that cross at a narrow angle lie along each other for so long
PITCH = 16.0


def nets_of(layout: MapLayout) -> dict[str, str]:
    """Curve key to one end of the net that it belongs to."""
    root: dict[str, str] = {}

    def find(node: str) -> str:
        root.setdefault(node, node)
        while root[node] != node:
            node = root[node]
        return node

    for curve in wires_of(layout):
        root[find(curve.ends[0])] = find(curve.ends[1])
    return {curve.key: find(curve.ends[0]) for curve in wires_of(layout)}


def length_along_each_other(layout: MapLayout) -> float:
    """The length over which wires of different nets lie closer than 4 units and nearly parallel, for more
    than a short crossing."""
    nets = nets_of(layout)
    cells: dict[tuple[int, int], list[tuple[str, Point, Point]]] = {}
    close: dict[tuple[str, str], set[int]] = {}
    for curve in sorted(wires_of(layout), key=lambda curve: curve.key):
        mine = list(_steps(cubic_of(curve)))
        for number, (at, way) in enumerate(mine):
            column, row = int(at.x // PITCH), int(at.y // PITCH)
            for cell in ((column + i, row + j) for i in (-1, 0, 1) for j in (-1, 0, 1)):
                for key, other, heading in cells.get(cell, ()):
                    if (
                        nets[key] != nets[curve.key]
                        and hypot(at.x - other.x, at.y - other.y) < CLOSE
                        and abs(way.x * heading.x + way.y * heading.y) > PARALLEL
                    ):
                        close.setdefault((curve.key, key), set()).add(number)
        for at, way in mine:
            cells.setdefault((int(at.x // PITCH), int(at.y // PITCH)), []).append((curve.key, at, way))
    return sum(run for numbers in close.values() for run in _runs(sorted(numbers)) if run > SHORT)


def _runs(numbers: list[int]) -> Iterator[float]:
    """The lengths of the stretches in which one number follows the other."""
    length = 0.0
    for number, after in pairwise([*numbers, -9]):
        length += STEP
        if after != number + 1:
            yield length
            length = 0.0


def names_under_wires(layout: MapLayout) -> set[str]:
    """The joints whose name a wire of another joint runs over."""
    hit: set[str] = set()
    grid = Grid(64.0)
    for joint, shape in layout.joints.items():
        grid.put(joint, name_box(joint, shape.label_at))
    for curve in wires_of(layout):
        for joint in grid.near(box(cubic_of(curve))):
            if joint not in curve.ends and any(
                grid.rects[joint].contains(p) for p, _ in _steps(cubic_of(curve))
            ):
                hit.add(joint)
    return hit


def names_on_things(layout: MapLayout) -> set[str]:
    """The joints whose name lies over a block, a dot or another name."""
    boxes = {joint: name_box(joint, shape.label_at) for joint, shape in layout.joints.items()}
    dots = {joint: dot(shape.centre) for joint, shape in layout.joints.items()}
    found: set[str] = set()
    for joint, mine in boxes.items():
        others = [boxes[other] for other in boxes if other != joint]
        others += [dots[other] for other in dots if other != joint]
        if any(mine.overlaps(other) for other in [*others, *(b.bounds for b in layout.blocks.values())]):
            found.add(joint)
    return found


def dot(centre: Point) -> Rect:
    return Rect(centre.x - 7.0, centre.y - 7.0, 14.0, 14.0)


def ways_around(layout: MapLayout) -> list[Curve]:
    """The wires that make their way around a block."""
    return [curve for curve in wires_of(layout) if f"{curve.key}/1" in layout.curves]


def _steps(cubic: Cubic) -> Iterator[tuple[Point, Point]]:
    """Points about `STEP` apart along a cubic, and the way it heads there."""
    count = 48
    points = [_at(cubic, n / count) for n in range(count + 1)]
    rest = 0.0
    for a, b in pairwise(points):
        dx, dy = b.x - a.x, b.y - a.y
        length = hypot(dx, dy)
        if length == 0:
            continue
        while rest < length:
            share = rest / length
            yield Point(a.x + dx * share, a.y + dy * share), Point(dx / length, dy / length)
            rest += STEP
        rest -= length


def _at(cubic: Cubic, t: float) -> Point:
    u = 1 - t
    p, q, r, s = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = cubic
    return Point(p * ax + q * bx + r * cx + s * dx, p * ay + q * by + r * cy + s * dy)
