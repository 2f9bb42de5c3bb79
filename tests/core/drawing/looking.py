"""What tests look for on a page: what overlaps, what runs out of the frame, what stands in a row."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from core.drawing.fonts import LEAST_SIZE
from core.drawing.items import Box, Circle, Curve, Line, Modules, Page, Rect, Shape, text_box

SLACK = 0.35
"""A third of a point: rounding, and type whose neighbours only touch."""
APART = frozenset(
    [
        "title",
        "heading",
        "line",
        "caution",
        "legend",
        "face",
        "pin",
        "lead",
        "wire",
        "joint",
        "cap",
        "pull",
        "left",
        "open",
        "part",
        "accepted",
    ]
) | {"title block", "open conflict", "rule not run"}


def faults(page: Page) -> list[str]:
    """Everything on the page that a person would call a printing fault."""
    found = [f"{text.text!r} is set in {text.size}" for text in page.texts if text.size < LEAST_SIZE]
    frame = page.frame
    for text in page.texts:
        box = text_box(text)
        zone = len(text.text) == 1 and not _touches(box, frame)
        if not zone and not _inside(box, frame):
            found.append(f"{text.text!r} runs out of the frame")
    for shape in page.shapes:
        box = extent(shape)
        if not _inside(box, Box("paper", (), 0, 0, page.width, page.height)):
            found.append(f"{shape} runs off the paper")
    found += [f"{a.refs[0]!r} is written over {b.refs[0]!r}" for a, b in _overlaps(map(text_box, page.texts))]
    apart = [box for box in page.boxes if box.kind.removesuffix(" continued") in APART]
    found += [f"{a.kind} {a.refs} lies over {b.kind} {b.refs}" for a, b in _overlaps(apart)]
    outside = [box for box in page.boxes if not _inside(box, frame)]
    return found + [f"{box.kind} {box.refs} leaves the frame" for box in outside]


def extent(shape: Shape) -> Box:
    match shape:
        case Line():
            xs, ys = (shape.x1, shape.x2), (shape.y1, shape.y2)
        case Rect():
            xs, ys = (shape.x, shape.x + shape.width), (shape.y, shape.y + shape.height)
        case Circle():
            xs = (shape.x - shape.radius, shape.x + shape.radius)
            ys = (shape.y - shape.radius, shape.y + shape.radius)
        case Curve():
            xs = (shape.x1, shape.x2, shape.x3, shape.x4)
            ys = (shape.y1, shape.y2, shape.y3, shape.y4)
        case Modules():
            side = max(row for _, row, _ in shape.runs) + 1
            xs, ys = (shape.x, shape.x + side * shape.cell), (shape.y, shape.y + side * shape.cell)
    return Box("shape", (), min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


def rows(pages: Iterable[Page], sheet: str, kind: str) -> Counter[str]:
    """How many rows of that kind each id has, over all pages of a sheet."""
    return Counter(
        ref
        for page in pages
        if page.sheet == sheet
        for box in page.boxes
        if box.kind == kind
        for ref in box.refs
    )


def words_in(page: Page, box: Box) -> str:
    """What is written inside a box, from left to right."""
    texts = [t for t in page.texts if _inside(text_box(t), box)]
    return " ".join(t.text for t in sorted(texts, key=lambda t: (t.x, t.y)))


def row_words(pages: Sequence[Page], sheet: str, kind: str, ref: str) -> str:
    """What the row of an id says."""
    for page in pages:
        for box in page.boxes:
            if page.sheet == sheet and box.kind == kind and ref in box.refs:
                return words_in(page, box)
    raise AssertionError(f"{ref} has no row of kind {kind} on sheet {sheet}")


def _inside(box: Box, frame: Box) -> bool:
    return (
        box.x >= frame.x - SLACK
        and box.y >= frame.y - SLACK
        and box.x + box.width <= frame.x + frame.width + SLACK
        and box.y + box.height <= frame.y + frame.height + SLACK
    )


def _touches(a: Box, b: Box) -> bool:
    return (
        a.x + SLACK < b.x + b.width
        and b.x + SLACK < a.x + a.width
        and a.y + SLACK < b.y + b.height
        and b.y + SLACK < a.y + a.height
    )


def _overlaps(boxes: Iterable[Box]) -> list[tuple[Box, Box]]:
    """Every pair that overlaps, found by sweeping down the page."""
    found: list[tuple[Box, Box]] = []
    open_boxes: list[Box] = []
    for box in sorted(boxes, key=lambda b: b.y):
        open_boxes = [other for other in open_boxes if other.y + other.height > box.y + SLACK]
        found += [(other, box) for other in open_boxes if _touches(other, box)]
        open_boxes.append(box)
    return found
