"""Wires and cables from stock."""

from __future__ import annotations

import pytest

from core.edits import (
    add_cable,
    add_part,
    add_wire,
    cap,
    crimp,
    join,
    remove_cables,
    remove_wires,
    set_cable,
    set_conductor,
    set_wire,
    set_wires,
    uncrimp,
)
from core.errors import EditRefused
from core.job.document import Job
from core.job.parts import Lead
from core.job.wiring import Conductor
from tests.strategies import plug

PINS = {"1": "", "2": ""}


def bench() -> Job:
    job = add_part(Job(), plug("RAD", PINS, lead=Lead(colour="RD")))
    job = add_part(job, plug("BOX", PINS))
    job = add_wire(job, colour="BU", gauge="18 AWG", length_mm=500)
    return add_cable(job, [Conductor(colour="RD"), Conductor(colour="BK")], name="Camera cable")


def test_wires_are_described_one_or_many() -> None:
    job = set_wire(bench(), "W1", length_mm=300, note="behind the heater")
    assert (job.wires["W1"].length_mm, job.wires["W1"].colour) == (300, "BU")
    job = set_wires(add_wire(job), ["W1", "W2"], gauge="1.5 mm2")
    assert {wire.gauge for wire in job.wires.values()} == {"1.5 mm2"}
    with pytest.raises(EditRefused, match="Gauge: 'thick' is not a gauge"):
        set_wire(job, "W1", gauge="thick")
    with pytest.raises(EditRefused, match=r"Length: .*greater than or equal to 0\."):
        set_wire(job, "W1", length_mm=-1)
    with pytest.raises(TypeError):
        set_wire(job, "W1", a_in="BOX.A-1")


def test_crimping_in_and_taking_out() -> None:
    job = crimp(cap(bench(), ["W1:a"]), "W1:a", "BOX.A-1")
    assert job.wires["W1"].a_in == "BOX.A-1"
    assert not job.finishes
    assert uncrimp(job, "W1:a").wires["W1"].a_in is None
    job = crimp(job, "C1.2:b", "BOX.A-1")
    assert job.lookup.crimped["BOX.A-1"] == ("C1.2:b", "W1:a")
    for call, sentence in (
        (lambda: crimp(job, "W1:a", "BOX.A-2"), "End a of W1 is crimped into BOX-1 already."),
        (lambda: crimp(job, "W1:b", "BOX.A-1"), "The other end of W1 is in BOX-1."),
        (lambda: crimp(job, "W9:b", "BOX.A-1"), "There is no wire end W9:b."),
        (lambda: crimp(join(job, "W1:b", "RAD.A-1"), "W1:b", "BOX.A-2"), "End b of W1 is joined in J1."),
        (lambda: uncrimp(job, "W1:b"), "End b of W1 is in no cavity."),
    ):
        with pytest.raises(EditRefused) as refused:
            call()
        assert str(refused.value) == sentence


def test_crimping_into_a_cavity_leaves_the_cap_of_its_own_lead_on() -> None:
    job = crimp(cap(bench(), ["RAD.A-1"]), "W1:a", "RAD.A-1")
    assert set(job.finishes) == {"RAD.A-1"}


def test_a_removed_wire_leaves_joints_cavities_and_caps() -> None:
    job = join(crimp(bench(), "W1:a", "BOX.A-1"), "W1:b", "RAD.A-1")
    job = remove_wires(job, ["W1"])
    assert not job.wires
    assert not job.joints
    assert not job.lookup.crimped
    with pytest.raises(EditRefused, match=r"There is no wire W1\."):
        remove_wires(job, ["W1"])
    assert set(add_wire(job).wires) == {"W2"}


def test_cables() -> None:
    job = set_cable(bench(), "C1", length_mm=6000, outside_diameter_mm=5.2)
    job = set_conductor(job, "C1.2", shield=True)
    assert [core.shield for core in job.cables["C1"].conductors] == [False, True]
    job = cap(crimp(join(job, "C1.1:a", "RAD.A-1"), "C1.1:b", "BOX.A-1"), ["C1.2:a"])
    assert job.cables["C1"].conductors[0].b_in == "BOX.A-1"
    job = remove_cables(job, ["C1"])
    assert (dict(job.cables), dict(job.joints), dict(job.finishes)) == ({}, {}, {})
    for call in (
        lambda: set_conductor(bench(), "C1.3", shield=True),
        lambda: set_cable(bench(), "C2", name="x"),
    ):
        with pytest.raises(EditRefused, match="There is no c"):
            call()
    with pytest.raises(EditRefused, match="Conductors: "):
        add_cable(bench(), [])
