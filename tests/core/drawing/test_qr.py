"""The square code, read back by a reader written from ISO/IEC 18004 (its tables from memory)."""

from __future__ import annotations

import pytest

from core.drawing.build import build_drawing
from core.drawing.items import Modules, Page
from core.drawing.qr import code_text
from core.job.record import JobSheet
from tests.core.drawing.made import LIBRARY, two_parts, van

MASKS = (
    lambda r, c: (r + c) % 2 == 0,
    lambda r, c: r % 2 == 0,
    lambda r, c: c % 3 == 0,
    lambda r, c: (r + c) % 3 == 0,
    lambda r, c: (r // 2 + c // 3) % 2 == 0,
    lambda r, c: r * c % 2 + r * c % 3 == 0,
    lambda r, c: (r * c % 2 + r * c % 3) % 2 == 0,
    lambda r, c: ((r + c) % 2 + r * c % 3) % 2 == 0,
)
DATA_BLOCKS = {3: (44,), 4: (32, 32), 5: (43, 43), 6: (27,) * 4}
"""Data codewords of each block at level M, by version."""
ALIGNMENT = {3: (6, 22), 4: (6, 26), 5: (6, 30), 6: (6, 34)}
LEVEL_M = 0


def grid_of(page: Page) -> list[list[bool]]:
    (code,) = [shape for shape in page.shapes if isinstance(shape, Modules)]
    side = max(row for _, row, _ in code.runs) + 1
    grid = [[False] * side for _ in range(side)]
    for column, row, count in code.runs:
        grid[row][column : column + count] = [True] * count
    return grid


def kept_for_patterns(row: int, column: int, side: int, version: int) -> bool:
    if row == 6 or column == 6:
        return True
    if (row < 9 and column < 9) or (row < 9 and column >= side - 8) or (row >= side - 8 and column < 9):
        return True
    at = ALIGNMENT[version]
    corners = {(at[0], at[0]), (at[0], at[-1]), (at[-1], at[0])}
    return any(abs(row - r) <= 2 and abs(column - c) <= 2 for r in at for c in at if (r, c) not in corners)


def read(grid: list[list[bool]]) -> str:
    side = len(grid)
    version = (side - 17) // 4
    format_bits = [grid[8][c] for c in (0, 1, 2, 3, 4, 5, 7, 8)] + [grid[r][8] for r in (7, 5, 4, 3, 2, 1, 0)]
    format_word = sum(bit << (14 - n) for n, bit in enumerate(format_bits)) ^ 0b101010000010010
    assert format_word >> 13 == LEVEL_M
    mask = MASKS[format_word >> 10 & 7]
    bits: list[bool] = []
    upwards = True
    for right in [*range(side - 1, 6, -2), *range(5, 0, -2)]:
        for row in range(side - 1, -1, -1) if upwards else range(side):
            free = [c for c in (right, right - 1) if not kept_for_patterns(row, c, side, version)]
            bits += [grid[row][column] ^ mask(row, column) for column in free]
        upwards = not upwards
    words = [
        sum(bit << (7 - n) for n, bit in enumerate(bits[at : at + 8])) for at in range(0, len(bits) - 7, 8)
    ]
    blocks = DATA_BLOCKS[version]
    data = [words[index * len(blocks) + block] for block in range(len(blocks)) for index in range(blocks[0])]
    stream = "".join(f"{word:08b}" for word in data)
    assert stream[:4] == "0100"  # bytes
    count = int(stream[4:12], 2)
    return bytes(int(stream[12 + 8 * n : 20 + 8 * n], 2) for n in range(count)).decode()


def test_every_sheet_says_job_revision_content_and_number() -> None:
    job, result = van()
    pages = build_drawing(job, result, LIBRARY)
    for page in pages:
        wanted = f"job 1042; revision B; content {job.content_hash()}; sheet {page.number} of {len(pages)}"
        assert read(grid_of(page)) == wanted


def test_the_code_changes_with_the_job() -> None:
    job, result = two_parts()
    moved = job.model_copy(update={"joints": {}})
    first, second = (build_drawing(one, result, LIBRARY)[0] for one in (job, moved))
    assert read(grid_of(first)) != read(grid_of(second))


def test_it_holds_no_address_and_stays_small() -> None:
    text = code_text(JobSheet(number="x" * 200, revision="y" * 200), "0" * 16, 1, 9)
    assert "x" * 61 not in text
    assert "y" * 61 not in text
    assert "://" not in text


@pytest.mark.parametrize("number", ["漢字 🚐", "", "WWWWWWWWWW"])
def test_any_job_number_can_be_coded(number: str) -> None:
    job, result = two_parts()
    job = job.model_copy(update={"sheet": JobSheet(number=number, revision="C")})
    for page in build_drawing(job, result, LIBRARY, sheets=["map"]):
        grid = grid_of(page)
        if (len(grid) - 17) // 4 in DATA_BLOCKS:
            assert f"job {number}; revision C" in read(grid)


def test_modules_are_large_enough_for_a_telephone() -> None:
    """At least 0.33 mm a cell (common practice for laser printers)."""
    job, result = van()
    for page in build_drawing(job, result, LIBRARY):
        (code,) = [shape for shape in page.shapes if isinstance(shape, Modules)]
        assert code.cell * 25.4 / 72 > 0.33
