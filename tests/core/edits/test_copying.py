"""Copy, paste and delete."""

from __future__ import annotations

import pytest

from core.edits import (
    Clip,
    add_cable,
    add_mated,
    add_note,
    add_part,
    cap,
    check_invariants,
    copy,
    delete,
    join,
    join_by_wire,
    move,
    open_pair,
    paste,
)
from core.errors import EditRefused
from core.job.document import Job
from core.job.faces import mate_of
from core.job.parts import Lead
from core.job.wiring import Conductor, Joint
from tests.strategies import plug

RED = Lead(colour="RD")
PINS = {"1": "", "2": "", "3": ""}


def bench() -> Job:
    """RAD mated with RADC; W1 from RAD-1 to AMP-1; RAD-2, AMP-2 and LAMP-1 in J3; RAD-3 capped; W2 in BOX."""
    own = plug("RAD", PINS, lead=RED)
    face = own.connectors[0].face
    assert face is not None
    half = own.connectors[0].changed(face=mate_of(face, "male"))
    job = add_mated(Job(), own, own.changed(id="RADC", state="on the car", connectors=(half,)), at=(100, 50))
    job = add_part(job, plug("AMP", PINS, lead=RED), at=(300, 80))
    job = add_part(add_part(job, plug("LAMP", PINS, lead=RED)), plug("BOX", PINS))
    job = join_by_wire(job, "RAD.A-1", "AMP.A-1", colour="GN")
    job = join(join(job, "RAD.A-2", "AMP.A-2"), "J3", "LAMP.A-1")
    job = join(cap(job, ["RAD.A-3"]), "BOX.A-1", "BOX.A-2")
    return add_note(open_pair(job, "M1", True), "mind the airbag", (0, 0))


def test_parts_are_pasted_with_the_joins_among_them() -> None:
    job = paste(bench(), copy(bench(), ["RAD", "RADC", "AMP"]))
    assert list(job.parts)[5:] == ["RAD2", "RADC2", "AMP2"]
    assert (job.mates["M2"].a, job.mates["M2"].b) == ("RAD2.A", "RADC2.A")
    assert job.view.opened == ("M1", "M2")
    assert {j: job.joints[j].ends for j in ("J4", "J5", "J6")} == {
        "J4": ("RAD2.A-1", "W3:a"),
        "J5": ("AMP2.A-1", "W3:b"),
        "J6": ("RAD2.A-2", "AMP2.A-2"),
    }
    assert job.wires["W3"].colour == "GN"
    assert "RAD2.A-3" in job.finishes
    assert check_invariants(job) == []


def test_a_copy_goes_into_another_job_as_json() -> None:
    clip = Clip.model_validate_json(copy(bench(), ["BOX", "N1"]).model_dump_json())
    job = paste(Job(), clip, at=(1000, 1000))
    assert (job.wires["W1"].a_in, job.wires["W1"].b_in) == ("BOX.A-1", "BOX.A-2")
    assert job.notes["N1"].text == "mind the airbag"
    assert (job.view.places["N1"].x, job.view.places["N1"].y) == (1000, 1000)
    assert check_invariants(job) == []


def test_places_keep_their_distances() -> None:
    job = paste(bench(), copy(bench(), ["RAD", "AMP"]), at=(0, 0))
    places = {ref: (place.x, place.y) for ref, place in job.view.places.items()}
    assert (places["RAD2"], places["AMP2"]) == ((0, 0), (200, 30))
    beside = paste(bench(), copy(bench(), ["RAD"])).view.places["RAD2"]
    assert (beside.x, beside.y) == (140, 90)


def test_what_leads_away_is_cut_off() -> None:
    clip = copy(bench(), ["RAD"])
    assert not clip.content.wires
    assert not clip.content.joints
    assert not clip.content.mates


def test_a_selected_wire_comes_along_with_free_ends() -> None:
    job = paste(bench(), copy(bench(), ["W2"]))
    assert (job.wires["W3"].a_in, job.wires["W3"].b_in) == (None, None)


def test_a_cable_between_copied_parts_comes_along_whole() -> None:
    job = add_cable(bench(), [Conductor(colour="RD"), Conductor(colour="BK")])
    job = join(join(job, "C1.1:a", "RAD.A-2"), "C1.1:b", "BOX.A-3")
    clip = copy(job, ["RAD", "BOX"])
    assert set(clip.content.cables) == {"C1"}
    pasted = paste(job, clip)
    assert pasted.cables["C2"].conductors[0].b_in == "BOX2.A-3"
    assert check_invariants(pasted) == []


def test_nothing_to_copy() -> None:
    with pytest.raises(EditRefused, match="Select a part"):
        copy(bench(), ["J1", "RAD.A-1"])


def test_a_clip_that_is_not_whole_is_refused() -> None:
    broken = Clip(content=Job(joints={"J1": Joint(id="J1", ends=("RAD.A-1", "AMP.A-1"))}))
    with pytest.raises(EditRefused, match="not whole"):
        paste(bench(), broken)


def test_deleting_a_mix() -> None:
    job = move(bench(), {"J3": (5, 5)})
    job = delete(job, ["AMP", "J3", "W2", "N1", "RAD.A-3", "M1"])
    assert set(job.parts) == {"RAD", "RADC", "LAMP", "BOX"}
    assert set(job.joints) == {"J1"}
    assert set(job.wires) == {"W1"}
    assert (dict(job.notes), dict(job.mates), dict(job.finishes)) == ({}, {}, {})
    assert set(job.view.places) == {"RAD"}
    assert check_invariants(job) == []


def test_deleting_ends_and_connectors_takes_them_apart() -> None:
    job = delete(bench(), ["LAMP.A-1", "W2:a", "RAD.A"])
    assert job.joints["J3"].ends == ("RAD.A-2", "AMP.A-2")
    assert job.wires["W2"].a_in is None
    assert not job.mates


def test_nothing_to_delete() -> None:
    with pytest.raises(EditRefused, match=r"There is no J9\."):
        delete(bench(), ["RAD", "J9"])
    with pytest.raises(EditRefused, match="nothing to delete"):
        delete(bench(), ["LAMP.A-3"])
