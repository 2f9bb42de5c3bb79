"""What stands on the sheets of the van: row by row, in words, and where the cautions are."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import pytest

from core.drawing.build import build_drawing
from core.drawing.cautions import cautions
from core.drawing.collect_faces import face_sections
from core.drawing.ends import Reader, nearest_awg, show_area
from core.drawing.items import Page
from core.job.record import Settings
from core.units import area_mm2
from tests.core.drawing.looking import row_words, words_in
from tests.core.drawing.made import LIBRARY, two_parts, van

# ASTM B258 solid wire, area in mm2: a printed table of American wire gauges (HyperPhysics, after Floyd).
AWG_AREAS_MM2 = {"10": 5.26, "12": 3.31, "14": 2.08, "16": 1.31, "18": 0.823, "20": 0.519, "22": 0.326}


@pytest.fixture(scope="module")
def pages() -> Sequence[Page]:
    job, result = van()
    return build_drawing(job, result, LIBRARY)


def texts(pages: Sequence[Page], sheet: str) -> str:
    return " ".join(text.text for page in pages if page.sheet == sheet for text in page.texts)


def test_pin_rows_say_both_halves(pages: Sequence[Page]) -> None:
    assert row_words(pages, "faces", "pin", "RAD.A-2").split() == (
        ["2", "constant", "YE/BN", "YE", "0.75", "mm²", "J1", "FUS-1", "solder"]
    )
    assert row_words(pages, "faces", "pin", "RADC.A-2") == row_words(pages, "faces", "pin", "RAD.A-2")


def test_a_colour_found_otherwise_is_marked(pages: Sequence[Page]) -> None:
    assert "GY/BK TQ ! BN" in row_words(pages, "faces", "pin", "RAD.A-16")
    assert "!" not in row_words(pages, "faces", "pin", "RAD.A-15")


def test_finishes_are_told_at_the_pin(pages: Sequence[Page]) -> None:
    assert row_words(pages, "faces", "pin", "RAD.A-5").endswith("nothing cap")
    assert row_words(pages, "faces", "pin", "REC.P-4").endswith("nothing pull out")
    assert row_words(pages, "faces", "pin", "REC.P-6").endswith("left: for an amplifier to come")
    assert row_words(pages, "faces", "pin", "RAD.A-18").endswith("nothing to decide")


def test_an_airbag_pin_is_not_to_be_probed(pages: Sequence[Page]) -> None:
    row = row_words(pages, "faces", "pin", "CAM.A-8")
    assert "do not probe" in row
    panels = [box.refs[0] for page in pages for box in page.boxes if box.kind == "caution"]
    assert panels.count("Airbag circuit") == 1
    job, result = two_parts()
    lamp = [
        box.refs[0]
        for page in build_drawing(job, result, LIBRARY)
        for box in page.boxes
        if box.kind == "caution"
    ]
    assert "Airbag circuit" not in lamp


def test_leads_and_wires(pages: Sequence[Page]) -> None:
    lead = row_words(pages, "leads", "lead", "RAD.A-1")
    assert lead == "RAD-1 J2: REC.P-1, CAM-2 ground BK 0.75 mm² 350 mm 210 mm solder"
    wire = row_words(pages, "leads", "wire", "W1")
    assert wire.startswith("W1 S1 J3: RAD-4, REC.P-3 J16: CAM-1")
    assert wire.endswith("RD 1 mm² 900 mm solder / crimp")
    assert "along the left sill" in wire
    shield = row_words(pages, "leads", "wire", "C1.2")
    assert "a free end J18: CAM-6" in shield
    assert "shield" in shield
    assert "4500 mm" in shield


def test_units_follow_the_job() -> None:
    job, result = van()
    job = job.model_copy(update={"settings": Settings(lengths="inch", gauges="AWG")})
    pages = build_drawing(job, result, LIBRARY)
    assert "18 AWG 13 3/4 in 8 1/4 in" in row_words(pages, "leads", "lead", "REC.S-1")
    assert "18 AWG (0.75 mm²)" in row_words(pages, "leads", "lead", "RAD.A-1")


def test_joints_stand_in_the_order_of_the_work(pages: Sequence[Page]) -> None:
    boxes = [box for page in pages if page.sheet == "joints" for box in page.boxes if box.kind == "joint"]
    order = [box.refs[0] for box in boxes]
    assert order[0] == "J2"  # ground
    assert order[1] == "J7"  # the steering controls' own ground
    assert order[-8:] == [f"J{n}" for n in range(8, 16)]  # speakers
    assert sorted(order) == sorted(van()[0].joints)


def test_a_joint_tells_its_ends_method_and_copper(pages: Sequence[Page]) -> None:
    row = row_words(pages, "joints", "joint", "J3")
    for piece in ("RAD-4", "REC.P-3", "W1 to J16", "solder", "2.5 mm²", "about 13 AWG"):
        assert piece in row
    assert "crimp" in row_words(pages, "joints", "joint", "J16")


def test_verdicts_are_printed(pages: Sequence[Page]) -> None:
    accepted = row_words(pages, "joints", "accepted", "colour found differs:RADC.A-16")
    for piece in ("Look", "RADC-16", "Measured: it is steering 2.", "M. Tern", "2026-11-23"):
        assert piece in accepted
    still_open = row_words(pages, "joints", "open conflict", "more volts than accepted:CAM.A-1")
    assert "Stop" in still_open
    assert "Put a 12 to 6 V step-down before it." in still_open
    assert "switched off for this job" in row_words(pages, "joints", "rule not run", "drain while parked")


def test_the_marks_of_conflicts_stand_at_their_places_and_in_the_list(pages: Sequence[Page]) -> None:
    still_open = row_words(pages, "joints", "open conflict", "more volts than accepted:CAM.A-1")
    assert still_open.startswith("S1 Stop CAM-1")
    assert row_words(pages, "leads", "wire", "W1").startswith("W1 S1 ")
    accepted = row_words(pages, "joints", "accepted", "colour found differs:RADC.A-16")
    assert accepted.startswith("L1 Look RADC-16")
    assert " S1" not in row_words(pages, "leads", "lead", "RAD.A-1")


@pytest.mark.parametrize(
    ("sheet", "said"),
    [
        ("map", ["no test light", "no probe", "no ohmmeter", "whenever the key is on", "No memory saver"]),
        ("map", ["battery negative off", "the time the vehicle maker gives", "near its source"]),
        ("map", ["vehicle maker's service information", "local rules", "licensed practice"]),
        ("faces", ["no test light", "pierced wire is a repair", "speaker minus is not ground"]),
        ("leads", ["fuse of an added feed near its source"]),
        ("joints", ["Key out", "grounds first and audio leads last", "Speaker leads never go to ground"]),
        ("joints", ["fumes", "heat guns burn"]),
    ],
)
def test_cautions_are_where_the_hand_is(pages: Sequence[Page], sheet: str, said: list[str]) -> None:
    first = next(page for page in pages if page.sheet == sheet)
    panels = " ".join(cautions(sheet))
    assert [piece for piece in said if piece not in panels] == []
    (box,) = [box for box in first.boxes if box.kind == "caution"][:1]
    printed = words_in(first, box).split()
    assert set(panels.split()) <= set(printed)


def test_title_block_has_the_fields_of_iso_7200(pages: Sequence[Page]) -> None:
    """ISO 7200:2004: owner, identification number, date of issue, sheet, title, approver, creator, type."""
    block = {
        "Legal owner": "Tern Street Workshop",
        "Identification number": "1042",
        "Revision": "B",
        "Date of issue": "2026-11-24",
        "Title": "Compact van: receiver, camera, steering controls",
        "Created by": "M. Tern",
        "Approved by": "",
        "Built by": "",
        "Bench tested by": "",
    }
    for page in pages:
        fields = {box.refs[0]: words_in(page, box) for box in page.boxes if box.kind == "field"}
        for name, value in block.items():
            assert set(fields[name].split()) == set(f"{name} {value}".split())
        assert fields["Sheet"] == f"Sheet {page.number} of {page.of}"
        assert "Build drawing:" in fields["Document type"]


def test_colour_letters_are_explained(pages: Sequence[Page]) -> None:
    for page in pages:
        (legend,) = [box for box in page.boxes if box.kind == "legend"]
        words = words_in(page, legend)
        assert "Base/stripe; L = light, D = dark." in words
        assert {"BK", "LGN", "DBU", "TQ", "CL"} <= set(legend.refs)
        assert "SR" not in legend.refs  # no silver on this job


def test_faces_lie_as_the_eye_meets_them() -> None:
    """The wire side is the mating side mirrored, latch and all; the car's mating side meets ours mirrored."""
    job, result = van()
    sections = {section.refs[0]: section for section in face_sections(Reader(job, result, LIBRARY))}
    views = {(view.connector, view.side): view for view in sections["RAD.A"].views}
    assert len(views) == 4

    def pins(connector: str, side: str) -> list[list[str]]:
        return [[cell.pin for cell in row if cell] for row in views[connector, side].grid]

    assert pins("RAD.A", "mating")[0] == [str(n) for n in range(1, 10)]
    assert pins("RAD.A", "wire")[0] == [str(n) for n in range(9, 0, -1)]
    assert pins("RADC.A", "mating") == [row[::-1] for row in pins("RAD.A", "mating")]
    power = {view.side: view for view in sections["REC.P"].views}
    assert (power["mating"].latch, power["wire"].latch) == ("left", "right")
    blocked = [
        cell.pin for row in views["RAD.A", "wire"].grid for cell in row if cell and cell.state == "blocked"
    ]
    assert blocked == ["3"]


@pytest.mark.parametrize(("number", "area"), AWG_AREAS_MM2.items())
def test_awg_equivalents_are_the_tables(number: str, area: float) -> None:
    assert nearest_awg(area) == f"{number} AWG"
    assert nearest_awg(area_mm2(f"{number} AWG")) == f"{number} AWG"


def test_areas_are_short() -> None:
    assert [show_area(area) for area in (2.0, 0.75, 1.005)] == ["2 mm²", "0.75 mm²", "1 mm²"]
    assert nearest_awg(area_mm2("0000 AWG")) == "0000 AWG"
    assert nearest_awg(0) == "–"


def test_a_section_that_goes_on_says_so(pages: Sequence[Page]) -> None:
    """Every further page that begins with rows names the plug whose rows they are."""
    named = 0
    for before, page in pairwise(page for page in pages if page.sheet == "faces"):
        first = min((box for box in page.boxes if box.kind in ("pin", "heading")), key=lambda box: box.y)
        if first.kind == "pin":
            plug = [box.refs[0] for box in before.boxes if box.kind == "heading"][-1]
            assert f"{plug}, continued" in {text.text for text in page.texts}
            named += 1
    assert named
