"""Names and letters on the map's picture, each set where nothing else is written."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from core.drawing.flow import Draft
from core.drawing.fonts import Font, width
from core.drawing.items import Box, Rect, Text, text_box
from core.drawing.style import INK, PAPER

Spot = tuple[float, float]


class Labels:
    """Knows what is written already. `unplaced` are the labels for which there was no room."""

    def __init__(self, draft: Draft, boxes: Iterable[Box]) -> None:
        self.draft = draft
        self.taken = [*map(text_box, draft.texts), *boxes]
        self.unplaced: list[str] = []

    def place(self, text: str, spots: Iterable[Spot], font: Font, size: float) -> None:
        """Writes with its middle on the first spot that is free."""
        wide = width(text, font, size)
        for x, y in spots:
            item = Text(x - wide / 2, y + size * 0.33, text, font, size, INK)
            box = text_box(item)
            if not any(overlap(box, other) for other in self.taken):
                self.draft.shapes.append(Rect(box.x - 1, box.y, box.width + 2, box.height, PAPER))
                self.draft.texts.append(item)
                self.taken.append(box)
                return
        self.unplaced.append(text)


def around(x: float, y: float, wide: float, high: float, away: float) -> list[Spot]:
    """Spots round a dot for the middle of a label: above and below, then beside it, then further off."""
    half = wide / 2
    spots = [
        (x, y - away - high / 2),
        (x, y + away + high / 2),
        (x + away + half, y),
        (x - away - half, y),
        (x + away + half, y - away),
        (x - away - half, y - away),
        (x + away + half, y + away),
        (x - away - half, y + away),
    ]
    return spots + [(x, y - away * steps - high / 2) for steps in (2, 3)]


def overlap(a: Box, b: Box) -> bool:
    return a.x < b.x + b.width and b.x < a.x + a.width and a.y < b.y + b.height and b.y < a.y + a.height


def any_overlap(boxes: Sequence[Box], slack: float) -> bool:
    """Whether any two overlap by more than `slack` points; found by sweeping down."""
    standing: list[Box] = []
    for box in sorted(boxes, key=lambda b: b.y):
        standing = [other for other in standing if other.y + other.height > box.y + slack]
        shrunk = box._replace(
            x=box.x + slack, y=box.y + slack, width=box.width - 2 * slack, height=box.height - 2 * slack
        )
        if any(overlap(shrunk, other) for other in standing):
            return True
        standing.append(box)
    return False
