"""Joining ends, joints and wires, and taking them apart."""

from __future__ import annotations

import pytest

from core.edits import (
    add_cable,
    add_part,
    add_wire,
    cap,
    check_invariants,
    crimp,
    join,
    join_by_wire,
    leave,
    lifted,
    remove_joint,
    replug,
    set_joint,
    set_part,
    unjoin,
)
from core.errors import EditRefused
from core.job.document import Job
from core.job.parts import Lead
from core.job.wiring import MOST_ENDS, Conductor
from tests.strategies import plug

RED = Lead(colour="RD", gauge="18 AWG", length_mm=150)


def bench() -> Job:
    """RAD and AMP have leads, BOX has bare cavities, CAR is a plug of the car."""
    pins = {"1": "constant", "2": "ground", "3": "accessory"}
    job = add_part(Job(), plug("RAD", pins, lead=RED))
    job = add_part(job, plug("AMP", pins, lead=Lead(colour="BK")))
    job = add_part(job, plug("BOX", pins))
    return add_part(job, plug("CAR", pins, state="on the car"))


def ends(job: Job, joint: str = "J1") -> tuple[str, ...]:
    return job.joints[joint].ends


def test_two_leads_make_a_soldered_joint() -> None:
    job = join(bench(), "RAD.A-1", "AMP.A-1")
    assert ends(job) == ("RAD.A-1", "AMP.A-1")
    assert job.joints["J1"].method == "solder"
    assert not job.wires


def test_a_third_lead_is_added_to_the_joint_it_is_dropped_on() -> None:
    job = join(bench(), "RAD.A-1", "AMP.A-1")
    assert ends(join(job, "AMP.A-2", "J1")) == ("RAD.A-1", "AMP.A-1", "AMP.A-2")


def test_a_joined_lead_counts_as_its_joint() -> None:
    job = join(bench(), "RAD.A-1", "AMP.A-1")
    assert ends(join(job, "AMP.A-2", "RAD.A-1")) == ("RAD.A-1", "AMP.A-1", "AMP.A-2")


def test_two_joints_become_the_one_with_the_lower_number() -> None:
    job = join(bench(), "RAD.A-1", "AMP.A-1")
    job = join(job, "RAD.A-2", "AMP.A-2")
    job = join(job, "J2", "J1")
    assert set(job.joints) == {"J1"}
    assert ends(job) == ("RAD.A-1", "AMP.A-1", "RAD.A-2", "AMP.A-2")


def test_a_printed_number_is_never_used_again() -> None:
    job = join(bench(), "RAD.A-1", "AMP.A-1")
    job = join(remove_joint(job, "J1"), "RAD.A-1", "AMP.A-1")
    assert set(job.joints) == {"J2"}


def test_a_bare_cavity_gets_a_wire_like_the_lead_it_is_joined_to() -> None:
    job = join(bench(), "BOX.A-1", "RAD.A-1")
    wire = job.wires["W1"]
    assert (wire.a_in, wire.b_in, wire.colour, wire.gauge) == ("BOX.A-1", None, "RD", "18 AWG")
    assert ends(job) == ("RAD.A-1", "W1:b")


def test_a_bare_cavity_is_joined_to_a_joint_by_a_wire() -> None:
    job = join(bench(), "RAD.A-1", "AMP.A-1")
    job = join(job, "J1", "BOX.A-1")
    assert job.wires["W1"].a_in == "BOX.A-1"
    assert ends(job) == ("RAD.A-1", "AMP.A-1", "W1:b")


def test_two_bare_cavities_are_joined_by_one_wire_and_no_joint() -> None:
    job = join(bench(), "BOX.A-1", "BOX.A-2")
    assert (job.wires["W1"].a_in, job.wires["W1"].b_in) == ("BOX.A-1", "BOX.A-2")
    assert not job.joints
    with pytest.raises(EditRefused, match="BOX-2 and BOX-1 are already joined by W1"):
        join(job, "BOX.A-2", "BOX.A-1")


def test_joining_a_cavity_that_has_a_wire_joins_the_far_end_of_that_wire() -> None:
    job = join(bench(), "BOX.A-1", "RAD.A-1")
    assert ends(join(job, "AMP.A-1", "BOX.A-1")) == ("RAD.A-1", "W1:b", "AMP.A-1")
    assert set(job.wires) == {"W1"}


def test_a_loose_wire_end_dropped_on_a_bare_cavity_is_crimped_in() -> None:
    job = join(add_wire(bench(), colour="BU"), "W1:b", "BOX.A-3")
    assert job.wires["W1"].b_in == "BOX.A-3"
    assert set(job.wires) == {"W1"}
    assert not job.joints


