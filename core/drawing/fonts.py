"""The two cuts of the drawing's typeface, their widths, and what they cannot print.

The file is the very one that the screen uses. Widths are in points.
"""

from __future__ import annotations

import unicodedata
from functools import cache, lru_cache
from pathlib import Path
from typing import Literal

import font_source_sans_pro
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

Font = Literal["Loom", "Loom-Semibold"]
REGULAR: Font = "Loom"
SEMIBOLD: Font = "Loom-Semibold"
_FILES: dict[Font, str] = {REGULAR: "SourceSansPro-Regular.ttf", SEMIBOLD: "SourceSansPro-Semibold.ttf"}

LEAST_SIZE = 7.0
"""No text on paper is smaller, in points."""
REPLACEMENT = "■"
"""Stands where a character cannot be printed."""
ASCENT = 0.74
DESCENT = 0.24
CAPITALS = 0.66
"""Height of tall letters, depth of tails, height of capitals: parts of the size, read off the outlines."""


@cache
def _face(font: Font) -> TTFont:
    face = TTFont(font, str(Path(font_source_sans_pro.__file__).parent / "files" / _FILES[font]))
    pdfmetrics.registerFont(face)
    return face


@cache
def _widths(font: Font) -> dict[int, float]:
    """Width of every character the font has, in thousandths of the size."""
    face = _face(font).face
    return {code: face.charWidths[code] for code in face.charToGlyph if code in face.charWidths}


def register_fonts() -> None:
    """Makes both cuts known to reportlab."""
    for font in _FILES:
        _face(font)


@lru_cache(maxsize=65_536)
def printable(text: str) -> str:
    """One line of text as it can be printed: blanks for tabs and line ends, `■` for what the font lacks."""
    if text.isascii() and text.isprintable():
        return text
    known = _widths(REGULAR)
    return "".join(
        " " if letter.isspace() else letter if ord(letter) in known else REPLACEMENT
        for letter in unicodedata.normalize("NFC", text)
    )


@lru_cache(maxsize=65_536)
def _units(text: str, font: Font) -> float:
    widths = _widths(font)
    return sum([widths[ord(letter)] for letter in text])


def width(text: str, font: Font, size: float) -> float:
    """Width of printable text in points."""
    return _units(text, font) * size / 1000


@lru_cache(maxsize=65_536)
def wrap(text: str, font: Font, size: float, room: float) -> tuple[str, ...]:
    """Text in lines no wider than `room` points. Long words are broken; line ends in the text are kept."""
    return tuple(line for piece in text.splitlines() or [""] for line in _wrap_line(piece, font, size, room))


def _wrap_line(text: str, font: Font, size: float, room: float) -> list[str]:
    text = printable(text)
    if width(text, font, size) <= room:
        return [text]
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if width(longer, font, size) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        *broken, line = _broken(word, font, size, room)
        lines.extend(broken)
    lines.append(line)
    return lines


def _broken(word: str, font: Font, size: float, room: float) -> list[str]:
    """A word in pieces that each fit; at least one letter a piece."""
    pieces: list[str] = []
    start = 0
    widths = _widths(font)
    used = 0.0
    for index, letter in enumerate(word):
        wide = widths[ord(letter)] * size / 1000
        if index > start and used + wide > room:
            pieces.append(word[start:index])
            start, used = index, 0.0
        used += wide
    return [*pieces, word[start:]]
