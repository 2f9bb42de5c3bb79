"""A tall map cut into panels that stand side by side."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil, sqrt

from core.layout import metrics
from core.layout.grid import union
from core.layout.shapes import Point, Rect

TALLEST = 1.6  # no map is taller than so many times its width, if it is of many parts
AIM = 1.2


def is_too_tall(whole: Rect) -> bool:
    return whole.height > TALLEST * whole.width


def in_panels(corners: Mapping[str, Point], areas: Mapping[str, Rect]) -> dict[str, Point]:
    """The corners where they are; on too tall a map, in panels from left to right that are cut from top to
    bottom. `areas`: what each block may cover where it stands, whichever way its flags turn."""
    whole = union(areas[tag] for tag in corners)
    if not is_too_tall(whole):
        return dict(corners)
    across = whole.width + metrics.CORRIDOR
    panels = ceil(sqrt(whole.height / (AIM * across)))
    deep = whole.height / panels
    found: dict[str, Point] = {}
    for tag, corner in corners.items():
        panel = min(panels - 1, int((corner.y - whole.y) / deep))
        found[tag] = Point(corner.x + panel * across, corner.y - panel * deep)
    return found
