"""The shelf: every part is whole, and every mated pair meets pin for pin."""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path
from typing import get_args

import pytest

from core.colours import checked
from core.edits import add_mated, add_part, added_tag, check_invariants
from core.ids import connector_of, local
from core.job import internals as kinds
from core.job.document import Job
from core.job.internals import TERMINAL_FIELDS, Internal
from core.library import LibraryPart, default_library, new_part

LIBRARY = default_library()
PARTS = list(LIBRARY.parts.values())
MATED = [entry for entry in PARTS if entry.mate is not None]
SUPPLY_WINDOWS = {(5.5, 6.5), (9.0, 16.0), (10.0, 16.0), (18.0, 32.0)}


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


def function_of(entry: LibraryPart, internal: Internal) -> dict[str, str]:
    """What each terminal that an internal names is for, by the internal's own field."""
    function = {local(ref): cavity.function for ref, cavity in entry.part.cavities.items()}
    return {
        field: function[name] for field, name in internal if field in TERMINAL_FIELDS and name is not None
    }


def cls(function: str) -> str:
    return LIBRARY.functions[function].cls


INTERNALS = [(entry, internal) for entry in PARTS for internal in entry.part.internals]


@pytest.mark.parametrize("entry", PARTS, ids=named)
def test_internals_fit_the_functions_of_their_terminals(entry: LibraryPart) -> None:
    for internal in entry.part.internals:
        what = function_of(entry, internal)
        match internal:
            case kinds.Feed():
                function = LIBRARY.functions[what["terminal"]]
                assert function.cls == "feed"
                assert (internal.live.keys, internal.live.switch) == (function.live, function.switch)
            case kinds.GroundPoint():
                assert what == {"terminal": "ground"}
            case kinds.SwitchToGround():
                assert what == {"terminal": "parking-brake"}
                assert internal.closed.switch == "parking"
            case kinds.Battery():
                assert what == {"plus": "battery-plus", "minus": "battery-minus"}
            case kinds.Load():
                # The car's own loads stand on its outputs; what is fitted says which volts it accepts.
                assert cls(what["plus"]) in ("feed", "output")
                assert what.get("minus") is None or cls(what["minus"]) == "ground"
                if "minus" in what:
                    assert internal.accepts is not None
                    assert (internal.accepts.least, internal.accepts.most) in SUPPLY_WINDOWS
            case kinds.Sense():
                assert cls(what["terminal"]) in ("feed", "output", "sense")
                assert (internal.active == "low") == (what["terminal"] == "parking-brake")
            case kinds.Output():
                assert cls(what["terminal"]) in ("output", "feed")
            case kinds.LowSideOutput():
                assert (what["terminal"], cls(what["reference"])) == ("low-side-out", "ground")
            case kinds.SpeakerOutput() | kinds.Speaker():
                assert what["plus"].removesuffix("+") == what["minus"].removesuffix("-")
            case kinds.Link():
                assert what["a"] == what["b"]
            case kinds.Relay():
                assert (what["coil_plus"], what["coil_minus"]) == ("coil-plus", "coil-minus")
                assert (what["common"], what["make"]) == ("relay-common", "relay-make")
                assert what.get("rest") in (None, "relay-rest")
            case kinds.StepDown():
                assert (what["input"], what["common"]) == ("step-down-in", "common")
                assert what["output"] in ("step-down-out", "memory-out", "switched-out")
            case kinds.StepUp():
                assert list(what.values()) == ["step-up-in", "step-up-out", "step-up-minus"]
            case kinds.Fuse() | kinds.Breaker():
                assert list(what.values()) == ["fuse-a", "fuse-b"]
            case kinds.SwitchContact():
                assert list(what.values()) == ["switch-a", "switch-b"]
            case kinds.Diode():
                assert list(what.values()) == ["anode", "cathode"]
            case kinds.Lamp():
                assert what["a"] == "lamp+" or cls(what["a"]) == "feed"
                assert what["b"] == "lamp-" or cls(what["b"]) == "ground"
            case kinds.Resistor():
                # A part of its own, or the way by which a signal's ground meets the ground inside a part.
                inside = (cls(what["a"]), cls(what["b"])) == ("signal ground", "ground")
                assert inside or list(what.values()) == ["resistor-a", "resistor-b"]
            case kinds.Shield():
                assert {cls(function) for function in what.values()} <= {"signal ground", "ground"}
            case kinds.Case():
                assert cls(what["a"]) == "ground"
            case kinds.ButtonLadder() | kinds.LadderReader():
                signal, reference = what.values()
                pairs = {"wired-remote": "wired-remote-ground"}
                assert cls(signal) == "steering"
                assert reference == pairs.get(signal, "steering-ground")
            case kinds.DataPair():
                assert what == {"high": "can-high", "low": "can-low"}
            case kinds.Video():
                assert what == {"terminal": "video", "reference": "video-ground"}
            case kinds.LineLevel():
                assert cls(what["terminal"]) == "line"
                assert what["reference"] in ("line-ground", "aux-ground")
            case kinds.Antenna():
                assert what["terminal"] == "antenna"


