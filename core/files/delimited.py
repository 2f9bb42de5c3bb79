"""Text with a separator between the cells, as spreadsheets write and copy it."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

DELIMITERS = ("\t", ";", ",", "|", "^", "~")
_LONGEST_CELL = 100_000
_LOOKED_AT = 200


@dataclass(frozen=True, slots=True)
class Split:
    """The cells of a text, the line each row begins at (from 1), and how well the separator fits it."""

    delimiter: str
    rows: tuple[tuple[str, ...], ...]
    lines: tuple[int, ...]
    columns: int
    share: float


def split_by(text: str, delimiter: str) -> Split:
    """The text parted at that separator. Quotes that do not close are taken as inch marks and the like."""
    found = _parsed(text, delimiter, csv.QUOTE_MINIMAL)
    if found is None:
        found = _parsed(text, delimiter, csv.QUOTE_NONE) or ([], [])
    rows, lines = found
    counts = Counter(len(row) for row in rows[:_LOOKED_AT] if any(cell.strip() for cell in row))
    columns, _ = max(counts.items(), key=lambda item: (item[1], item[0]), default=(0, 0))
    fitting = sum(times for width, times in counts.items() if 2 <= width <= columns)
    share = fitting / max(1, sum(counts.values())) if columns >= 2 else 0.0
    return Split(delimiter, tuple(map(tuple, rows)), tuple(lines), columns, share)


def best_split(text: str, delimiters: Sequence[str] = DELIMITERS) -> Split | None:
    """The text parted at the separator that gives most rows the same number of cells; None where none does.

    A tab is hardly ever part of a text, a comma often is: where they fit alike the earlier one is taken.
    """
    present = [delimiter for delimiter in delimiters if delimiter in text]
    splits = [split_by(text, delimiter) for delimiter in present]
    fitting = [split for split in splits if split.share >= (0.8 if split.delimiter == "," else 0.6)]
    if not fitting:
        return None
    for split in fitting:
        if split.delimiter == "\t":
            return split
    return max(fitting, key=lambda split: (_fit(split), -delimiters.index(split.delimiter)))


def _fit(split: Split) -> float:
    return split.share * min(split.columns, 4)


def _parsed(text: str, delimiter: str, quoting: Literal[0, 3]) -> tuple[list[list[str]], list[int]] | None:
    reader = csv.reader(
        io.StringIO(text, newline=""), delimiter=delimiter, quoting=quoting, strict=quoting != csv.QUOTE_NONE
    )
    rows: list[list[str]] = []
    lines: list[int] = []
    before = 0
    try:
        for row in reader:
            rows.append(row)
            lines.append(before + 1)
            before = reader.line_num
    except csv.Error:
        return None
    if quoting != csv.QUOTE_NONE and any(len(cell) > _LONGEST_CELL for row in rows for cell in row):
        return None
    return rows, lines
