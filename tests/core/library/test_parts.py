"""The shelf: every part is whole, and every mated pair meets pin for pin."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from core.colours import checked
from core.edits import add_mated, add_part, added_tag, check_invariants
from core.ids import connector_of, local
from core.job.document import Job
from core.library import LibraryPart, default_library, new_part

LIBRARY = default_library()
PARTS = list(LIBRARY.parts.values())
MATED = [entry for entry in PARTS if entry.mate is not None]


def named(entry: LibraryPart) -> str:
    return entry.name


@pytest.mark.parametrize("entry", PARTS, ids=named)
def test_every_part_is_whole(entry: LibraryPart) -> None:
    assert entry.source
    assert entry.part.kind
    assert entry.part.maker == entry.part.type == entry.part.serial == ""
    functions = []
    for cavity in entry.part.cavities.values():
        assert bool(cavity.function) == cavity.filled
        if cavity.function:
            functions.append(LIBRARY.functions[cavity.function])
        if cavity.colour_sheet:
            checked(cavity.colour_sheet)
        if cavity.lead is not None:
            assert cavity.lead.colour
            assert cavity.lead.length_mm
            assert cavity.lead.gauge in LIBRARY.sizes
    if entry.part.state == "to fit" and any(f.cls == "feed" for f in functions):
        assert any(cavity.needed for cavity in entry.part.cavities.values())


def test_a_part_that_covers_the_whole_work_is_there() -> None:
    kinds_there = {entry.part.kind for entry in PARTS}
    assert len(PARTS) >= 90
    assert kinds_there >= {
        "radio plug",
        "camera plug",
        "steering plug",
        "tap",
        "battery",
        "receiver",
        "amplifier",
        "camera",
        "dash camera",
        "display",
        "video in",
        "steering interface",
        "jack",
        "microphone",
        "extension",
        "antenna adapter",
        "step-down",
        "relay",
        "fuse holder",
        "diode",
        "speakers",
        "cable",
        "adapter",
        "breaker",
        "switch",
        "resistor",
        "lamp",
        "step-up",
        "data interface",
        "trailer plug",
    }


@pytest.mark.parametrize("entry", MATED, ids=named)
def test_a_mated_pair_meets_pin_for_pin(entry: LibraryPart) -> None:
    assert entry.mate is not None
    assert entry.part.state == "on the car"
    assert entry.part.id == entry.mate.id + "C"
    job = add_mated(Job(), entry.part, entry.mate)
    assert check_invariants(job) == []
    faces = {f"{entry.part.id}.{c.name}" for c in entry.part.connectors if c.face is not None}
    for ref, cavity in entry.part.cavities.items():
        if connector_of(ref) not in faces:
            continue
        mine = f"{entry.mate.id}.{local(ref)}"
        assert job.lookup.meets[ref] == mine
        assert job.lookup.meets[mine] == ref
        ours = entry.mate.cavities[mine]
        assert ours.function == cavity.function
        assert (ours.lead is not None) == cavity.filled
        assert cavity.lead is None


@pytest.mark.parametrize("entry", MATED, ids=named)
def test_the_two_halves_are_mirror_images(entry: LibraryPart) -> None:
    # Two faces that meet are seen from opposite sides: the first column of one is the last of the other.
    assert entry.mate is not None
    for connector in entry.part.connectors:
        if connector.face is None:
            continue
        other = entry.mate.by_name[connector.name]
        assert other.face is not None
        assert [row[0] for row in connector.face.grid] == [row[-1] for row in other.face.grid]
        assert connector.face.seen_from("wire") == other.face.seen_from("mating")
        assert {connector.face.gender, other.face.gender} == {"male", "female"}


ISO_WORDS = {
    "speed-dependent volume / speed signal": "speed-signal",
    "telephone mute (some makers: reverse signal)": "mute",
    "reverse signal / not defined (some makers: mute)": "reverse",
    "+12 V constant (battery, memory)": "constant",
    "power antenna / remote output, 150 to 300 mA": "antenna-turn-on",
    "illumination": "illumination",
    "+12 V switched (ignition/ACC)": "accessory",
    "ground": "ground",
    "line out rear left": "line-lr",
    "line out rear right": "line-rr",
    "line out common ground": "line-ground",
    "line out front left": "line-lf",
    "line out front right": "line-rf",
    "+12 V switched, max 150 mA": "amplifier-turn-on",
    **{
        f"{side} {end} {sign}": f"speaker-{side[0]}{end[0]}{sign}"
        for side in ("left", "right")
        for end in ("front", "rear")
        for sign in "+-"
    },
}


def test_iso_10487_pins_are_as_published(root: Path) -> None:
    # ISO 10487 as printed in "ISO connector A, B, C pin list" and "Radio installation manual, pinning of
    # connection box A, B, C1, C2, C3". Pins 7 to 20 differ by maker or are not modelled.
    plugs = LIBRARY.parts["ISO 10487 plugs A and B"].part.by_name
    line = LIBRARY.parts["ISO 10487 plug C1"].part.by_name["A"]
    sections = {"A": plugs["A"], "B": plugs["B"], "C1": line}
    with (root / "tests" / "reference" / "iso10487_pins.csv").open(encoding="utf-8") as table:
        published = [row for row in csv.DictReader(table) if row["section"] in sections]
    assert len(published) == 22
    for row in published:
        assert sections[row["section"]].by_pin[row["pin"]].function == ISO_WORDS[row["function"]]


def test_iso_10487_blocks_have_the_published_pins(root: Path) -> None:
    with (root / "tests" / "reference" / "iso10487_pins.csv").open(encoding="utf-8") as table:
        published = [(row["section"], row["pin"]) for row in csv.DictReader(table)]
    for section in ("A", "B", "C1", "C2", "C3"):
        face = LIBRARY.connectors[f"ISO 10487 {section}"].face
        assert set(face.places) == {pin for other, pin in published if other == section}
        assert face.rows == 2


def test_relay_terminals_are_as_published(root: Path) -> None:
    # "What does 30 85 86 87 mean on a relay"; DIN 72552.
    meanings = {
        "relay coil minus / ground end": "coil-minus",
        "relay coil plus end": "coil-plus",
        "relay common contact": "relay-common",
        "relay make contact (normally open)": "relay-make",
        "relay break contact (normally closed)": "relay-rest",
    }
    relay = LIBRARY.parts["Relay, 5 terminals"].part.by_name["A"]
    checked_pins = set()
    with (root / "tests" / "reference" / "din72552_terminals.csv").open(encoding="utf-8") as table:
        for row in csv.DictReader(table):
            if row["meaning"] in meanings:
                pin = row["terminal"].removesuffix(" (relay)")
                assert relay.by_pin[pin].function == meanings[row["meaning"]]
                checked_pins.add(pin)
    assert checked_pins == {"30", "85", "86", "87", "87a"}


def test_plain_grids_go_from_one_row_to_four() -> None:
    grids = [shape for shape in LIBRARY.connectors.values() if shape.group == "Plain grids"]
    assert {shape.face.columns for shape in grids} == {1, 2, 3, 4}
    assert {2, 40} <= {len(shape.face.places) for shape in grids}
    for shape in grids:
        assert shape.name.startswith(f"{len(shape.face.places)}-way")


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("step", "Step-down 12 to 6 V"),
        ("6 v", "Step-down 12 to 6 V"),
        ("converter", "Step-down 12 to 6 V"),
        ("RELAY 5", "Relay, 5 terminals"),
        ("radio 18", "Radio plug, 18-way"),
        ("iso", "ISO 10487 plugs A and B"),
        ("earth", "Body ground point"),
        ("backup", "Camera, 12 V"),
        ("handbrake", "Parking-brake tap"),
        ("fuse 10", "Fuse holder, in-line, 10 A"),
        ("battery", "Battery plus post"),
        ("protection diode", "Isolation diode, 1 A"),
    ],
)
def test_search_finds(text: str, name: str) -> None:
    assert name in [entry.name for entry in LIBRARY.find(text)]


def test_search_narrows_and_puts_names_first() -> None:
    assert LIBRARY.find("") == PARTS
    assert LIBRARY.find("nothing of the kind") == []
    found = LIBRARY.find("receiver")
    assert found[0].name.startswith("Receiver")
    assert len(found) < len(PARTS)
    ranks = ["receiver" in entry.name.lower() for entry in found]
    assert ranks == sorted(ranks, reverse=True)


def test_headings_hold_every_part_once_and_follow_the_work() -> None:
    groups = LIBRARY.groups()
    assert list(groups)[:3] == ["Plugs of the car", "Taps, grounds, battery", "Receivers"]
    assert sorted(e.name for entries in groups.values() for e in entries) == sorted(LIBRARY.parts)


@pytest.mark.parametrize("entry", PARTS, ids=named)
def test_every_part_can_be_put_on_the_map_twice(entry: LibraryPart) -> None:
    part = new_part(entry)
    assert part.library == entry.name
    once = add_part(Job(), part)
    twice = add_part(once, part)
    assert added_tag(once, twice) != part.id
    assert check_invariants(twice) == []
