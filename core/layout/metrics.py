"""Sizes on the map, in map units (1 unit is 1 pixel at 100 %), and how wide a text can be at most."""

from __future__ import annotations

import unicodedata
from functools import lru_cache

CELL_WIDTH = 28.0
CELL_HEIGHT = 26.0
FACE_PADDING = 8.0
FACE_GAP = 22.0
LATCH_LENGTH = 28.0
LATCH_DEPTH = 8.0
SLEEVE_WIDTH = 22.0
SLEEVE_PER_LEAD = 14.0

FLAG_HEIGHT = 20.0
FLAG_PITCH = 24.0
FLAG_LEAST = 120.0
FLAG_MOST = 312.0
FLAG_STEP = 24.0  # widths are rounded up to it, so that flags of different parts stand in line
FLAG_PADDING = 10.0
FLAG_GAP = 10.0
TAB_PADDING = 8.0
FAN_GAP = 52.0

TITLE_HEIGHT = 18.0
SUBTITLE_HEIGHT = 16.0
TITLE_GAP = 6.0
TITLE_MOST = 260.0
FACE_TITLE_HEIGHT = 16.0

JOINT_RADIUS = 7.0
JOINT_LABEL_HEIGHT = 14.0
JOINT_LABEL_RISE = 18.0
JOINT_SLOT = 36.0

BLOCK_GAP = 26.0
CORRIDOR = 300.0
HALF_CORRIDOR = 160.0
FREE_END = 72.0
MATE_GAP = 96.0

NOTE_WIDTH = 220.0
NOTE_PADDING = 8.0
NOTE_LINE = 17.0

# Sizes of type, in pixels at 100 %. What is drawn with larger type may be cut.
TITLE_TYPE = 14.0
SUBTITLE_TYPE = 12.0
LABEL_TYPE = 13.0
COLOUR_TYPE = 11.0
PIN_TYPE = 11.0
JOINT_TYPE = 12.0
NOTE_TYPE = 13.0

# Advance widths of Source Sans in thousandths of an em, the wider of Regular and Semibold, rounded up to 20.
# Measured from the font files (SIL Open Font License).
_ADVANCES = {
    200: " ",
    260: "|",
    280: "',.:;ijl",
    300: "I",
    320: "!f",
    340: "()-[]{}",
    360: "/\\",
    380: "rt",
    440: "*s",
    460: "?z",
    480: "c",
    500: '"J_vxy',
    520: "#$+0123456789<=>FLY^aeg~",
    540: "EVZk",
    560: "ASTX`hnou–",
    580: "Cbdpq",
    600: "BKPR−",
    640: "&DG",
    660: "NU",
    680: "HOQ",
    760: "Mw",
    800: "W",
    880: "%m",
    900: "@",
}
_EM_OF = {sign: advance / 1000 for advance, signs in _ADVANCES.items() for sign in signs}
_EM_OF_OTHERS = 1.0
_EM_OF_PICTURES = 1.4
_ROUNDING = 1.03  # room for hinting, which may round single advances up
ELLIPSIS = "…"


@lru_cache(maxsize=2048)
def _em(sign: str) -> float:
    known = _EM_OF.get(sign)
    if known is not None:
        return known
    if unicodedata.combining(sign):
        return 0.0
    base = unicodedata.normalize("NFD", sign)[0]
    if base in _EM_OF:
        return _EM_OF[base] + 0.02
    return _EM_OF_PICTURES if ord(sign) > 0xFFFF else _EM_OF_OTHERS


@lru_cache(maxsize=16384)
def text_width(text: str, size: float) -> float:
    """The most that `text` takes in Source Sans Regular or Semibold at `size` pixels: an upper bound."""
    return sum(map(_em, text)) * size * _ROUNDING


@lru_cache(maxsize=16384)
def fitted(text: str, size: float, most: float) -> str:
    """`text` itself where it fits into `most` units, else its beginning and an ellipsis."""
    if text_width(text, size) <= most:
        return text
    room = most - text_width(ELLIPSIS, size)
    used = 0.0
    kept = 0
    for sign in text:
        used += _em(sign) * size * _ROUNDING
        if used > room:
            break
        kept += 1
    return text[:kept].rstrip() + ELLIPSIS


def wrapped(text: str, size: float, most: float) -> tuple[str, ...]:
    """The lines of `text` broken at spaces (too long a word: anywhere) to at most `most` units."""
    lines: list[str] = []
    for paragraph in text.splitlines() or [""]:
        line = ""
        for word in paragraph.split(" "):
            longer = f"{line} {word}" if line else word
            if text_width(longer, size) <= most:
                line = longer
                continue
            if line:
                lines.append(line)
            line = word
            while text_width(line, size) > most:
                cut = _longest(line, size, most)
                lines.append(line[:cut])
                line = line[cut:]
        lines.append(line)
    return tuple(lines)


def _longest(text: str, size: float, most: float) -> int:
    used = 0.0
    for index, sign in enumerate(text):
        used += _em(sign) * size * _ROUNDING
        if used > most:
            return max(index, 1)
    return len(text)
