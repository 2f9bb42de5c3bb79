"""One part in place of another."""

from __future__ import annotations

import pytest

from core.edits import (
    add_mated,
    add_part,
    cap,
    check_invariants,
    join,
    leave,
    lost_joins,
    move,
    replace_part,
)
from core.errors import EditRefused
from core.job.document import Job
from core.job.faces import mate_of
from core.job.internals import GroundPoint
from core.job.parts import Lead, Part
from tests.strategies import plug

RED = Lead(colour="RD", gauge="18 AWG", length_mm=150)
OLD = {"1": "constant", "2": "ground", "3": "accessory", "4": ""}


def bench(lead: Lead | None = RED) -> Job:
    """REC, every pin joined to the same pin of RAD."""
    job = add_part(Job(), plug("RAD", OLD, lead=Lead(colour="BK")))
    job = move(add_part(job, plug("REC", OLD, lead=lead)), {"REC": (7, 8)})
    for pin in OLD:
        job = join(job, f"REC.A-{pin}", f"RAD.A-{pin}")
    return job


def partners(job: Job, end: str) -> set[str]:
    joint = job.lookup.joint_of.get(end)
    return set(job.joints[joint].ends) - {end} if joint else set()


def test_joins_follow_the_function_then_the_pin() -> None:
    new = plug("NEW", {"1": "accessory", "2": "constant", "3": "ground", "4": ""}, lead=RED)
    before = bench()
    job = replace_part(
        before, "REC", new.changed(name="Other receiver", internals=(GroundPoint(terminal="A-3"),))
    )
    assert job.parts["REC"].name == "Other receiver"
    assert job.parts["REC"].internals == (GroundPoint(terminal="A-3"),)
    assert partners(job, "REC.A-2") == {"RAD.A-1"}
    assert partners(job, "REC.A-3") == {"RAD.A-2"}
    assert partners(job, "REC.A-1") == {"RAD.A-3"}
    assert partners(job, "REC.A-4") == {"RAD.A-4"}
    assert job.view.places["REC"] == before.view.places["REC"]
    assert lost_joins(before, job) == ()


def test_what_has_no_place_on_the_new_part_is_listed() -> None:
    before = bench()
    job = replace_part(before, "REC", plug("NEW", {"1": "constant", "2": "reverse"}, lead=RED))
    assert partners(job, "REC.A-1") == {"RAD.A-1"}
    assert lost_joins(before, job) == ("REC.A-2", "REC.A-3", "REC.A-4")
    assert set(job.joints) == {"J1"}


def test_a_new_part_with_bare_cavities_gets_a_wire_like_the_old_lead() -> None:
    job = replace_part(bench(), "REC", plug("NEW", OLD))
    wire = job.wires["W1"]
    assert (wire.a_in, wire.colour, wire.gauge, wire.length_mm) == ("REC.A-1", "RD", "18 AWG", 150)
    assert job.joints["J1"].ends == ("W1:b", "RAD.A-1")
    assert check_invariants(job) == []


def test_a_new_part_with_leads_is_joined_to_the_wires_that_were_crimped() -> None:
    job = replace_part(bench(lead=None), "REC", plug("NEW", OLD, lead=RED))
    wire = job.wires["W1"]
    assert wire.a_in is None
    assert partners(job, "REC.A-1") == {"W1:a"}
    assert partners(job, "W1:b") == {"RAD.A-1"}


def test_caps_stay_on_leads_only() -> None:
    job = add_part(Job(), plug("REC", OLD, lead=RED))
    job = leave(cap(job, ["REC.A-1"]), ["REC.A-2"], "not used in this car")
    assert set(replace_part(job, "REC", plug("NEW", OLD, lead=RED)).finishes) == {"REC.A-1", "REC.A-2"}
    assert set(replace_part(job, "REC", plug("NEW", OLD)).finishes) == {"REC.A-2"}


def mated_pair(pins: int) -> tuple[Part, Part]:
    own = plug("RAD", {str(n): "" for n in range(1, pins + 1)}, lead=RED)
    connector = own.connectors[0]
    assert connector.face is not None
    half = connector.changed(face=mate_of(connector.face, "male"))
    return own, own.changed(id="RADC", state="on the car", connectors=(half,))


def test_mates_stay_where_the_faces_fit() -> None:
    job = add_mated(Job(), *mated_pair(4))
    assert set(replace_part(job, "RAD", plug("NEW", OLD, lead=RED)).mates) == {"M1"}
    assert not replace_part(job, "RAD", plug("NEW", {"1": ""}, lead=RED)).mates
    assert not replace_part(job, "RAD", plug("NEW", OLD, gender="male")).mates


def test_the_state_stays_the_old_ones() -> None:
    job = add_mated(Job(), *mated_pair(4))
    assert replace_part(job, "RADC", plug("NEW", OLD, gender="male")).parts["RADC"].state == "on the car"
    with pytest.raises(EditRefused, match=r"There is no part ZZZ\."):
        replace_part(job, "ZZZ", plug("NEW", OLD))
