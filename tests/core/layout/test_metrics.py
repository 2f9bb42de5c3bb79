"""Room for words: the estimate is never less than what the font takes."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont

from core.job.parts import Cavity
from core.layout import metrics, words
from tests.core.layout.samples import LIBRARY


def _face(style: str, size: int) -> ImageFont.FreeTypeFont:
    spec = find_spec("font_source_sans_pro")
    assert spec is not None
    assert spec.origin is not None
    file = Path(spec.origin).parent / "files" / f"SourceSansPro-{style}.ttf"
    return ImageFont.truetype(str(file), size, layout_engine=ImageFont.Layout.BASIC)


FACES = [_face(style, 1000) for style in ("Regular", "Semibold")]
LETTERS = st.text(st.characters(min_codepoint=32, max_codepoint=0x17F, exclude_categories=["C"]), max_size=40)


@given(LETTERS)
def test_no_text_is_wider_than_estimated(text: str) -> None:
    widest = max(face.getlength(text) for face in FACES) / 1000 * 13
    assert metrics.text_width(text, 13.0) >= widest


def test_the_estimate_is_not_wasteful() -> None:
    text = "steering ground, left front +"
    assert metrics.text_width(text, 13.0) < 1.15 * FACES[1].getlength(text) / 1000 * 13


@given(LETTERS, st.floats(20, 300))
def test_fitted_fits(text: str, most: float) -> None:
    short = metrics.fitted(text, 13.0, most)
    assert metrics.text_width(short, 13.0) <= most
    assert short == text or short.endswith(metrics.ELLIPSIS)


@given(LETTERS, st.floats(30, 300))
def test_wrapped_lines_fit_and_lose_nothing(text: str, most: float) -> None:
    lines = metrics.wrapped(text, 13.0, most)
    assert all(metrics.text_width(line, 13.0) <= most for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


@given(st.text("W1m/", min_size=1, max_size=16), LETTERS)
def test_a_flag_holds_its_pin_colour_and_words(pin: str, label: str) -> None:
    text = words.text_of(Cavity(pin=pin, label=label), "LGN/DBK/WH", LIBRARY)
    needed = (
        words.tab_width(pin)
        + metrics.text_width(text.colour, metrics.COLOUR_TYPE)
        + metrics.text_width(text.words, metrics.LABEL_TYPE)
        + metrics.FLAG_PADDING
    )
    assert needed <= words.flag_width(text) <= metrics.FLAG_MOST + metrics.FLAG_STEP


@pytest.mark.parametrize(
    ("cavity", "expected"),
    [
        (Cavity(pin="1", function="speaker-lf+", label="LF SP+"), "left front +"),
        (Cavity(pin="1", label="dim 5 V"), "dim 5 V"),
        (Cavity(pin="1", function="unheard-of"), "unheard-of"),
        (Cavity(pin="1"), ""),
    ],
)
def test_words_of_a_flag(cavity: Cavity, expected: str) -> None:
    assert words.text_of(cavity, "", LIBRARY).words == expected