def test_crimping_a_wire_in_fills_an_empty_cavity() -> None:
    empty = plug("FUSE", {"1": "fuse-a"})
    cavity = empty.connectors[0].cavities[0].changed(filled=False)
    part = empty.changed(connectors=(empty.connectors[0].changed(cavities=(cavity,)),))
    job = join(add_part(bench(), part), "FUSE.A-1", "RAD.A-1")
    filled = job.cavity("FUSE.A-1")
    assert filled is not None
    assert filled.filled


def test_the_cars_own_wire_is_joined_as_it_is() -> None:
    job = join(bench(), "CAR.A-1", "RAD.A-1")
    assert ends(job) == ("CAR.A-1", "RAD.A-1")
    assert not job.wires


def test_dropping_on_a_wire_adds_to_the_joint_at_the_end_that_is_meant() -> None:
    job = join_by_wire(bench(), "RAD.A-1", "AMP.A-1", colour="GN")
    assert (ends(job, "J1"), ends(job, "J2")) == (("RAD.A-1", "W1:a"), ("AMP.A-1", "W1:b"))
    at_b = join(job, "RAD.A-2", "W1", "b")
    assert ends(at_b, "J2") == ("AMP.A-1", "W1:b", "RAD.A-2")
    at_a = join(job, "RAD.A-2", "W1", "a")
    assert ends(at_a, "J1") == ("RAD.A-1", "W1:a", "RAD.A-2")


def test_dropping_on_a_wire_whose_near_end_is_crimped_takes_the_other_end() -> None:
    job = join(bench(), "BOX.A-1", "RAD.A-1")
    assert ends(join(job, "AMP.A-1", "W1", "a")) == ("RAD.A-1", "W1:b", "AMP.A-1")


def test_dropping_on_a_wire_between_two_cavities_puts_a_second_wire_into_the_nearer() -> None:
    job = join(bench(), "BOX.A-1", "BOX.A-2")
    job = join(job, "RAD.A-1", "W1", "b")
    assert job.lookup.crimped["BOX.A-2"] == ("W1:b", "W2:a")
    assert ends(job) == ("RAD.A-1", "W2:b")


def test_a_wire_is_put_between_where_the_user_asks_for_one() -> None:
    job = join_by_wire(bench(), "BOX.A-1", "RAD.A-1", colour="WH", gauge="0.5 mm2", length_mm=300)
    wire = job.wires["W1"]
    assert (wire.colour, wire.gauge, wire.length_mm, wire.a_in) == ("WH", "0.5 mm2", 300, "BOX.A-1")
    assert ends(job) == ("RAD.A-1", "W1:b")


def test_a_second_wire_beside_the_first_may_be_asked_for() -> None:
    job = join_by_wire(join(bench(), "BOX.A-1", "BOX.A-2"), "BOX.A-1", "BOX.A-2")
    assert job.lookup.crimped["BOX.A-1"] == ("W1:a", "W2:a")


def test_a_conductor_of_a_cable_is_joined_like_a_wire() -> None:
    job = add_cable(bench(), [Conductor(colour="RD"), Conductor(shield=True)])
    job = join(join(job, "C1.1:a", "RAD.A-1"), "C1.2:b", "BOX.A-2")
    assert ends(job) == ("C1.1:a", "RAD.A-1")
    assert job.cables["C1"].conductors[1].b_in == "BOX.A-2"


def test_joining_takes_the_cap_off() -> None:
    job = cap(bench(), ["RAD.A-1", "RAD.A-2"])
    job = join(job, "RAD.A-1", "AMP.A-1")
    assert set(job.finishes) == {"RAD.A-2"}
    left = join(leave(bench(), ["BOX.A-1"], "not used here"), "BOX.A-1", "RAD.A-1")
    assert not left.finishes


@pytest.mark.parametrize(
    ("a", "b", "sentence"),
    [
        ("RAD.A-1", "RAD.A-1", "RAD-1 cannot be joined to itself."),
        ("RAD.A-1", "AMP.A-1", "RAD-1 and AMP-1 are already in joint J1."),
        ("RAD.A-1", "J1", "RAD-1 is already in joint J1."),
        ("J1", "AMP.A-1", "AMP-1 is already in joint J1."),
        ("RAD.A-1", "RAD.A-9", "There is no cavity RAD.A-9."),
        ("RAD.A-1", "J7", "There is no joint J7."),
        ("W7:a", "RAD.A-1", "There is no wire W7."),
        ("W1:a", "RAD.A-1", "End a of W1 is crimped into BOX-1."),
        ("RAD", "AMP.A-2", "RAD is nothing that a wire can be joined to."),
    ],
)
def test_what_cannot_be_joined(a: str, b: str, sentence: str) -> None:
    job = join(join(bench(), "RAD.A-1", "AMP.A-1"), "BOX.A-1", "AMP.A-3")
    with pytest.raises(EditRefused) as refused:
        join(job, a, b)
    assert str(refused.value) == sentence


