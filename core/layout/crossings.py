"""How often the wires of a map cross, and where they run through parts they do not belong to."""

from __future__ import annotations

from itertools import pairwise

from core.layout.grid import Grid
from core.layout.routes import Cubic, box, sampled
from core.layout.shapes import Curve, MapLayout, Point

PITCH = 80.0
FEW = 8  # pieces of a curve: enough to tell where it crosses another

# left, right, top, bottom, its two points; key, owner and ends of its curve
Segment = tuple[float, float, float, float, Point, Point, str, str, str, str]


def wires_of(layout: MapLayout) -> list[Curve]:
    """The curves that run over the map: leads and wires, not fans and contacts."""
    return [curve for curve in layout.curves.values() if curve.role in ("lead", "wire")]


def count_crossings(layout: MapLayout) -> int:
    """How many times wires that do not meet at a joint or flag cross each other."""
    cells: dict[tuple[int, int], list[Segment]] = {}
    found: set[tuple[str, str, int, int]] = set()
    for curve in sorted(wires_of(layout), key=lambda curve: curve.key):
        key, owner, (one, other) = curve.key, curve.owner, curve.ends
        for a, b in pairwise(_points(curve)):
            left, right = (a.x, b.x) if a.x < b.x else (b.x, a.x)
            top, bottom = (a.y, b.y) if a.y < b.y else (b.y, a.y)
            segment = (left, right, top, bottom, a, b, key, owner, one, other)
            for column in range(int(left // PITCH), int(right // PITCH) + 1):
                for row in range(int(top // PITCH), int(bottom // PITCH) + 1):
                    here = cells.setdefault((column, row), [])
                    for its_left, its_right, its_top, its_bottom, c, d, its_key, its_owner, p, q in here:
                        if (
                            its_left < right
                            and left < its_right
                            and its_top < bottom
                            and top < its_bottom
                            and owner != its_owner
                            and one not in (p, q)
                            and other not in (p, q)
                        ):
                            at = _crossing(a, b, c, d)
                            if at is not None:
                                found.add((key, its_key, round(at.x), round(at.y)))
                    here.append(segment)
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
    return sampled(cubic_of(curve), FEW)


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
