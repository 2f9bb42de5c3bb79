"""Reads the CSV tables of `shared/`: every error names the file, the row and the column."""

from __future__ import annotations

import csv
import io
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from core.errors import FileProblem

MOST_TABLE_BYTES = 4_000_000
Choice = TypeVar("Choice", bound=str)


@dataclass(frozen=True)
class Row:
    """One row of a table. `line` counts as an editor does, the heading being line 1."""

    file: str
    line: int
    cells: dict[str, str]

    def problem(self, cause: str) -> FileProblem:
        return FileProblem(self.file, cause, f"row {self.line}")

    def text(self, column: str) -> str:
        """A cell that must not be empty. Raises FileProblem."""
        value = self.cells[column]
        if not value:
            raise self.problem(f"column {column!r} is empty")
        return value

    def one_of(self, column: str, choices: Collection[Choice]) -> Choice:
        """A cell that holds one of a few words. Raises FileProblem."""
        value = self.cells[column]
        for choice in choices:
            if choice == value:
                return choice
        raise self.problem(f"column {column!r} holds {value!r}; it may be {', '.join(map(repr, choices))}")

    def number(self, column: str) -> float:
        """A cell that holds a number above zero. Raises FileProblem."""
        value = self.text(column)
        try:
            number = float(value)
        except ValueError:
            raise self.problem(f"column {column!r} holds {value!r}, which is not a number") from None
        if not 0 < number < 1e9:
            raise self.problem(f"column {column!r} holds {value}, which is not above zero")
        return number

    def yes(self, column: str) -> bool:
        return self.one_of(column, ("yes", "")) == "yes"


def read_table(path: Path, columns: Collection[str]) -> Iterator[Row]:
    """Every row of a UTF-8 CSV table with at least these columns. Raises FileProblem."""
    text = read_text(path, MOST_TABLE_BYTES)
    reader = csv.DictReader(io.StringIO(text, newline=""), strict=True)
    try:
        missing = [column for column in columns if column not in (reader.fieldnames or ())]
        if missing:
            raise FileProblem(path.name, f"the heading has no column {missing[0]!r}", "row 1")
        for cells in reader:
            line = reader.line_num
            if None in cells:
                raise FileProblem(path.name, "has more cells than the heading", f"row {line}")
            short = [column for column in columns if cells[column] is None]
            if short:
                raise FileProblem(path.name, f"ends before column {short[0]!r}", f"row {line}")
            yield Row(path.name, line, {name: (value or "").strip() for name, value in cells.items()})
    except csv.Error as error:
        raise FileProblem(path.name, str(error), f"row {reader.line_num}") from error


def read_text(path: Path, most_bytes: int) -> str:
    """A whole UTF-8 file, or a FileProblem that says why not."""
    try:
        if path.stat().st_size > most_bytes:
            raise FileProblem(path.name, f"is larger than {most_bytes // 1_000_000} MB")
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        line = error.object.count(b"\n", 0, error.start) + 1
        raise FileProblem(path.name, "is not UTF-8 text", f"row {line}") from error
    except OSError as error:
        raise FileProblem(path.name, error.strerror or "cannot be read") from error
