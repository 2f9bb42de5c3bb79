"""Sheets against the sizes of ISO 216 and ANSI/ASME Y14.1 and the drawing space of ISO 5457:1999, Table 1."""

from __future__ import annotations

import pytest

from core.drawing.build import SHEETS, build_drawing
from core.drawing.paper import MM, PAPERS, paper_named
from core.errors import UserError
from tests.core.drawing.made import LIBRARY, two_parts

SIZES_MM = {
    "a4": (210, 297),  # ISO 216
    "a3": (297, 420),  # ISO 216
    "letter": (215.9, 279.4),  # ANSI A: 8.5 x 11 in
    "tabloid": (279.4, 431.8),  # ANSI B: 11 x 17 in
}
A3_DRAWING_SPACE_MM = (390, 277)  # ISO 5457:1999
MARGINS_MM = (20, 10)  # left, and the three other sides: ISO 5457:1999


def test_sizes_are_the_standards() -> None:
    assert {name: (p.height_mm, p.width_mm) for name, p in PAPERS.items()} == SIZES_MM


@pytest.mark.parametrize("paper", PAPERS)
def test_every_page_has_its_size_and_frame(paper: str) -> None:
    job, result = two_parts()
    short, long = SIZES_MM[paper]
    left, other = MARGINS_MM
    for page in build_drawing(job, result, LIBRARY, paper):
        assert (page.width / MM, page.height / MM) == pytest.approx((long, short))
        frame = page.frame
        assert (frame.x / MM, frame.y / MM) == pytest.approx((left, other))
        assert (page.width - frame.x - frame.width) / MM == pytest.approx(other)
        assert (page.height - frame.y - frame.height) / MM == pytest.approx(other)


def test_a3_has_the_drawing_space_of_the_standard() -> None:
    assert PAPERS["a3"].frame_mm[2:] == A3_DRAWING_SPACE_MM


def test_frame_is_drawn_where_it_is_said_to_be() -> None:
    job, result = two_parts()
    for page in build_drawing(job, result, LIBRARY, "a3"):
        drawn = [s for s in page.shapes if s[:4] == page.frame[2:] and getattr(s, "thick", 0) / MM > 0.69]
        assert len(drawn) == 1  # a frame line of 0.7 mm: ISO 5457, from memory


def test_zones_count_along_both_edges() -> None:
    job, result = two_parts()
    for page in build_drawing(job, result, LIBRARY, "a4"):
        frame = page.frame
        outside = [
            t
            for t in page.texts
            if not (frame.x <= t.x <= frame.x + frame.width and frame.y <= t.y <= frame.y + frame.height)
        ]
        above = sorted((t.x, t.text) for t in outside if t.y < frame.y)
        below = sorted((t.x, t.text) for t in outside if t.y > frame.y + frame.height)
        left = sorted((t.y, t.text) for t in outside if t.x < frame.x)
        right = sorted((t.y, t.text) for t in outside if t.x > frame.x + frame.width)
        assert [text for _, text in above] == [text for _, text in below] == list("12345678")
        assert [text for _, text in left] == [text for _, text in right] == list("ABCDEF")


def test_unknown_paper_and_sheets_are_told() -> None:
    job, result = two_parts()
    with pytest.raises(UserError, match=r"no paper 'a5'.*letter, a4, tabloid, a3"):
        build_drawing(job, result, LIBRARY, "a5")
    with pytest.raises(UserError, match=r"no sheet 'fases'.*map, faces, leads, joints"):
        build_drawing(job, result, LIBRARY, sheets=["map", "fases"])
    with pytest.raises(UserError, match="No sheet was asked for"):
        build_drawing(job, result, LIBRARY, sheets=[])


def test_names_are_taken_as_people_type_them() -> None:
    assert paper_named(" Letter ") is PAPERS["letter"]
    job, result = two_parts()
    pages = build_drawing(job, result, LIBRARY, "A4", ["Joints", "map "])
    assert list(dict.fromkeys(page.sheet for page in pages)) == ["map", "joints"]


def test_all_sheets_are_printed_where_none_is_named() -> None:
    job, result = two_parts()
    assert tuple(dict.fromkeys(page.sheet for page in build_drawing(job, result, LIBRARY))) == SHEETS
