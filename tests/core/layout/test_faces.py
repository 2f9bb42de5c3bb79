"""Faces on the map: true pin grids, seen from either side."""

from __future__ import annotations

import pytest

from core.job.document import Job
from core.job.faces import Face, Numbering, Side, numbered_grid
from core.job.parts import Cavity, Connector, Lead, Part
from core.job.view import Place, View
from core.job.wiring import Joint
from core.layout import lay_out
from core.layout.metrics import CELL_HEIGHT, CELL_WIDTH
from core.layout.shapes import BlockShape, FaceShape
from tests.core.layout.samples import LIBRARY, mated, plug, van


def rows_of(face: FaceShape) -> list[list[str]]:
    """The pins as the eye meets them, row by row from the left."""
    rows: dict[float, list[tuple[float, str]]] = {}
    for cell in face.cavities:
        rows.setdefault(cell.rect.y, []).append((cell.rect.x, cell.pin))
    return [[pin for _, pin in sorted(row)] for _, row in sorted(rows.items())]


def block_from(part: Part, side: Side) -> BlockShape:
    job = Job(parts={part.id: part}, view=View(side=side, places={part.id: Place(x=10, y=20)}))
    return lay_out(job, LIBRARY).blocks[part.id]


# Worked by hand: two rows of three, counted from the mating side; the wire side is the mirror image.
BY_HAND: list[tuple[Numbering, list[list[str]], list[list[str]]]] = [
    ("by rows", [["1", "2", "3"], ["4", "5", "6"]], [["3", "2", "1"], ["6", "5", "4"]]),
    ("by columns", [["1", "3", "5"], ["2", "4", "6"]], [["5", "3", "1"], ["6", "4", "2"]]),
    ("by pairs", [["1", "3", "5"], ["2", "4", "6"]], [["5", "3", "1"], ["6", "4", "2"]]),
    ("serpentine", [["1", "2", "3"], ["6", "5", "4"]], [["3", "2", "1"], ["4", "5", "6"]]),
]


@pytest.mark.parametrize(("numbering", "mating", "wire"), BY_HAND)
def test_a_face_from_both_sides(numbering: Numbering, mating: list[list[str]], wire: list[list[str]]) -> None:
    part = plug("PLUG", "Plug", 2, 3, {"1": ("ground", "BK")}, numbering=numbering)
    assert rows_of(block_from(part, "mating").faces[0]) == mating
    assert rows_of(block_from(part, "wire").faces[0]) == wire


def test_pairs_over_four_rows() -> None:
    part = plug("PLUG", "Plug", 4, 2, {"1": ("ground", "BK")}, numbering="by pairs")
    assert rows_of(block_from(part, "mating").faces[0]) == [["1", "3"], ["2", "4"], ["5", "7"], ["6", "8"]]
    assert rows_of(block_from(part, "wire").faces[0]) == [["3", "1"], ["4", "2"], ["7", "5"], ["8", "6"]]


@pytest.mark.parametrize(
    ("latch", "side", "edge"),
    [
        ("top", "mating", "top"),
        ("top", "wire", "top"),
        ("bottom", "wire", "bottom"),
        ("left", "mating", "left"),
        ("left", "wire", "right"),
        ("right", "wire", "left"),
    ],
)
def test_the_latch_is_mirrored_with_the_face(latch: str, side: Side, edge: str) -> None:
    part = plug("PLUG", "Plug", 2, 3, {"1": ("ground", "BK")}, latch=latch)  # type: ignore[arg-type]
    face = block_from(part, side).faces[0]
    assert face.latch is not None
    beyond = {
        "top": face.latch.bottom == face.body.y,
        "bottom": face.latch.y == face.body.bottom,
        "left": face.latch.right == face.body.x,
        "right": face.latch.x == face.body.right,
    }
    assert [name for name, true in beyond.items() if true] == [edge]


def test_cells_have_one_size_and_lie_in_the_body() -> None:
    for face in block_from(plug("PLUG", "Plug", 3, 5, {}), "wire").faces:
        assert {(c.rect.width, c.rect.height) for c in face.cavities} == {(CELL_WIDTH, CELL_HEIGHT)}
        for cell in face.cavities:
            assert face.body.x <= cell.rect.x
            assert cell.rect.right <= face.body.right
            assert face.body.y <= cell.rect.y
            assert cell.rect.bottom <= face.body.bottom


def test_blocked_filled_and_missing_cavities() -> None:
    face = Face(grid=(("1", None, "2"), ("3", "4", "5")), blocked=("3",), latch="none")
    cavities = (Cavity(pin="1", lead=Lead(colour="RD")), Cavity(pin="2", filled=False))
    part = Part(id="PLUG", name="Plug", connectors=(Connector(name="A", face=face, cavities=cavities),))
    block = block_from(part, "mating")
    shape = block.faces[0]
    assert shape.latch is None
    assert [c.pin for c in shape.cavities] == ["1", "2", "3", "4", "5"]
    assert [c.pin for c in shape.cavities if c.blocked] == ["3"]
    assert [c.pin for c in shape.cavities if c.filled] == ["1"]
    assert [f.terminal for f in block.flags] == ["PLUG.A-1"]
    gap = shape.cavities[1].rect.x - shape.cavities[0].rect.x
    assert gap == 2 * CELL_WIDTH


