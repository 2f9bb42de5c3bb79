"""What stands where in one position. Expected volts follow from the feeds' times, worked out by hand."""

from __future__ import annotations

import pytest

from core import edits as ed
from core.checks.runner import Checker, drained
from core.circuit.positions import position as position_named
from core.circuit.shown import Shown, Standing
from core.job.document import Job
from core.job.internals import Relay
from tests.core.checks.jobs import jobs_of, joined, library, plain

CAR = plain(
    "CAR",
    ("constant", "accessory", "reverse", "ground", "speaker-lf+", "parking-brake"),
    state="on the car",
)
BOX = plain("BOX", ("constant", "accessory", "ground"))


def at(job: Job, position: str) -> Shown:
    checker = Checker(library())
    drained(checker.run(job))
    found = checker.shown(position_named(position))
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("pin", "position", "expected"),
    [
        ("1", "off", Standing("live", 12.6)),
        ("1", "start", Standing("live", 10.0)),
        ("1", "running", Standing("live", 14.2)),
        ("2", "off", Standing("dead", 0.0)),
        ("2", "run", Standing("live", 12.6)),
        ("3", "run", Standing("dead", 0.0)),
        ("3", "run+reverse", Standing("live", 12.6)),
        ("4", "run", Standing("ground", 0.0)),
        ("5", "run", Standing("signal")),
        ("6", "run", Standing("floating")),
        ("6", "run+parking", Standing("ground", 0.0)),
    ],
)
def test_each_lead_of_a_car_stands_as_its_function_says(pin: str, position: str, expected: Standing) -> None:
    found = at(jobs_of(CAR), position).at(f"CAR.A-{pin}")
    assert found is not None
    assert found.state == expected.state
    assert found.volts == (None if expected.volts is None else pytest.approx(expected.volts, abs=0.01))


def test_a_joint_and_a_wire_stand_as_their_net_does() -> None:
    job = joined(jobs_of(CAR, BOX), "CAR-1 BOX-1")
    joint = job.lookup.joint_of["CAR.A-1"]
    shown = at(job, "off")
    for place in (joint, "BOX.A-1"):
        standing = shown.at(place)
        assert standing is not None
        assert (standing.state, standing.volts) == ("live", pytest.approx(12.6, abs=0.01))
    # Its ground is not joined: what is inside the box lifts everything it is not joined to.
    hung = shown.at("BOX.A-2")
    assert hung is not None
    assert (hung.state, hung.volts) == ("through", pytest.approx(12.6, abs=0.01))
    assert shown.at("BOX.A-9") is None


def test_a_feed_that_meets_ground_has_no_volts() -> None:
    job = joined(jobs_of(CAR), "CAR-1 CAR-4")
    assert at(job, "off").at("CAR.A-1") == Standing("shorted")


def test_an_airbag_circuit_is_said_nothing_about() -> None:
    job = ed.set_cavities(jobs_of(CAR), ["CAR.A-1"], airbag=True)
    assert at(job, "run").at("CAR.A-1") is None


def test_a_position_outside_the_checked_set_is_solved_on_request() -> None:
    checker = Checker(library())
    job = jobs_of(CAR)
    result = drained(checker.run(job))
    assert "accessory+parking" not in result.positions
    shown = checker.shown(position_named("accessory+parking"))
    assert shown is not None
    closed, fed = shown.at("CAR.A-6"), shown.at("CAR.A-2")
    assert closed is not None
    assert fed is not None
    assert (closed.state, closed.volts) == ("ground", pytest.approx(0.0, abs=0.01))
    assert (fed.state, fed.volts) == ("live", pytest.approx(12.6, abs=0.01))


def test_a_relay_that_chatters_leaves_nothing_to_show() -> None:
    relay = plain(
        "RLY",
        [""] * 5,
        internals=(Relay(coil_plus="A-1", coil_minus="A-2", common="A-3", make="A-4", rest="A-5"),),
    )
    # It breaks its own coil's feed: the classic buzzer.
    job = joined(jobs_of(CAR, relay), "CAR-1 RLY-3", "RLY-5 RLY-1", "CAR-4 RLY-2")
    shown = at(job, "run")
    assert shown.chattering == ("RLY",)
    assert not shown.places


def test_nothing_is_shown_while_a_run_is_under_way() -> None:
    checker = Checker(library())
    drained(checker.run(jobs_of(CAR)))
    steps = checker.run(jobs_of(CAR, BOX))
    next(steps)
    assert checker.shown("run") is None
    steps.close()
    assert checker.shown("run") is None
