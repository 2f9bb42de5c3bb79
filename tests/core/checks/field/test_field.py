"""Field cases: what went wrong is said, at its place with its numbers, and of healthy twins nothing is."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.core.checks.field.build import Case
from tests.core.checks.field.every import CASES, LEFT_OUT
from tests.core.checks.field.seen import loud, missing
from tests.core.checks.jobs import checked

_each = pytest.mark.parametrize("make", CASES, ids=lambda make: make.__name__)


@_each
def test_what_went_wrong_is_said(make: Callable[[], Case]) -> None:
    assert missing(make()) == []


@_each
def test_of_a_healthy_twin_nothing_is_said(make: Callable[[], Case]) -> None:
    said = [loud(checked(job, final=True)) for job in make().healthy]
    assert said
    assert not any(said), [(c.rule, c.message) for found in said for c in found]


@_each
def test_one_mistake_is_at_most_two_conflicts_beside_what_is_expected(make: Callable[[], Case]) -> None:
    """What merely follows is folded."""
    case = make()
    expected = {said.rule for said in case.said}
    others = {c.rule for c in loud(checked(case.bad, final=True))} - expected
    assert len(others) <= 1, others


@_each
def test_a_mend_mends_and_makes_no_new_stop(make: Callable[[], Case]) -> None:
    """While the job goes on: what a mend frees is then to be decided."""
    job = make().bad
    before = checked(job).conflicts
    known = {(c.rule, place) for c in before for place in c.where}
    for conflict in before:
        for mend in conflict.mends:
            after = checked(mend.edit(job)).conflicts
            assert conflict.key not in [c.key for c in after], mend.label
            new = [c for c in after if c.level == "stop" and not {(c.rule, p) for p in c.where} & known]
            assert not new, (mend.label, [c.message for c in new])


def test_cases_are_told_once_and_in_words() -> None:
    cases = [make() for make in CASES]
    assert len({case.name for case in cases}) == len(cases)
    assert all(case.told.endswith(".") and case.said and case.healthy for case in cases)
    assert all(reason for reason in LEFT_OUT.values())