def test_a_mated_pair_is_one_block_with_both_terminals_in_each_cavity() -> None:
    layout = lay_out(van(), LIBRARY)
    assert "RADC" not in layout.blocks
    assert layout.block_of["RADC"] == "RAD"
    block = layout.blocks["RAD"]
    assert block.also == "RADC"
    assert block.absorbed == ("RADC",)
    cells = {cell.terminal: cell.mate for cell in block.faces[0].cavities}
    assert cells["RAD.A-4"] == "RADC.A-4"
    assert cells["RAD.A-3"] is None
    assert {flag.terminal.partition(".")[0] for flag in block.flags} == {"RAD"}


def test_contacts_of_a_pair_follow_geometry_and_not_numbers() -> None:
    """Halves numbered alike, each from its own mating side, meet mirrored: 1 meets 2 in a row of two."""
    ours = plug("RAD", "Plug", 1, 2, {"1": ("ground", "BK"), "2": ("constant", "YE")})
    theirs = plug("RADC", "Car", 1, 2, {"1": ("", "RD"), "2": ("", "BU")}, state="on the car", leads=False)
    _, mate = mated(ours, "RADC")
    layout = lay_out(Job(parts={"RAD": ours, "RADC": theirs}, mates={"M1": mate}), LIBRARY)
    cells = layout.blocks["RAD"].faces[0].cavities
    assert {(c.pin, c.mate) for c in cells} == {("1", "RADC.A-2"), ("2", "RADC.A-1")}


def test_an_opened_pair_stands_face_to_face_with_its_contacts_drawn() -> None:
    job = van()
    opened = job.model_copy(update={"view": View(opened=("M1",))})
    layout = lay_out(opened, LIBRARY)
    ours, cars = layout.blocks["RAD"], layout.blocks["RADC"]
    assert ours.also is None
    assert cars.flags == ()
    assert not ours.bounds.overlaps(cars.bounds)
    assert ours.flags[0].turned == "right"
    assert cars.core.right < ours.core.x
    contacts = {curve.ends for curve in layout.curves.values() if curve.role == "mate"}
    assert ("RAD.A-1", "RADC.A-1") in contacts
    assert len(contacts) == len(job.parts["RAD"].cavities)
    by_terminal = {cell.terminal: cell.rect for face in ours.faces for cell in face.cavities}
    for curve in layout.curves.values():
        if curve.role == "mate":
            assert by_terminal[curve.owner].contains(curve.a)


def test_a_joined_cavity_of_the_absorbed_half_has_its_own_flag() -> None:
    job = van()
    cut = Joint(id="J90", ends=("RADC.A-9", "VID.A-1"))
    job = Job.model_validate({**{k: getattr(job, k) for k in Job.model_fields}, "joints": {"J90": cut}})
    layout = lay_out(job, LIBRARY)
    assert "RADC.A-9" in {flag.terminal for flag in layout.blocks["RAD"].flags}
    assert layout.curves["lead:RADC.A-9"].ends == ("RADC.A-9", "J90")


def test_loose_leads_come_from_a_sleeve() -> None:
    block = lay_out(van(), LIBRARY).blocks["STEP"]
    assert block.faces[0].cavities == ()
    assert {flag.terminal for flag in block.flags} == {"STEP.L-in", "STEP.L-common", "STEP.L-out"}
    assert block.subtitle == "STEP · 3 leads"


def test_several_connectors_of_a_part_are_stacked_with_their_names() -> None:
    face = Face(grid=numbered_grid(2, 3))
    cavities = tuple(Cavity(pin=str(pin), lead=Lead(colour="RD")) for pin in range(1, 7))
    connectors = tuple(Connector(name=name, face=face, cavities=cavities) for name in ("A", "B"))
    part = Part(id="AMP", name="Amplifier", connectors=connectors)
    block = block_from(part, "wire")
    upper, lower = block.faces
    assert (upper.title, lower.title) == ("A", "B")
    assert upper.body.bottom < lower.body.y
    rects = [flag.rect for flag in block.flags]
    assert not any(a.overlaps(b) for i, a in enumerate(rects) for b in rects[i + 1 :])
    assert block.subtitle == "AMP · 2 connectors"


def test_titles_say_what_and_where() -> None:
    blocks = lay_out(van(), LIBRARY).blocks
    assert blocks["RAD"].title == "Radio plug"
    assert blocks["RAD"].subtitle == "RAD · 18-way · on the car, mated"
    assert blocks["CAM"].subtitle == "CAM · 8-way · on the car"
    assert blocks["REC"].subtitle == "REC · 12-way"
