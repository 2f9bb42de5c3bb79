"""Parts: added, removed, renamed, described."""

from __future__ import annotations

import pytest

from core.edits import (
    accept,
    add_mated,
    add_part,
    added_tag,
    cap,
    check_invariants,
    join,
    join_by_wire,
    move,
    open_pair,
    remove_parts,
    rename_tag,
    set_part,
    set_parts,
)
from core.errors import EditRefused
from core.ids import free_tag, is_tag
from core.job.document import Job
from core.job.faces import mate_of
from core.job.parts import Lead, Part
from tests.strategies import plug

RED = Lead(colour="RD")


def rad(pins: int = 3) -> Part:
    return plug("RAD", {str(n): "" for n in range(1, pins + 1)}, lead=RED)


def half_of(part: Part, tag: str) -> Part:
    connector = part.connectors[0]
    assert connector.face is not None
    cavities = tuple(c.changed(lead=None) for c in connector.cavities)
    half = connector.changed(face=mate_of(connector.face, "male"), cavities=cavities)
    return part.changed(id=tag, state="on the car", connectors=(half,))


def test_a_taken_tag_gets_a_number() -> None:
    once = add_part(Job(), rad())
    twice = add_part(once, rad(), at=(10, 20))
    assert added_tag(once, twice) == "RAD2"
    assert list(twice.parts["RAD2"].cavities) == ["RAD2.A-1", "RAD2.A-2", "RAD2.A-3"]
    assert (twice.view.places["RAD2"].x, twice.view.places["RAD2"].kept) == (10, True)
    thrice = add_part(twice, rad())
    assert added_tag(twice, thrice) == "RAD3"


@pytest.mark.parametrize(
    "wanted", ["RAD", "J", "W", "A", "LONGNAME1234", "TWELVELETTER", "R2D2", "J12345678"]
)
def test_a_tag_can_always_be_made(wanted: str) -> None:
    taken: set[str] = set()
    for _ in range(120):
        tag = free_tag(wanted, taken)
        assert is_tag(tag)
        assert tag not in taken
        taken.add(tag)


def test_two_halves_are_added_plugged_together() -> None:
    plugs = rad(), half_of(rad(), "RADC")
    job = add_mated(Job(), *plugs, at=(5, 5))
    assert (job.mates["M1"].a, job.mates["M1"].b) == ("RAD.A", "RADC.A")
    assert job.lookup.meets["RAD.A-1"] == "RADC.A-1"
    assert set(job.view.places) == {"RAD"}
    again = add_mated(job, *plugs)
    assert set(again.parts) == {"RAD", "RADC", "RAD2", "RAD2C"}
    assert (again.mates["M2"].a, again.mates["M2"].b) == ("RAD2.A", "RAD2C.A")


def test_the_connectors_that_meet_can_be_named() -> None:
    job = add_mated(Job(), rad(), half_of(rad(), "CAR"), pairs=[("A", "A")])
    assert job.mates["M1"].b == "CAR.A"
    with pytest.raises(EditRefused, match=r"There is no connector RAD\.Q"):
        add_mated(Job(), rad(), half_of(rad(), "CAR"), pairs=[("Q", "A")])


def test_halves_that_do_not_fit_are_not_added_as_a_pair() -> None:
    with pytest.raises(EditRefused, match="No plug of RAD fits one of RAD"):
        add_mated(Job(), rad(3), half_of(rad(4), "CAR"))


def joined() -> Job:
    """RAD and RADC mated; RAD-1 joined to AMP-1 and AMP-2; W1 from RAD-2 to AMP-3; RAD-3 capped."""
    job = add_mated(Job(), rad(), half_of(rad(), "RADC"), at=(1, 1))
    job = add_part(job, plug("AMP", {"1": "", "2": "", "3": ""}, lead=RED))
    job = join(join(job, "RAD.A-1", "AMP.A-1"), "J1", "AMP.A-2")
    job = join_by_wire(job, "RAD.A-2", "AMP.A-3")
    job = open_pair(cap(job, ["RAD.A-3"]), "M1", True)
    return accept(job, "look twice", ["RAD.A-1", "RAD", "J1"], reason="because", name="A. Fitter")