def test_a_joint_has_room_for_so_many_ends() -> None:
    job = add_cable(bench(), [Conductor()] * MOST_ENDS)
    job = join(job, "C1.1:a", "C1.2:a")
    for n in range(3, MOST_ENDS + 1):
        job = join(job, "J1", f"C1.{n}:a")
    for target in ("RAD.A-1", "BOX.A-1", "C1.1:b"):
        with pytest.raises(EditRefused, match="more than 200 ends"):
            join(job, "J1", target)


def test_an_end_leaves_its_joint() -> None:
    job = join(join(bench(), "RAD.A-1", "AMP.A-1"), "J1", "AMP.A-2")
    job = unjoin(job, "AMP.A-1")
    assert ends(job) == ("RAD.A-1", "AMP.A-2")
    assert not unjoin(job, "RAD.A-1").joints
    with pytest.raises(EditRefused, match=r"AMP-3 is not joined\."):
        unjoin(job, "AMP.A-3")


def test_unjoining_a_cavity_takes_its_wire_out_of_the_joint() -> None:
    job = unjoin(join(bench(), "BOX.A-1", "RAD.A-1"), "BOX.A-1")
    assert not job.joints
    assert job.wires["W1"].a_in == "BOX.A-1"


def test_a_joint_is_described() -> None:
    job = join(bench(), "RAD.A-1", "AMP.A-1")
    job = set_joint(job, "J1", method="crimp", temporary_for="drain test")
    assert (job.joints["J1"].method, job.joints["J1"].temporary_for) == ("crimp", "drain test")
    with pytest.raises(EditRefused, match="Method: "):
        set_joint(job, "J1", method="glue")
    with pytest.raises(TypeError):
        set_joint(job, "J1", ends=("RAD.A-1", "RAD.A-2"))


def test_a_wires_end_is_replugged_from_cavity_to_cavity() -> None:
    job = join(bench(), "BOX.A-1", "RAD.A-1")
    job = replug(job, "W1:a", "BOX.A-2")
    assert job.wires["W1"].a_in == "BOX.A-2"
    assert ends(job) == ("RAD.A-1", "W1:b")


def test_a_lead_is_taken_from_one_joint_to_another() -> None:
    job = join(join(bench(), "RAD.A-1", "AMP.A-1"), "RAD.A-2", "AMP.A-2")
    job = join(job, "J1", "AMP.A-3")
    job = replug(job, "AMP.A-3", "J2")
    assert (ends(job, "J1"), ends(job, "J2")) == (("RAD.A-1", "AMP.A-1"), ("RAD.A-2", "AMP.A-2", "AMP.A-3"))


def test_replugging_where_it_is_changes_nothing() -> None:
    job = join(bench(), "BOX.A-1", "RAD.A-1")
    for end, target in (("W1:a", "BOX.A-1"), ("W1:b", "J1"), ("W1:b", "RAD.A-1"), ("RAD.A-1", "W1")):
        with pytest.raises(EditRefused, match="is there already"):
            replug(job, end, target)


def test_an_end_in_the_hand_is_out_of_joint_and_cavity() -> None:
    job = join(bench(), "BOX.A-1", "RAD.A-1")
    assert not lifted(job, "W1:b").joints
    assert lifted(job, "W1:a").wires["W1"].a_in is None
    with pytest.raises(EditRefused, match=r"BOX-2 has no lead to move\."):
        lifted(job, "BOX.A-2")


def test_a_wire_may_be_joined_to_itself_as_a_loop() -> None:
    job = join(add_wire(bench()), "W1:a", "W1:b")
    assert ends(job) == ("W1:a", "W1:b")


def test_a_part_that_turns_out_not_to_be_the_cars_keeps_its_joins() -> None:
    job = set_part(join(bench(), "CAR.A-1", "RAD.A-1"), "CAR", state="to fit")
    assert check_invariants(job) == []
    assert ends(crimp(add_wire(job), "W1:a", "CAR.A-1")) == ("CAR.A-1", "RAD.A-1")
