"""Cavities, their leads, and exchanging two of them."""

from __future__ import annotations

import pytest

from core.edits import (
    add_internal,
    add_part,
    cap,
    check_invariants,
    join,
    remove_lead,
    set_cavities,
    set_cavity,
    set_lead,
    set_leads,
    swap_pins,
)
from core.errors import EditRefused
from core.job.document import Job
from core.job.internals import Feed, LiveIn
from core.job.parts import Cavity, Lead
from tests.strategies import plug


def bench() -> Job:
    pins = {"1": "constant", "2": "ground", "3": "accessory", "4": "reverse"}
    job = add_part(Job(), plug("RAD", pins, lead=Lead(colour="RD", length_mm=150)))
    return add_part(job, plug("BOX", pins))


def cavity(job: Job, terminal: str) -> Cavity:
    found = job.cavity(terminal)
    assert found is not None
    return found


def test_what_is_known_of_cavities() -> None:
    job = set_cavity(bench(), "RAD.A-1", function="accessory", colour_found="YE/BK", found="filled")
    assert (cavity(job, "RAD.A-1").function, cavity(job, "RAD.A-1").colour_found) == ("accessory", "YE/BK")
    job = set_cavities(job, ["RAD.A-2", "BOX.A-4"], airbag=True)
    assert [t for part in job.parts.values() for t, c in part.cavities.items() if c.airbag] == [
        "RAD.A-2",
        "BOX.A-4",
    ]
    with pytest.raises(EditRefused, match="Colour found: 'PURPLE' is not a colour code"):
        set_cavity(job, "RAD.A-1", colour_found="PURPLE")
    with pytest.raises(EditRefused, match=r"There is no cavity RAD\.A-9\."):
        set_cavity(job, "RAD.A-9", function="ground")
    with pytest.raises(TypeError):
        set_cavity(job, "RAD.A-1", pin="7")


def test_leads_are_changed_given_and_taken() -> None:
    job = set_lead(bench(), "RAD.A-1", trimmed_mm=90)
    assert cavity(job, "RAD.A-1").lead == Lead(colour="RD", length_mm=150, trimmed_mm=90)
    job = set_leads(job, ["BOX.A-1", "RAD.A-2"], gauge="1 mm2")
    assert cavity(job, "BOX.A-1").lead == Lead(gauge="1 mm2")
    assert cavity(job, "RAD.A-2").lead == Lead(colour="RD", length_mm=150, gauge="1 mm2")
    job = remove_lead(cap(join(job, "RAD.A-1", "RAD.A-2"), ["BOX.A-1"]), "RAD.A-1")
    assert cavity(job, "RAD.A-1").lead is None
    assert not job.joints
    assert not remove_lead(job, "BOX.A-1").finishes
    with pytest.raises(EditRefused, match=r"RAD-1 has no lead\."):
        remove_lead(job, "RAD.A-1")


def test_swapped_leads_take_along_what_is_joined_and_leave_the_functions() -> None:
    job = set_lead(bench(), "RAD.A-1", colour="YE")
    job = cap(join(join(job, "RAD.A-1", "BOX.A-1"), "RAD.A-4", "J1"), ["RAD.A-2"])
    job = swap_pins(job, "RAD.A-1", "RAD.A-2")
    lead_1, lead_2 = cavity(job, "RAD.A-1").lead, cavity(job, "RAD.A-2").lead
    assert lead_1 is not None
    assert lead_2 is not None
    assert (lead_1.colour, lead_2.colour) == ("RD", "YE")
    assert (cavity(job, "RAD.A-1").function, cavity(job, "RAD.A-2").function) == ("constant", "ground")
    assert job.joints["J1"].ends == ("RAD.A-2", "W1:b", "RAD.A-4")
    assert set(job.finishes) == {"RAD.A-1"}
    assert check_invariants(job) == []


def test_leads_of_two_joints_are_exchanged() -> None:
    job = join(join(bench(), "RAD.A-1", "RAD.A-2"), "RAD.A-3", "RAD.A-4")
    job = swap_pins(job, "RAD.A-1", "RAD.A-3")
    assert (job.joints["J1"].ends, job.joints["J2"].ends) == (
        ("RAD.A-3", "RAD.A-2"),
        ("RAD.A-1", "RAD.A-4"),
    )
    assert job.lookup.joint_of["RAD.A-1"] == "J2"


def test_crimped_wires_are_exchanged_and_may_go_to_an_empty_cavity() -> None:
    job = join(bench(), "BOX.A-1", "BOX.A-2")
    there = swap_pins(job, "BOX.A-1", "BOX.A-3")
    assert (there.wires["W1"].a_in, there.wires["W1"].b_in) == ("BOX.A-3", "BOX.A-2")
    across = swap_pins(job, "BOX.A-1", "BOX.A-2")
    assert (across.wires["W1"].a_in, across.wires["W1"].b_in) == ("BOX.A-2", "BOX.A-1")


def test_swapping_twice_changes_nothing() -> None:
    job = cap(join(join(bench(), "RAD.A-1", "BOX.A-1"), "BOX.A-2", "RAD.A-3"), ["RAD.A-2"])
    for a, b in (("RAD.A-1", "RAD.A-2"), ("RAD.A-1", "BOX.A-1"), ("BOX.A-1", "BOX.A-2")):
        assert swap_pins(swap_pins(job, a, b), a, b) == job


def test_nothing_to_swap() -> None:
    with pytest.raises(EditRefused, match="no lead in BOX-1 or BOX-2"):
        swap_pins(bench(), "BOX.A-1", "BOX.A-2")
    with pytest.raises(EditRefused, match="with itself"):
        swap_pins(bench(), "RAD.A-1", "RAD.A-1")


def test_a_new_function_takes_the_place_of_what_the_part_stated_of_the_old_one() -> None:
    fed = Feed(terminal="A-1", live=LiveIn(keys=("off", "run")), fuse_amps=10)
    elsewhere = Feed(terminal="A-3", live=LiveIn(keys=("run",)))
    job = add_internal(add_internal(bench(), "RAD", fed), "RAD", elsewhere)
    assert set_cavity(job, "RAD.A-1", function="constant", label="30").parts["RAD"].internals == (
        fed,
        elsewhere,
    )
    job = set_cavity(job, "RAD.A-1", function="accessory")
    assert job.parts["RAD"].internals == (elsewhere,)
    assert cavity(job, "RAD.A-1").function == "accessory"
