"""Plugging together: by geometry, each connector once."""

from __future__ import annotations

import pytest

from core.edits import add_part, can_mate, mate, open_pair, unmate
from core.errors import EditRefused
from core.job.document import Job
from core.job.parts import Connector, Lead, Part
from tests.strategies import plug

PINS = {"1": "", "2": "", "3": ""}
RED = Lead(colour="RD")


def bench() -> Job:
    job = add_part(Job(), plug("RAD", PINS, lead=RED))
    for tag, gender, pins in (
        ("CAR", "male", PINS),
        ("TWIN", "female", PINS),
        ("BIG", "male", PINS | {"4": ""}),
    ):
        job = add_part(job, plug(tag, pins, gender=gender, state="on the car"))
    loose = Connector(name="A", cavities=plug("X", PINS).connectors[0].cavities)
    return add_part(job, Part(id="LOOSE", name="Loose leads", connectors=(loose,)))


def test_contacts_follow_from_the_faces_not_from_the_numbers() -> None:
    """Both rows are counted from the left of their own mating side, so 1 meets 3."""
    job = mate(bench(), "RAD.A", "CAR.A")
    assert job.lookup.meets["RAD.A-1"] == "CAR.A-3"
    assert job.lookup.meets["CAR.A-1"] == "RAD.A-3"
    assert job.lookup.mate_of["CAR.A"] == ("M1", "RAD.A")


@pytest.mark.parametrize(
    ("a", "b", "reason"),
    [
        ("RAD.A", "BIG.A", "RAD.A has 1 x 3 cavities and BIG.A has 1 x 4; they cannot be plugged together."),
        ("RAD.A", "TWIN.A", "RAD.A and TWIN.A are both female; they cannot be plugged together."),
        ("RAD.A", "LOOSE.A", "LOOSE.A is a bunch of loose leads; only plugs and sockets can be mated."),
        ("RAD.A", "RAD.A", "RAD.A cannot be plugged into itself."),
        ("RAD.A", "RAD.B", "There is no connector RAD.B."),
        ("RAD.A", "CAR", "There is no connector CAR."),
    ],
)
def test_what_cannot_be_mated(a: str, b: str, reason: str) -> None:
    for first, second in ((a, b), (b, a)):
        answer = can_mate(bench(), first, second)
        assert answer.kind == "cannot"
        with pytest.raises(EditRefused) as refused:
            mate(bench(), first, second)
        assert str(refused.value) == answer.reason
    assert can_mate(bench(), a, b).reason == reason


def test_a_connector_is_plugged_once() -> None:
    job = mate(bench(), "RAD.A", "CAR.A")
    assert can_mate(job, "TWIN.A", "CAR.A").reason == "CAR.A is already plugged into RAD.A."


def test_a_lead_that_meets_a_blocked_cavity_is_marked() -> None:
    job = bench()
    connector = job.parts["CAR"].connectors[0]
    assert connector.face is not None
    blocked = connector.changed(face=connector.face.changed(blocked=("3",)))
    job = add_part(job, job.parts["CAR"].changed(id="KEYED", connectors=(blocked,)))
    answer = can_mate(job, "RAD.A", "KEYED.A")
    assert (answer.kind, answer.rule) == ("but", "lead whose mate is empty or blocked")
    assert answer.reason == "The lead in RAD-1 would meet the blocked cavity 3 of KEYED.A."
    assert mate(job, "RAD.A", "KEYED.A").mates


def test_unplugging() -> None:
    job = unmate(open_pair(mate(bench(), "RAD.A", "CAR.A"), "M1", True), "M1")
    assert not job.mates
    assert not job.view.opened
    assert set(mate(job, "RAD.A", "CAR.A").mates) == {"M2"}
    with pytest.raises(EditRefused, match=r"There is no mated pair M1\."):
        unmate(job, "M1")
