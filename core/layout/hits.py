"""What is at a point of the map, told by arithmetic, and how far the map reaches."""

from __future__ import annotations

from typing import Literal, NamedTuple

from core.layout import metrics
from core.layout.grid import union
from core.layout.joints import box_at
from core.layout.routes import box
from core.layout.shapes import BlockShape, FaceShape, FlagShape, MapLayout, Point, Rect

JOINT_REACH = 2 * metrics.JOINT_RADIUS  # targets are at least 28 units wide


class Hit(NamedTuple):
    """The thing at a point. `ref` is a joint, terminal, note or part; `block` the part that draws it."""

    kind: Literal["joint", "flag", "cavity", "block", "note"]
    ref: str
    block: str | None


def thing_at(layout: MapLayout, point: Point) -> Hit | None:
    """What a person means by that point: joints lie over flags, flags over faces, faces over their block."""
    for joint in layout.joints.values():
        if abs(joint.centre.x - point.x) <= JOINT_REACH and abs(joint.centre.y - point.y) <= JOINT_REACH:
            return Hit("joint", joint.joint, None)
    for block in layout.blocks.values():
        if block.bounds.contains(point):
            return thing_in(block, point)
    for name, rect in layout.notes.items():
        if rect.contains(point):
            return Hit("note", name, None)
    return None


def thing_in(block: BlockShape, point: Point) -> Hit:
    """The flag or cavity of a block at a point inside it, else the block itself."""
    flag = flag_at(block, point)
    if flag is not None:
        return Hit("flag", flag.terminal, block.part)
    for face in block.faces:
        if face.body.contains(point):
            terminal = cavity_at(face, point)
            if terminal is not None:
                return Hit("cavity", terminal, block.part)
    return Hit("block", block.part, block.part)


def flag_at(block: BlockShape, point: Point) -> FlagShape | None:
    return next((flag for flag in block.flags if flag.rect.contains(point)), None)


def cavity_at(face: FaceShape, point: Point) -> str | None:
    """The terminal whose cell holds the point."""
    return next((cell.terminal for cell in face.cavities if cell.rect.contains(point)), None)


def bounds(layout: MapLayout) -> Rect:
    """The rectangle around everything on the map; empty for an empty map."""
    rects = [block.bounds for block in layout.blocks.values()]
    rects += [box((curve.a, curve.c1, curve.c2, curve.b)) for curve in layout.curves.values()]
    rects += [box_at(shape.joint, shape.centre) for shape in layout.joints.values()]
    rects += layout.notes.values()
    return union(rects)
