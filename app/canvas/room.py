"""Where there is room on the map for one more part."""

from __future__ import annotations

from PySide6.QtCore import QRectF

from core.job.parts import Part
from core.layout.metrics import BLOCK_GAP, CELL_HEIGHT, CELL_WIDTH, FAN_GAP, FLAG_LEAST, FLAG_PITCH
from core.layout.shapes import MapLayout

STEP = 40.0
RINGS = 60


def free_corner(layout: MapLayout, part: Part, seen: QRectF) -> tuple[float, float]:
    """The corner nearest to the middle of what is seen at which a part of about that size covers nothing."""
    size = _about(part)
    taken = [
        QRectF(*block.bounds).adjusted(-BLOCK_GAP, -BLOCK_GAP, BLOCK_GAP, BLOCK_GAP)
        for block in layout.blocks.values()
    ]
    taken += [QRectF(*note) for note in layout.notes.values()]
    centre = seen.center()
    for ring in range(RINGS):
        for across, down in _around(ring):
            x = centre.x() - size.width() / 2 + across * STEP
            y = centre.y() - size.height() / 2 + down * STEP
            if not any(rect.intersects(QRectF(x, y, size.width(), size.height())) for rect in taken):
                # The place of a part is the corner of its face; half of what was measured are its flags.
                return round(x + (size.width() - _face_width(part)) / 2), round(y)
    return round(centre.x()), round(_bottom(taken, centre.y()))


def _bottom(taken: list[QRectF], least: float) -> float:
    return max([least, *(rect.bottom() for rect in taken)])


def _around(ring: int) -> list[tuple[int, int]]:
    if ring == 0:
        return [(0, 0)]
    span = range(-ring, ring + 1)
    edge = [(x, y) for x in span for y in span if max(abs(x), abs(y)) == ring]
    return sorted(edge, key=lambda p: (p[0] ** 2 + p[1] ** 2, p))


def _face_width(part: Part) -> float:
    return max((c.face.columns * CELL_WIDTH + 16 if c.face else 22.0) for c in part.connectors)


def _about(part: Part) -> QRectF:
    rows = sum(
        max(c.face.rows * CELL_HEIGHT if c.face else 0.0, len(c.cavities) * FLAG_PITCH) + 60
        for c in part.connectors
    )
    return QRectF(0, 0, _face_width(part) + 2 * (FAN_GAP + FLAG_LEAST), rows)
