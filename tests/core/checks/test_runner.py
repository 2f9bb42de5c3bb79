"""The checker: slices, rules that fail, acceptances, order, and being the same however it got there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core import edits as ed
from core.checks.context import Context
from core.checks.finding import CheckResult, Conflict
from core.checks.registry import rule
from core.checks.report import describe, status_words
from core.checks.rules import RULES
from core.checks.runner import Checker, check, drained
from core.errors import EditRefused
from core.job.document import Job
from tests.core.checks.cases import CASES
from tests.core.checks.jobs import (
    camera,
    checked,
    joined,
    library,
    off,
    radio,
    said,
)
from tests.strategies import edits, jobs


def bad(name: str) -> Job:
    return next(case.make() for case in CASES if case.name == name)


def texts(result: CheckResult) -> list[tuple[Any, ...]]:
    """Everything a result says, mends by their labels."""
    told: list[tuple[Any, ...]] = [
        (
            *(c.rule, c.level, c.message, c.why, c.where, c.path, c.positions, c.follows_from),
            *(mend.label for mend in c.mends),
        )
        for c in result.conflicts
    ]
    return [*told, result.open_ends, result.positions, result.not_run]


def test_a_run_can_be_closed_at_any_step_and_the_next_one_is_right() -> None:
    checker = Checker(library())
    job = bad("constant in the ground joint")
    fresh = texts(check(job, library()))
    steps = sum(1 for _ in checker.run(job))
    for stop in range(0, steps, 7):
        for run in (checker.run(radio()), checker.run(job)):
            for _, _ in zip(range(stop), run, strict=False):
                pass
            run.close()
        assert texts(drained(checker.run(job))) == fresh


def test_following_edits_says_what_a_fresh_check_says() -> None:
    checker = Checker(library())
    for case in CASES:
        job = case.make()
        assert texts(drained(checker.run(job))) == texts(check(job, library())), case.name


@settings(max_examples=120)
@given(st.data())
def test_the_checker_never_raises_and_says_the_same_however_it_got_there(data: st.DataObject) -> None:
    job = data.draw(jobs())
    checker = Checker(library())
    for _ in range(4):
        result = drained(checker.run(job))
        assert [n for n in result.not_run if n.rule != "levels"] == []
        assert texts(result) == texts(check(job, library()))
        keys = [c.key for c in result.conflicts]
        assert len(keys) == len(set(keys))
        roots = {c.key for c in result.unfolded()}
        assert all(c.follows_from in roots for c in result.conflicts if c.follows_from)
        try:
            job = data.draw(edits(job)).apply(job)
        except EditRefused:
            continue


@settings(max_examples=60)
@given(st.data())
def test_every_mend_on_any_job_is_an_edit_or_is_refused(data: st.DataObject) -> None:
    job = data.draw(jobs())
    for final in (False, True):
        for conflict in checked(job, final=final).conflicts:
            for mend in conflict.mends:
                assert ed.check_invariants(mend.edit(job)) == []


def test_moving_things_on_the_map_changes_nothing() -> None:
    job = bad("6 V camera on 12 V")
    moved = ed.move(job, {"RAD": (10.0, 20.0), "CAM": (400.0, 20.0)})
    assert texts(checked(moved)) == texts(checked(job))


def test_the_order_of_parts_and_joints_changes_nothing_that_is_said() -> None:
    job = bad("camera returned through its shield")
    turned = job.changed(parts=dict(reversed(job.parts.items())), joints=dict(reversed(job.joints.items())))
    said_here, said_there = texts(checked(job)), texts(checked(turned))
    assert said_here[:-3] == said_there[:-3]


def test_conflicts_stand_worst_first_in_the_order_of_the_rules() -> None:
    job = ed.set_cavity(bad("6 V camera on 12 V"), "RADC.A-15", colour_found="TQ")
    levels = [c.level for c in checked(job).conflicts]
    assert levels == sorted(levels, key=("stop", "look", "note").index)


@rule("a rule that fails", "note")
def failing(ctx: Context) -> Iterator[Conflict | None]:
    yield None
    raise ZeroDivisionError("by nought")


def test_a_rule_that_raises_is_not_run_because_and_the_rest_goes_on(
    caplog: pytest.LogCaptureFixture,
) -> None:
    job = bad("found turquoise")
    result = drained(Checker(library(), rules=(failing, *RULES)).run(job))
    assert [(n.rule, n.because) for n in result.not_run] == [
        ("a rule that fails", "the rule itself failed: by nought")
    ]
    assert said(result, "found differs from sheet")
    assert "a rule that fails" in caplog.text
    assert result.status == "amber"
    assert status_words(result) == "1 rule off or not run"


def test_what_is_open_is_to_decide_until_the_part_is_done_or_the_job_is_finished() -> None:
    job = off(radio(), "REC.A-2")
    live = checked(job)
    assert live.conflicts == ()
    assert live.open_ends == ("RAD.A-1", "REC.A-2")
    done = checked(ed.set_part(job, "REC", done=True))
    assert [c.rule for c in done.unfolded()] == ["no return"]
    finished = checked(job, final=True)
    assert said(finished, "no return")[0].where == ("REC.A-2",)
    assert status_words(finished) == "do not power: 1 Stop open"


def accepted(job: Job, conflict: Conflict, **changes: Any) -> Job:
    fields = {
        "positions": conflict.positions,
        "numbers": dict(conflict.numbers),
        "reason": "agreed with the customer",
        "name": "A. Fitter",
    } | changes
    return ed.accept(job, conflict.rule, conflict.where, **fields)


def test_an_accepted_conflict_stays_listed_and_the_status_names_who_decided() -> None:
    job = bad("6 V camera on 12 V")
    (conflict,) = checked(job).unfolded()
    result = checked(accepted(job, conflict))
    (kept,) = result.unfolded()
    assert kept.accepted is not None
    assert kept.accepted.name == "A. Fitter"
    assert result.status == "amber"
    assert status_words(result) == "powered only by decision of A. Fitter: 1 Stop accepted"


@pytest.mark.parametrize(
    "changes",
    [
        {"positions": ("run",)},
        {"numbers": {"volts": 14.2 * 1.06, "least_volts": 5.5, "most_volts": 6.5}},
        {"numbers": {"volts": 14.2}},
    ],
)
def test_an_acceptance_lapses_when_what_was_accepted_has_changed(changes: dict[str, Any]) -> None:
    job = bad("6 V camera on 12 V")
    (conflict,) = checked(job).unfolded()
    assert checked(accepted(job, conflict, **changes)).status == "red"
    near = {"numbers": {"volts": 14.2 * 1.04, "least_volts": 5.5, "most_volts": 6.5}}
    assert checked(accepted(job, conflict, **near)).status == "amber"


@pytest.mark.parametrize("name", ["constant in the ground joint", "something on an airbag circuit"])
def test_what_must_not_be_accepted_is_not(name: str) -> None:
    job = bad(name)
    conflict = checked(job).unfolded()[0]
    assert checked(accepted(job, conflict)).status == "red"


def test_the_result_as_data_for_scripts() -> None:
    job = ed.set_sheet(bad("6 V camera on 12 V through a fuse"), title="Van 12")
    data = describe(checked(job))
    assert list(data) == ["format", "job", "status", "open", "conflicts", "not_run", "positions"]
    assert (data["format"], data["job"], data["status"], data["open"]) == (1, "Van 12", "red", [])
    (conflict,) = data["conflicts"]
    assert conflict["where"][0] == "CAM-1"
    assert conflict["level"] == "stop"
    assert conflict["numbers"] == {
        "volts": pytest.approx(14.07, abs=0.01),
        "least_volts": 5.5,
        "most_volts": 6.5,
    }
    assert conflict["accepted"] is None
    assert conflict["follows_from"] is None


def test_what_follows_names_its_cause_as_people_write_it() -> None:
    data = describe(checked(bad("constant and ground exchanged")))
    folded = [c for c in data["conflicts"] if c["follows_from"]]
    assert folded
    assert {c["follows_from"] for c in folded} == {"reversed polarity:REC-1,REC-2,REC-3"}


def test_one_bad_ground_joint_is_one_conflict() -> None:
    """A receiver and a step-down share a ground joint that leads nowhere, and a camera is dead for it."""
    job = off(camera(), "RAD.A-1")
    job = joined(job, "REC-2 SDN-2", "REC-2 CAM-3")
    job = ed.cap(job, ["RAD.A-1"])
    (conflict,) = checked(job, final=True).unfolded()
    assert conflict.rule == "no return"
    assert set(conflict.where) == {"REC.A-2", "SDN.A-2"}


def test_folding_has_no_circles() -> None:
    under = {r.name: set(r.under) for r in RULES}
    while under:
        free = [name for name, causes in under.items() if not causes & under.keys()]
        assert free, under
        for name in free:
            del under[name]
