"""Notes on the map: a box of the size its words need."""

from __future__ import annotations

from core.ids import in_order
from core.job.document import Job
from core.layout import metrics
from core.layout.shapes import Point, Rect

UNPLACED_AT = Point(0.0, -60.0)


def note_lines(text: str) -> tuple[str, ...]:
    """A note's text in lines as wide as its box."""
    return metrics.wrapped(text, metrics.NOTE_TYPE, metrics.NOTE_WIDTH - 2 * metrics.NOTE_PADDING)


def note_shapes(job: Job) -> dict[str, Rect]:
    """The boxes of all notes; those without a place stand in a row above the map."""
    found: dict[str, Rect] = {}
    waiting = 0
    for name in in_order(job.notes):
        height = len(note_lines(job.notes[name].text)) * metrics.NOTE_LINE + 2 * metrics.NOTE_PADDING
        place = job.view.places.get(name)
        if place is not None:
            x, y = place.x, place.y
        else:
            x = UNPLACED_AT.x + waiting * (metrics.NOTE_WIDTH + metrics.NOTE_PADDING)
            y = UNPLACED_AT.y - height
            waiting += 1
        found[name] = Rect(x, y, metrics.NOTE_WIDTH, height)
    return found
