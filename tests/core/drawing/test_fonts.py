"""Type: widths against the font file read by another library, wrapping, characters that cannot be printed."""

from __future__ import annotations

from pathlib import Path

import font_source_sans_pro
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont

from core.drawing.fonts import REGULAR, REPLACEMENT, SEMIBOLD, Font, printable, width, wrap

FILES: dict[Font, str] = {REGULAR: "SourceSansPro-Regular.ttf", SEMIBOLD: "SourceSansPro-Semibold.ttf"}


@pytest.mark.parametrize("font", FILES)
def test_widths_are_those_of_the_font_file(font: Font) -> None:
    """Measured by FreeType at 1000 units to the em, without kerning."""
    path = Path(font_source_sans_pro.__file__).parent / "files" / FILES[font]
    face = ImageFont.truetype(str(path), 1000, layout_engine=ImageFont.Layout.BASIC)
    for letter in "AWmi10.,−–²■→é":
        assert width(letter, font, 1000) == pytest.approx(face.getlength(letter), abs=1)


@pytest.mark.parametrize("font", FILES)
def test_figures_stand_in_columns(font: Font) -> None:
    assert len({width(figure, font, 8) for figure in "0123456789"}) == 1


@pytest.mark.parametrize("strange", ["漢", "🚐", "א", "\x07", "\u202e", "\ue000"])
def test_what_the_font_lacks_is_shown_as_a_mark(strange: str) -> None:
    assert printable(f"a{strange}b") == f"a{REPLACEMENT}b"


def test_blanks_and_composed_letters_stay() -> None:
    assert printable("a\tb\u00a0c") == "a b c"
    assert printable("e\u0301") == "é"
    assert printable("0.75 mm² → Ω ≥ ½") == "0.75 mm² → Ω ≥ ½"


@given(st.text(max_size=300), st.floats(min_value=12, max_value=400))
def test_lines_fit_and_nothing_is_lost(text: str, room: float) -> None:
    lines = wrap(text, REGULAR, 8, room)
    assert all(width(line, REGULAR, 8) <= room or len(line) == 1 for line in lines)
    kept = "".join("".join(lines).split())
    assert kept == "".join("".join(printable(line) for line in text.splitlines()).split())


def test_words_stay_whole_where_they_can() -> None:
    assert wrap("reverse sense of the receiver", REGULAR, 8, 60) == ("reverse sense of", "the receiver")
    assert wrap("one\n\ntwo", REGULAR, 8, 60) == ("one", "", "two")
    assert wrap("", REGULAR, 8, 60) == ("",)
