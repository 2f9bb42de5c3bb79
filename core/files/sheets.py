"""Tables from files: text with any separator, and XLSX workbooks through openpyxl.

A workbook is a zip of XML and may come from anywhere, so it is measured before anything is built from it,
and refused by the name of the limit it breaks. Formulas are read as their text and never worked out.
"""

from __future__ import annotations

import datetime
import io
import re
import warnings
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from openpyxl import load_workbook
from openpyxl.worksheet._reader import WorkSheetParser

from core.errors import FileProblem
from core.files.atomic import read_whole
from core.files.delimited import best_split
from core.files.plain_text import decoded

MOST_BYTES = 8 * 1024 * 1024
MOST_UNPACKED_BYTES = 32 * 1024 * 1024
MOST_MEMBERS = 1_000
MOST_MARKS = 1_000_000
"""XML tags in all parts of a workbook."""
MOST_SHEETS = 50
MOST_ROWS = 5_000
MOST_COLUMNS = 256
MOST_CELL_LENGTH = 8_000
MOST_MERGED_CELLS = 100_000

_ZIP = b"PK\x03\x04"
_NOT_TEXT = (
    (b"\xd0\xcf\x11\xe0", "is a workbook of the old kind, or one with a password; save it as .xlsx or .csv"),
    (b"%PDF", "is a PDF; select the table in it, copy, and paste that"),
    (b"\x89PNG", "is a picture; a pin table is read from text"),
    (b"\xff\xd8\xff", "is a picture; a pin table is read from text"),
)
_MERGED = re.compile(r"^\$?([A-Z]{1,3})\$?([0-9]{1,7}):\$?([A-Z]{1,3})\$?([0-9]{1,7})$")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of a workbook, or a text file as a whole. `rows[0]` is row 1; merged cells are filled."""

    name: str
    rows: tuple[tuple[str, ...], ...]


def is_workbook(path: Path) -> bool:
    """Whether the file begins as a zip does. Raises FileProblem."""
    return read_whole(path, 3).startswith(_ZIP)


def read_table_text(path: Path) -> str:
    """A text file as text, whatever its encoding. Raises FileProblem."""
    return _text(_bytes(path), str(path))


def read_sheets(path: Path) -> tuple[Sheet, ...]:
    """Every sheet that holds something; a text file is one sheet of its own name. Raises FileProblem."""
    data = _bytes(path)
    if data.startswith(_ZIP):
        return _read_workbook(data, str(path))
    text = _text(data, str(path))
    split = best_split(text)
    rows = split.rows if split else tuple((line,) for line in text.splitlines())
    _check_rows(rows, str(path))
    return (Sheet(path.stem, rows),)


def _bytes(path: Path) -> bytes:
    data = read_whole(path, MOST_BYTES)
    if len(data) > MOST_BYTES:
        raise FileProblem(str(path), f"is larger than {_mb(MOST_BYTES)}, the most a table may be")
    return data


def _text(data: bytes, name: str) -> str:
    for start, cause in _NOT_TEXT:
        if data.startswith(start):
            raise FileProblem(name, cause)
    text = decoded(data)
    if text is None:
        raise FileProblem(name, "is neither text nor an XLSX workbook")
    if not text.strip():
        raise FileProblem(name, "is empty")
    return text


def _check_rows(rows: tuple[tuple[str, ...], ...], name: str) -> None:
    if len(rows) > MOST_ROWS:
        raise FileProblem(name, f"has more than {MOST_ROWS:,} rows, the most a table may have")
    for number, row in enumerate(rows, start=1):
        if len(row) > MOST_COLUMNS:
            raise FileProblem(name, f"has more than {MOST_COLUMNS} columns", f"row {number}")
        if any(len(cell) > MOST_CELL_LENGTH for cell in row):
            raise FileProblem(
                name, f"has a cell of more than {MOST_CELL_LENGTH:,} characters", f"row {number}"
            )


def _read_workbook(data: bytes, name: str) -> tuple[Sheet, ...]:
    try:
        _measure(data, name)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # openpyxl names what it leaves out: drawings, rules for colours
            book = load_workbook(io.BytesIO(data), read_only=True, keep_links=False)
            if len(book.worksheets) > MOST_SHEETS:
                raise FileProblem(name, f"has more than {MOST_SHEETS} sheets, the most a workbook may have")
            sheets = tuple(Sheet(sheet.title, _rows(book, sheet, name)) for sheet in book.worksheets)
    except FileProblem:
        raise
    except Exception as error:  # openpyxl lets through whatever its own parts raise
        raise FileProblem(name, "is damaged, or a zip that is no XLSX workbook") from error
    filled = tuple(sheet for sheet in sheets if sheet.rows)
    if not filled:
        raise FileProblem(name, "has no sheet that holds anything")
    return filled


def _measure(data: bytes, name: str) -> None:
    """Unpacks every part, a piece at a time, and keeps none of it. Raises FileProblem."""
    unpacked = marks = 0
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        members = archive.infolist()
        if len(members) > MOST_MEMBERS:
            raise FileProblem(name, f"is a zip of more than {MOST_MEMBERS:,} files")
        if len({member.filename for member in members}) < len(members):
            raise FileProblem(name, "is a zip in which two files have the same name")
        for member in members:
            if member.flag_bits & 1:
                raise FileProblem(name, "is locked with a password; save it without")
            for piece in _pieces(archive, member, name):
                unpacked += len(piece)
                marks += piece.count(b"<")
                if unpacked > MOST_UNPACKED_BYTES:
                    raise FileProblem(
                        name, f"unpacks to more than {_mb(MOST_UNPACKED_BYTES)}, the most a workbook may"
                    )
                if marks > MOST_MARKS:
                    raise FileProblem(name, f"holds more than {MOST_MARKS:,} XML tags")
                if b"<!DOCTYPE" in piece.replace(b"\0", b"") or b"<!ENTITY" in piece.replace(b"\0", b""):
                    raise FileProblem(name, "holds an XML document type, which no workbook needs")


def _pieces(archive: zipfile.ZipFile, member: zipfile.ZipInfo, name: str) -> Iterator[bytes]:
    """The part in pieces that overlap, so that no word is parted between two of them."""
    tail = b""
    try:
        with archive.open(member) as part:
            while piece := part.read(65_536):
                yield tail + piece
                tail = piece[-24:]
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError) as error:
        raise FileProblem(
            name, f"is damaged: its part {member.filename[:60]!r} cannot be unpacked"
        ) from error


def _rows(book: Any, sheet: Any, name: str) -> tuple[tuple[str, ...], ...]:
    """The cells of a sheet as texts. The reader of rows without cells in between, so that a far cell costs
    nothing."""
    found: dict[int, dict[int, str]] = {}
    with sheet._get_source() as source:
        parser = WorkSheetParser(
            source,
            sheet._shared_strings,
            epoch=book.epoch,
            date_formats=book._date_formats,
            timedelta_formats=book._timedelta_formats,
        )
        for number, cells in parser.parse():
            texts = {cell["column"]: _shown(cell["value"]) for cell in cells}
            texts = {column: text for column, text in texts.items() if text}
            if not texts:
                continue
            place = f"sheet {sheet.title!r}, row {number}"
            if number > MOST_ROWS or number < 1:
                raise FileProblem(name, f"has more than {MOST_ROWS:,} rows, the most a table may have", place)
            if max(texts) > MOST_COLUMNS:
                raise FileProblem(name, f"has more than {MOST_COLUMNS} columns", place)
            if any(len(text) > MOST_CELL_LENGTH for text in texts.values()):
                raise FileProblem(name, f"has a cell of more than {MOST_CELL_LENGTH:,} characters", place)
            found[number] = texts
    if not found:
        return ()
    _fill_merged(found, parser.merged_cells, f"sheet {sheet.title!r}", name)
    width = max(max(row) for row in found.values())
    return tuple(
        tuple(found.get(number, {}).get(column, "") for column in range(1, width + 1))
        for number in range(1, max(found) + 1)
    )


def _fill_merged(found: dict[int, dict[int, str]], merged: Any, place: str, name: str) -> None:
    """Writes the text of merged cells into each cell that they cover."""
    last_row, last_column = max(found), max(max(row) for row in found.values())
    cost = 0
    for area in merged.mergeCell if merged is not None else ():
        match = _MERGED.match(str(area.ref).upper())
        if match is None:
            continue
        left, right = (_column(match[group]) for group in (1, 3))
        top, bottom = int(match[2]), min(int(match[4]), last_row)
        text = found.get(top, {}).get(left)
        if text is None:
            continue
        right = min(right, last_column)
        cost += max(0, bottom - top + 1) * max(0, right - left + 1)
        if cost > MOST_MERGED_CELLS:
            raise FileProblem(name, f"merges more than {MOST_MERGED_CELLS:,} cells", place)
        for row in range(top, bottom + 1):
            for column in range(left, right + 1):
                found.setdefault(row, {})[column] = text


def _column(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def _shown(value: Any) -> str:
    """A cell's value as a person reads it in the sheet; a formula as it was typed."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, float):
        return f"{value:.15g}"
    if isinstance(value, datetime.datetime) and value.time() == datetime.time():
        return value.date().isoformat()
    if isinstance(value, datetime.date | datetime.time | datetime.timedelta):
        return str(value)
    if isinstance(value, str | int):
        return str(value).strip()
    return str(getattr(value, "text", None) or "=").strip()  # an array or a what-if formula


def _mb(size: int) -> str:
    return f"{size // 1024 // 1024} MB"
