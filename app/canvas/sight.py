"""How much room things take on the map: what fitting and revealing look at."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QRectF

from app.canvas.hit import Finder
from core.ids import kind_of
from core.layout.shapes import MapLayout

EMPTY_MAP = QRectF(-400, -300, 800, 600)


def extent(layout: MapLayout) -> QRectF:
    """The rectangle around everything on the map."""
    around = QRectF()
    for block in layout.blocks.values():
        around = around.united(QRectF(*block.bounds))
    for note in layout.notes.values():
        around = around.united(QRectF(*note))
    for joint in layout.joints.values():
        around = around.united(QRectF(joint.centre.x - 8, joint.centre.y - 24, 16, 32))
    for curve in layout.curves.values():
        if curve.role == "wire":
            around = around.united(QRectF(curve.a.x - 8, curve.a.y - 8, 16, 16))
            around = around.united(QRectF(curve.b.x - 8, curve.b.y - 8, 16, 16))
    return around if not around.isNull() else EMPTY_MAP


def around_things(finder: Finder, refs: Iterable[str]) -> QRectF | None:
    """The rectangle around these things; a part counts with its flags. None where none of them is shown."""
    layout, around = finder.layout, QRectF()
    for ref in refs:
        block = layout.block_of.get(ref) if kind_of(ref) == "part" else None
        if block is not None:
            around = around.united(QRectF(*layout.blocks[block].bounds))
            continue
        outline = finder.outline(ref)
        if outline is not None:
            around = around.united(outline[0])
            continue
        for curve in finder.wires_of(ref):
            xs = [p.x for p in (curve.a, curve.c1, curve.c2, curve.b)]
            ys = [p.y for p in (curve.a, curve.c1, curve.c2, curve.b)]
            around = around.united(QRectF(min(xs), min(ys), max(xs) - min(xs) + 1, max(ys) - min(ys) + 1))
    return None if around.isNull() else around