def test_a_removed_part_takes_its_mates_and_places_but_no_wires() -> None:
    job = remove_parts(joined(), ["RAD"])
    assert set(job.parts) == {"RADC", "AMP"}
    assert not job.mates
    assert not job.view.opened
    assert not job.view.places
    assert job.joints["J1"].ends == ("AMP.A-1", "AMP.A-2")
    assert job.joints["J3"].ends == ("AMP.A-3", "W1:b")
    assert "J2" not in job.joints
    assert set(job.wires) == {"W1"}
    assert not job.finishes
    assert check_invariants(job) == []


def test_a_crimped_wire_hangs_free_when_its_part_is_removed() -> None:
    job = add_part(Job(), plug("BOX", {"1": "", "2": ""}))
    job = remove_parts(join(job, "BOX.A-1", "BOX.A-2"), ["BOX"])
    assert (job.wires["W1"].a_in, job.wires["W1"].b_in) == (None, None)


def test_a_new_tag_is_written_everywhere() -> None:
    job = rename_tag(joined(), "RAD", "RX")
    assert list(job.parts) == ["RX", "RADC", "AMP"]
    assert job.parts["RX"].id == "RX"
    assert job.mates["M1"].a == "RX.A"
    assert job.joints["J1"].ends == ("RX.A-1", "AMP.A-1", "AMP.A-2")
    assert set(job.finishes) == {"RX.A-3"}
    assert set(job.view.places) == {"RX"}
    assert job.acceptances[0].where == ("RX.A-1", "RX", "J1")
    assert "RAD." not in job.model_dump_json()


def test_renaming_there_and_back_changes_nothing() -> None:
    assert rename_tag(rename_tag(joined(), "RAD", "RX"), "RX", "RAD") == joined()


@pytest.mark.parametrize(
    ("new", "sentence"),
    [
        ("AMP", "There is a part AMP already."),
        ("J3", "'J3' cannot be a tag"),
        ("radio", "'radio' cannot be a tag"),
        ("", "'' cannot be a tag"),
    ],
)
def test_tags_that_cannot_be_given(new: str, sentence: str) -> None:
    with pytest.raises(EditRefused) as refused:
        rename_tag(joined(), "RAD", new)
    assert str(refused.value).startswith(sentence)


def test_parts_are_described_one_or_many() -> None:
    job = set_part(joined(), "AMP", serial="0042", done=True)
    assert (job.parts["AMP"].serial, job.parts["AMP"].done) == ("0042", True)
    job = set_parts(job, ["RAD", "AMP"], state="donor")
    assert {job.parts[tag].state for tag in ("RAD", "AMP")} == {"donor"}
    with pytest.raises(EditRefused, match="State: "):
        set_part(job, "AMP", state="lost")
    with pytest.raises(EditRefused, match=r"There is no part ZZZ\."):
        set_part(job, "ZZZ", name="x")
    with pytest.raises(TypeError):
        set_part(job, "AMP", id="RAD")


def test_what_is_not_touched_is_shared() -> None:
    before = joined()
    after = move(set_part(before, "AMP", name="Amplifier"), {"AMP": (3, 4)})
    assert after.parts["RAD"] is before.parts["RAD"]
    assert after.joints is before.joints
    assert set_part(after, "AMP", name="Amplifier") is after


def test_a_crimp_into_a_part_goes_with_its_new_tag() -> None:
    job = join_by_wire(add_part(joined(), plug("BOX", {"1": "", "2": ""})), "BOX.A-1", "RAD.A-1")
    assert rename_tag(job, "BOX", "FUSE").lookup.crimped == {"FUSE.A-1": ("W2:a",)}
