"""A cable between two bunches of ends."""

from __future__ import annotations

import pytest

from core.edits.cables import join_by_cable
from core.edits.parts import add_part
from core.errors import EditRefused
from core.job.document import Job
from core.job.invariants import check_invariants
from core.job.parts import Cavity, Connector, Lead, Part


def _loose(tag: str) -> Part:
    leads = tuple(
        Cavity(pin=pin, lead=Lead(colour=colour, gauge="0.75 mm2"))
        for pin, colour in (("1", "WH"), ("2", "GY"))
    )
    return Part(id=tag, name=tag, connectors=(Connector(name="A", cavities=leads),))


def test_each_conductor_joins_its_pair_in_the_colour_of_its_first_end() -> None:
    job = add_part(add_part(Job(), _loose("REC")), _loose("AMP"))
    made = join_by_cable(job, [("REC.A-1", "AMP.A-1"), ("REC.A-2", "AMP.A-2")], name="to the boot")
    cable = made.cables["C1"]
    assert [core.colour for core in cable.conductors] == ["WH", "GY"]
    assert cable.name == "to the boot"
    assert {frozenset(joint.ends) for joint in made.joints.values()} == {
        frozenset({"REC.A-1", "C1.1:a"}),
        frozenset({"AMP.A-1", "C1.1:b"}),
        frozenset({"REC.A-2", "C1.2:a"}),
        frozenset({"AMP.A-2", "C1.2:b"}),
    }
    assert check_invariants(made) == []


def test_no_pairs_and_no_such_end_are_refused() -> None:
    job = add_part(Job(), _loose("REC"))
    with pytest.raises(EditRefused):
        join_by_cable(job, [])
    with pytest.raises(EditRefused):
        join_by_cable(job, [("REC.A-1", "AMP.A-1")])
