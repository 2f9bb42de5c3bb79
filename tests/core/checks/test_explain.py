"""A conflict told step by step: the way from its cause to its place, with volts and amps."""

from __future__ import annotations

import pytest

from core.checks.explain import Step, explain, way, worst_position
from core.checks.finding import Conflict
from core.checks.marks import by_place, places
from core.checks.runner import Checker, drained
from core.circuit.engine import Engine
from core.circuit.positions import position
from core.job.document import Job
from tests.core.checks.cases import CASES
from tests.core.checks.jobs import checked, library


def bad(name: str) -> Job:
    return next(case for case in CASES if case.name == name).make()


def found(job: Job, rule: str) -> tuple[Conflict, Engine]:
    checker = Checker(library(), final=False)
    result = drained(checker.run(job))
    engine = checker.engine()
    assert engine is not None
    return next(c for c in result.unfolded() if c.rule == rule), engine


def conflict(**fields: object) -> Conflict:
    return Conflict("r", "stop", "m", "w", "d", **{"where": ("A.A-1",), **fields})  # type: ignore[arg-type]


def test_the_way_of_too_many_volts_goes_from_the_feed_to_the_part() -> None:
    over, engine = found(bad("6 V camera on 12 V"), "more volts than the part accepts")
    steps = explain(over, engine, worst_position(over, engine))
    assert [step.ref for step in steps] == list(over.path)
    volts = [step.volts for step in steps if step.volts is not None]
    assert len(volts) == len(steps)
    # Ohm's law: nothing on the way gains volts, and all of it is near what the conflict says.
    assert volts == sorted(volts, reverse=True)
    assert volts[-1] == pytest.approx(over.numbers["volts"], abs=0.1)
    assert all(step.state == "driven" for step in steps)


def test_the_worst_position_is_the_one_whose_volts_are_told() -> None:
    over, engine = found(bad("6 V camera on 12 V"), "more volts than the part accepts")
    told = worst_position(over, engine)
    assert told.name in over.positions
    assert f"in {told.name};" in over.message


def test_a_short_is_told_at_its_moment_with_amps_through_both_leads() -> None:
    short, engine = found(bad("constant in the ground joint"), "feed shorted to ground")
    steps = explain(short, engine, worst_position(short, engine))
    leads = [step for step in steps if step.ref.startswith("RAD.")]
    assert len(leads) == 2
    # Far above what any fuse of the sample holds: before it opened.
    assert all(step.amps is not None and abs(step.amps) > 30 for step in leads)
    assert steps[0].volts is not None
    assert steps[0].volts > 1.0


def test_another_position_gives_other_volts() -> None:
    over, engine = found(bad("6 V camera on 12 V"), "more volts than the part accepts")
    dead = explain(over, engine, position("off"))
    assert dead[-1].volts == pytest.approx(0.0, abs=0.05)


def test_without_a_path_the_places_at_fault_are_told() -> None:
    lost, engine = found(bad("camera returned through its shield"), "no return")
    assert not lost.path
    assert way(lost)[: len(lost.where)] == lost.where
    assert explain(lost, engine, worst_position(lost, engine))[0].ref == lost.where[0]


def test_a_wire_speaks_for_its_ends() -> None:
    assert way(conflict(path=("A.A-1", "W1:a", "W1", "W1:b", "J1"))) == ("A.A-1", "W1", "J1")
    assert way(conflict(path=("W2:a", "J1", "A.A-1"))) == ("W2:a", "J1", "A.A-1")


def test_a_way_that_misses_the_place_ends_there() -> None:
    assert way(conflict(path=("B.A-1", "J1"))) == ("B.A-1", "J1", "A.A-1")


def test_the_marks_stand_at_what_is_at_fault_and_at_the_joints_on_the_way() -> None:
    assert places(conflict(wires=("W1",), path=("B.A-1", "J1", "W2"))) == ("A.A-1", "W1", "J1")
    result = checked(bad("6 V camera on 12 V"))
    (over,) = result.unfolded()
    marked = by_place(result)
    assert set(marked) == set(places(over))
    assert any(ref.startswith("J") for ref in marked)
    assert all(conflicts == (over,) for conflicts in marked.values())


def test_nothing_is_known_of_a_place_that_is_not_there() -> None:
    _, engine = found(bad("6 V camera on 12 V"), "more volts than the part accepts")
    ghost = conflict(where=("XYZ.A-1",))
    assert explain(ghost, engine, worst_position(ghost, engine)) == (Step("XYZ.A-1"),)
