"""How often the wires of a map cross, and where they run through parts they do not belong to."""

from __future__ import annotations

from itertools import pairwise

from core.layout.grid import Grid
from core.layout.routes import Cubic, box, sampled
from core.layout.shapes import Curve, MapLayout, Point

PITCH = 120.0
STEP = 3  # every third sample of a curve is enough to tell where it crosses another

Segment = tuple[Point, Point, Curve]


def wires_of(layout: MapLayout) -> list[Curve]:
    """The curves that run over the map: leads and wires, not fans and contacts."""
    return [curve for curve in layout.curves.values() if curve.role in ("lead", "wire")]


def count_crossings(layout: MapLayout) -> int:
    """How many times wires that do not meet at a joint or flag cross each other."""
    cells: dict[tuple[int, int], list[Segment]] = {}
    found: set[tuple[str, str, int, int]] = set()
    for curve in sorted(wires_of(layout), key=lambda curve: curve.key):
        for a, b in pairwise(_points(curve)):
            for cell in _cells(a, b):
                here = cells.setdefault(cell, [])
                for c, d, other in here:
                    at = None if _meet(curve, other) else _crossing(a, b, c, d)
                    if at is not None:
                        found.add((curve.key, other.key, round(at.x), round(at.y)))
                here.append((a, b, curve))
    return len(found)


def samples_in_the_way(layout: MapLayout) -> list[tuple[str, str]]:
    """(curve, block) for every sample of a wire that lies in a block it does not belong to."""
    blocks = Grid(160.0)
    for name, block in layout.blocks.items():
        blocks.put(name, block.bounds)
    found: list[tuple[str, str]] = []
    for curve in wires_of(layout):
        own = {layout.block_of.get(ref.partition(".")[0]) for ref in curve.ends}
        near = [name for name in blocks.near(box(cubic_of(curve))) if name not in own]
        for name in near:
            inside = [point for point in sampled(cubic_of(curve)) if blocks.rects[name].contains(point)]
            found += [(curve.key, name)] * len(inside)
    return found


def cubic_of(curve: Curve) -> Cubic:
    return curve.a, curve.c1, curve.c2, curve.b


def _points(curve: Curve) -> list[Point]:
    points = sampled(cubic_of(curve))
    return [*points[:-1:STEP], points[-1]]


def _meet(one: Curve, other: Curve) -> bool:
    return one.owner == other.owner or not {*one.ends}.isdisjoint(other.ends)


def _cells(a: Point, b: Point) -> list[tuple[int, int]]:
    columns = range(int(min(a.x, b.x) // PITCH), int(max(a.x, b.x) // PITCH) + 1)
    rows = range(int(min(a.y, b.y) // PITCH), int(max(a.y, b.y) // PITCH) + 1)
    return [(column, row) for column in columns for row in rows]


def _crossing(a: Point, b: Point, c: Point, d: Point) -> Point | None:
    rx, ry, sx, sy = b.x - a.x, b.y - a.y, d.x - c.x, d.y - c.y
    across = rx * sy - ry * sx
    if across == 0:
        return None
    qx, qy = c.x - a.x, c.y - a.y
    t, u = (qx * sy - qy * sx) / across, (qx * ry - qy * rx) / across
    if not (0 <= t < 1 and 0 <= u < 1):
        return None
    return Point(a.x + t * rx, a.y + t * ry)
