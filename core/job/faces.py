"""The face of a connector: its true pin grid.

A face is kept as seen from its **mating side** (the side that meets the other plug), latch edge as
`latch` says, row 0 at the top, column 0 at the left. The wire side is the same grid mirrored left to
right. Two halves that mate face each other, so cavity (row, column) of the one meets cavity
(row, columns - 1 - column) of the other, both read from their own mating side.
"""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from core.job.base import Frozen, Pin, Text

Side = Literal["wire", "mating"]
MOST_ROWS = 40
MOST_COLUMNS = 80


class Face(Frozen):
    """Rows of pin numbers as moulded, seen from the mating side; None where there is no cavity."""

    grid: Annotated[tuple[tuple[Pin | None, ...], ...], Field(min_length=1, max_length=MOST_ROWS)]
    blocked: tuple[Pin, ...] = ()
    latch: Literal["top", "bottom", "left", "right", "none"] = "top"
    gender: Literal["male", "female", "none"] = "none"
    plastic: Text = "BK"
    terminal_family: Text = ""
    secondary_lock: Text = ""
    release: Text = ""
    sheet_side: Side | None = None

    @model_validator(mode="after")
    def _is_a_grid(self) -> Self:
        widths = {len(row) for row in self.grid}
        if len(widths) != 1 or not 1 <= widths.pop() <= MOST_COLUMNS:
            raise ValueError(f"every row of a face has the same number of columns, 1 to {MOST_COLUMNS}")
        pins = [pin for row in self.grid for pin in row if pin is not None]
        if len(pins) != len(set(pins)):
            twice = sorted({pin for pin in pins if pins.count(pin) > 1})
            raise ValueError(f"pin {twice[0]} stands twice in the face")
        missing = set(self.blocked) - set(pins)
        if missing:
            raise ValueError(f"blocked pin {min(missing)} is not in the face")
        return self

    @property
    def rows(self) -> int:
        return len(self.grid)

    @property
    def columns(self) -> int:
        return len(self.grid[0])

    @cached_property
    def places(self) -> dict[str, tuple[int, int]]:
        """(row, column) of every pin, seen from the mating side."""
        return {
            pin: (r, c) for r, row in enumerate(self.grid) for c, pin in enumerate(row) if pin is not None
        }

    def seen_from(self, side: Side) -> tuple[tuple[str | None, ...], ...]:
        """The grid as the eye meets it from that side."""
        return self.grid if side == "mating" else tuple(row[::-1] for row in self.grid)

    def opposite(self, pin: str, other: Face) -> str | None:
        """The pin of `other` that meets `pin` when the two halves are mated; None where it has no cavity."""
        row, column = self.places[pin]
        mirrored = self.columns - 1 - column
        if row >= other.rows or mirrored >= other.columns:
            return None
        return other.grid[row][mirrored]

    def fits(self, other: Face) -> bool:
        """Whether the two can be mated at all: the same grid, and not two of one gender."""
        same_grid = (self.rows, self.columns) == (other.rows, other.columns)
        return same_grid and ("none" in (self.gender, other.gender) or self.gender != other.gender)


Numbering = Literal["by rows", "by columns", "by pairs", "serpentine"]


def numbered_grid(
    rows: int, columns: int, numbering: Numbering = "by rows", *, first: int = 1, from_right: bool = False
) -> tuple[tuple[str, ...], ...]:
    """Pin numbers for a regular face, as seen from the side they are counted on.

    `by rows`: along the first row, then the next. `by columns`: down the first column, then the next.
    `by pairs`: rows are taken two at a time and counted in zigzag, 1 above 2, 3 above 4.
    `serpentine`: along the first row, back along the second. `from_right` counts from the right edge.
    """
    grid = [[""] * columns for _ in range(rows)]
    for number, (row, column) in enumerate(_count(rows, columns, numbering), start=first):
        grid[row][columns - 1 - column if from_right else column] = str(number)
    return tuple(tuple(row) for row in grid)


def _count(rows: int, columns: int, numbering: Numbering) -> list[tuple[int, int]]:
    match numbering:
        case "by rows":
            return [(r, c) for r in range(rows) for c in range(columns)]
        case "by columns":
            return [(r, c) for c in range(columns) for r in range(rows)]
        case "by pairs":
            bands = [range(top, min(top + 2, rows)) for top in range(0, rows, 2)]
            return [(r, c) for band in bands for c in range(columns) for r in band]
        case "serpentine":
            return [(r, c if r % 2 == 0 else columns - 1 - c) for r in range(rows) for c in range(columns)]


def mate_of(face: Face, gender: Literal["male", "female", "none"]) -> Face:
    """The face that mates with `face` and carries the same numbers at the meeting cavities."""
    return Face(
        grid=tuple(row[::-1] for row in face.grid),
        latch=face.latch,
        gender=gender,
        plastic=face.plastic,
        terminal_family=face.terminal_family,
        blocked=(),
    )