@pytest.mark.parametrize(("entry", "internal"), INTERNALS, ids=lambda value: getattr(value, "name", ""))
def test_internals_say_where_their_numbers_are_from(entry: LibraryPart, internal: Internal) -> None:
    numbers = [
        value
        for field, value in internal
        if isinstance(value, float) and value != type(internal).model_fields[field].default
    ]
    if numbers and "source" in type(internal).model_fields:
        assert internal.source, (entry.name, internal.kind)


@pytest.mark.parametrize("entry", PARTS, ids=named)
def test_numbers_of_internals_agree_with_each_other(entry: LibraryPart) -> None:
    for internal in entry.part.internals:
        match internal:
            case kinds.Load():
                steady = internal.amps or 0
                assert internal.idle_amps is None or internal.idle_amps < steady
                assert internal.inrush_amps is None or internal.inrush_amps > steady
                if internal.accepts and internal.least_volts:
                    assert internal.least_volts <= internal.accepts.least
            case kinds.Fuse():
                assert internal.form
                assert internal.holder_amps is not None
                assert internal.holder_amps >= internal.amps
            case kinds.Relay():
                assert internal.coil_ohms is not None
                assert internal.pull_in_volts is not None
                assert internal.drop_out_volts is not None
                assert internal.pull_in_volts > 2 * internal.drop_out_volts
                assert (internal.clamp == "resistor") == (internal.clamp_ohms is not None)
            case kinds.StepDown():
                assert internal.drop_out_volts is not None
                assert internal.volts_out + internal.drop_out_volts < internal.accepts.least
                assert (internal.sort == "switching") == (internal.efficiency is not None)
            case kinds.StepUp():
                assert internal.volts_out > internal.accepts.most
            case kinds.ButtonLadder():
                # Seen through a reader's 1 kilohm, no two buttons are nearer than it can tell apart.
                shares = sorted(ohms / (ohms + 1000) for ohms in internal.ohms.values())
                assert len(shares) > 1
                assert all(b - a > 0.05 for a, b in pairwise(shares))
            case _:
                pass


@pytest.mark.parametrize("kind", get_args(get_args(Internal)[0]), ids=lambda kind: kind.__name__)
def test_every_kind_of_internal_is_on_the_shelf(kind: type) -> None:
    assert any(isinstance(internal, kind) for _, internal in INTERNALS)


def test_what_a_technician_fits_comes_in_every_sort() -> None:
    found = [internal for _, internal in INTERNALS]
    assert {i.clamp for i in found if isinstance(i, kinds.Relay)} == {"none", "diode", "resistor"}
    assert {i.resets for i in found if isinstance(i, kinds.Breaker)} == {True, False}
    assert {i.sort for i in found if isinstance(i, kinds.StepDown)} == {"linear", "switching"}
    assert {i.form for i in found if isinstance(i, kinds.Fuse)} >= {
        "mini",
        "standard",
        "maxi",
        "glass",
        "midi",
    }
    assert {i.manner for i in found if isinstance(i, kinds.Feed)} == {"steady", "timed", "pulsed"}
    assert {i.reliable for i in found if isinstance(i, kinds.GroundPoint)} == {True, False}
    assert {(i.main, i.amp_hours) for i in found if isinstance(i, kinds.Battery)} == {
        (True, 60),
        (False, 100),
    }
    assert 7 in {len(i.ohms) for i in found if isinstance(i, kinds.ButtonLadder)}


def test_a_receiver_draws_on_its_constant_while_its_accessory_is_live() -> None:
    for entry in PARTS:
        if entry.part.kind not in ("receiver", "amplifier"):
            continue
        loads = [i for i in entry.part.internals if isinstance(i, kinds.Load)]
        (main,) = (load for load in loads if function_of(entry, load)["plus"] == "constant")
        turned_on_by = function_of(entry, main)["on_by"]
        assert turned_on_by == {"receiver": "accessory", "amplifier": "amplifier-turn-on"}[entry.part.kind]
        # Batteries go flat in weeks, not in days: a few mA while off.
        assert main.idle_amps is not None
        assert main.idle_amps <= 0.01
        senses = {i.terminal for i in entry.part.internals if isinstance(i, kinds.Sense)}
        assert main.on_by in senses
        for internal in entry.part.internals:
            if isinstance(internal, kinds.SpeakerOutput | kinds.Output):
                assert (internal.fed_from, internal.on_by) == (main.plus, main.on_by)


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
