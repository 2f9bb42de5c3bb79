"""Sheets of paper, all lying down: sizes, frame and zones.

Sizes: ISO 216 and, for letter and tabloid, the inch sizes of ANSI/ASME Y14.1. Frame: ISO 5457, 20 mm on
the left and 10 mm on the other sides; on letter, tabloid and A4 lying down the same margins are our choice.
"""

from __future__ import annotations

from typing import NamedTuple

from core.errors import UserError

MM = 72 / 25.4
"""Points in a millimetre."""
LEFT_MARGIN_MM = 20
MARGIN_MM = 10
ZONE_COLUMNS = 8
ZONE_ROWS = 6


class Paper(NamedTuple):
    """One size, lying down, in millimetres."""

    name: str
    width_mm: float
    height_mm: float

    @property
    def frame_mm(self) -> tuple[float, float, float, float]:
        """Left, top, width and height of the drawing space."""
        return (
            LEFT_MARGIN_MM,
            MARGIN_MM,
            self.width_mm - LEFT_MARGIN_MM - MARGIN_MM,
            self.height_mm - 2 * MARGIN_MM,
        )


PAPERS = {
    paper.name: paper
    for paper in (
        Paper("letter", 279.4, 215.9),
        Paper("a4", 297, 210),
        Paper("tabloid", 431.8, 279.4),
        Paper("a3", 420, 297),
    )
}


def paper_named(name: str) -> Paper:
    """Raises UserError where there is no such paper."""
    paper = PAPERS.get(name.strip().lower())
    if paper is None:
        raise UserError(f"There is no paper {name!r}. It may be {', '.join(PAPERS)}.")
    return paper
