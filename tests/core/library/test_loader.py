"""Library folders: what is broken is named by file and row; the user's own overrides the shipped one."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from core.errors import FileProblem
from core.library import load_library
from core.paths import shared_folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the shipped library, to break."""
    copy = tmp_path / "shared"
    shutil.copytree(shared_folder(), copy)
    return copy


def problem(folder: Path) -> FileProblem:
    with pytest.raises(FileProblem) as caught:
        load_library([folder])
    return caught.value


def change(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.mark.parametrize(
    ("file", "old", "new", "where", "cause"),
    [
        ("functions.csv", "constant,constant,feed", "constant,constant,fed", "row 2", "'fed'"),
        (
            "functions.csv",
            "constant,constant,feed",
            "Constant,constant,feed",
            "row 2",
            "cannot be a function",
        ),
        ("functions.csv", "off accessory run start running", "off sometimes", "row 2", "'live'"),
        ("functions.csv", "off accessory run start running", "", "row 2", "live in no key position"),
        ("functions.csv", "accessory,accessory,feed", "constant,other,feed", "row 3", "stands twice"),
        ("functions.csv", "half,lf,+", "half,,+", "row 25", "channel"),
        ("functions.csv", "id,words", "id,word", "row 1", "'words'"),
        ("functions.csv", "ignition,ignition,feed,gives", "ignition,ignition,feed", "row 4", "'source'"),
        ("function_pairs.csv", "unused,unused", "unused,unusual", "row 2", "'unusual'"),
        ("function_pairs.csv", ",fits,both are unused", ",maybe,both are unused", "row 2", "'maybe'"),
        ("function_pairs.csv", "fits,both are unused", "fits,", "row 2", "'reason' is empty"),
        ("function_pairs.csv", "[video],[video]", "[video],[audio]", "", "[audio]"),
        ("wires.csv", "0.13 mm2,mm2,0.13", "0.13 mm2,AWG,0.13", "row 2", "not of the system"),
        ("wires.csv", "0.13 mm2,mm2,0.13", "0.13 mm2,mm2,0.31", "row 2", "not 0.31"),
        ("wires.csv", "0.13 mm2,mm2,0.13,136", "0.13 mm2,mm2,0.13,many", "row 2", "not a number"),
        ("wires.csv", "0.13 mm2,mm2,0.13,136", "0.13 mm2,mm2,0.13,-1", "row 2", "above zero"),
        ("wires.csv", "0.22 mm2,mm2,0.22", "0.13 mm2,mm2,0.13", "row 3", "stands twice"),
        ("leads.csv", "constant,YE", "constant,YELLOW", "row 2", "'YELLOW'"),
        ("leads.csv", "constant,YE,1 mm2", "constant,YE,thick", "row 2", "not a gauge"),
        ("leads.csv", "constant,YE", "battery,YE", "row 2", "'battery'"),
        ("parts/30_receivers.json", '"constant"', '"battery"', "Receiver, 12-way lead set", "'battery'"),
        ("parts/30_receivers.json", '"colour": "YE"', '"colour": "YY"', "Receiver, 12-way lead set", "'YY'"),
        (
            "parts/30_receivers.json",
            '"pin": "12"',
            '"pin": "11"',
            "Receiver, 12-way lead set",
            "stands twice",
        ),
        (
            "parts/30_receivers.json",
            '"pin": "12"',
            '"pin": "99"',
            "Receiver, 12-way lead set",
            "not in the face",
        ),
        ("parts/30_receivers.json", '"12-way, 2 × 6"', '"13-way"', "Receiver, 12-way lead set", "'13-way'"),
        ("parts/30_receivers.json", '"plus": "A-1"', '"plus": "A-77"', "Receiver, 12-way lead set", "A-77"),
        (
            "parts/30_receivers.json",
            '"source": "',
            '"sauce": "',
            "Receiver, 12-way lead set",
            "source: Field",
        ),
        ("parts/30_receivers.json", '"parts": [', '"parts": [1, ', "", "parts.0"),
        ("parts/30_receivers.json", '"parts": [', '"parts": [{}, ', "entry 1", "name"),
        ("parts/30_receivers.json", '"parts": [', '"parts": [, ', "row 4", "Expecting value"),
        ("parts/10_car_plugs.json", '"tag": "RAD"', '"tag": "J3"', "Radio plug, 18-way", "J3"),
        ("connectors/relays.json", '"87", null', '"86", null', "Relay base, 4 terminals", "stands twice"),
        ("connectors/relays.json", "base, 5", "base, 4", "Relay base, 4 terminals", "stands twice"),
    ],
)
def test_a_broken_file_is_named_with_its_row_and_the_cause(
    folder: Path, file: str, old: str, new: str, where: str, cause: str
) -> None:
    change(folder / file, old, new)
    found = problem(folder)
    assert found.file == Path(file).name
    assert where in found.where
    assert cause in found.cause


def test_a_pair_of_classes_that_nothing_answers_is_named(folder: Path) -> None:
    table = folder / "function_pairs.csv"
    lines = table.read_text(encoding="utf-8").splitlines(keepends=True)
    table.write_text("".join(x for x in lines if not x.startswith("[video],[usb]")), encoding="utf-8")
    assert problem(folder).cause == "no row answers [video] with [usb]"


def test_text_in_another_encoding_is_named_with_its_row(folder: Path) -> None:
    (folder / "wires.csv").write_bytes((folder / "wires.csv").read_bytes() + b"caf\xe9,,,,,\n")
    found = problem(folder)
    assert (found.file, found.cause) == ("wires.csv", "is not UTF-8 text")
    assert found.where.startswith("row ")


def test_a_file_that_is_nested_without_end_is_refused(folder: Path) -> None:
    (folder / "parts" / "deep.json").write_text("[" * 100_000, encoding="utf-8")
    assert problem(folder).file == "deep.json"


def test_a_missing_folder_is_an_empty_one(tmp_path: Path) -> None:
    library = load_library([shared_folder(), tmp_path / "nowhere"])
    assert library.parts.keys() == load_library([shared_folder()]).parts.keys()


def test_the_users_folder_adds_and_overrides(tmp_path: Path) -> None:
    own = tmp_path / "own"
    (own / "parts").mkdir(parents=True)
    (own / "leads.csv").write_text(
        "function,colour,gauge,source\nconstant,RD,2.5 mm2,this shop\n", encoding="utf-8"
    )
    part = {
        "name": "Body ground point",
        "source": "this shop",
        "part": {
            "id": "GND",
            "name": "Ground stud",
            "kind": "tap",
            "state": "on the car",
            "connectors": [{"name": "A", "cavities": [{"pin": "1", "function": "ground"}]}],
        },
    }
    file = {"group": "Taps, grounds, battery", "order": 20, "parts": [part, {**part, "name": "Second stud"}]}
    (own / "parts" / "own.json").write_text(json.dumps(file), encoding="utf-8")
    shipped, both = load_library([shared_folder()]), load_library([shared_folder(), own])
    assert both.parts["Body ground point"].part.name == "Ground stud"
    assert both.parts.keys() - shipped.parts.keys() == {"Second stud"}
    assert both.lead_colours["constant"] == "RD"
    assert both.lead_colours["accessory"] == shipped.lead_colours["accessory"]
    assert both.functions == shipped.functions


TABLES = ("functions.csv", "function_pairs.csv", "wires.csv", "leads.csv")
JSONS = ("parts/10_car_plugs.json", "parts/70_protection.json", "connectors/iso_10487.json")


@given(data=st.data())
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_damage_anywhere_is_read_or_named_never_raised_otherwise(folder: Path, data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(TABLES + JSONS))
    path = folder / name
    whole = (shared_folder() / name).read_bytes()
    at = data.draw(st.integers(0, len(whole) - 1))
    cut = data.draw(st.integers(0, 40))
    junk = data.draw(st.binary(max_size=6) | st.sampled_from([b'"', b",", b"\n", b"{", b"null", b"\xff"]))
    path.write_bytes(whole[:at] + junk + whole[at + cut :])
    found: FileProblem | None = None
    try:
        load_library([folder])
    except FileProblem as error:
        found = error
    path.write_bytes(whole)
    assert found is None or (found.file.endswith((".csv", ".json")) and found.cause)
