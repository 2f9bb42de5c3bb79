"""Every rule on bad jobs and on good ones, and every mend."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.checks.finding import LEVELS, NEVER_ACCEPTED, Conflict
from core.checks.registry import Rule
from core.checks.rules import RULE_NAMED, RULES
from core.job.document import Job
from tests.core.checks.cases import Bad
from tests.core.checks.every_case import EVERY_CASE, every_good_job
from tests.core.checks.jobs import checked, said

_bad = pytest.mark.parametrize("case", EVERY_CASE, ids=lambda case: f"{case.rule}: {case.name}")
_good = pytest.mark.parametrize("name", list(every_good_job()))


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_a_rule_explains_itself_and_has_cases(rule: Rule) -> None:
    what, why, mend = rule.help
    assert all(text.endswith(".") for text in (what, why, mend))
    assert rule.level in LEVELS
    assert [case for case in EVERY_CASE if case.rule == rule.name], "no bad job"
    assert set(rule.under) <= set(RULE_NAMED)


def test_what_is_never_accepted_are_rules() -> None:
    assert set(RULE_NAMED) >= NEVER_ACCEPTED


def test_every_rule_file_is_in_the_table_once(root: Path) -> None:
    names = [rule.name for rule in RULES]
    assert len(names) == len(set(names))
    files = {
        path
        for path in (root / "core" / "checks").glob("*/*.py")
        if path.name != "__init__.py" and "@rule(" in path.read_text(encoding="utf-8")
    }
    modules = {rule.check.__module__ for rule in RULES}
    assert {".".join(path.relative_to(root).with_suffix("").parts) for path in files} == modules


@_bad
def test_a_mistake_is_said_at_its_place(case: Bad) -> None:
    result = checked(case.make(), final=case.final)
    assert not result.not_run
    found = said(result, case.rule)
    assert found, [(c.rule, c.message, c.follows_from) for c in result.conflicts]
    at = [c for c in found if case.place in c.where]
    assert at, [c.where for c in found]
    assert any(case.says in c.message for c in at), [c.message for c in at]
    assert {c.level for c in at} == {case.level}


@_bad
def test_one_mistake_is_one_conflict(case: Bad) -> None:
    """At most what the case says besides the one at the mistake."""
    result = checked(case.make(), final=case.final)
    told = [(c.rule, c.where) for c in result.unfolded() if c.rule != "not decided" or case.rule == c.rule]
    assert len(told) <= 1 + case.others, told


@_good
@pytest.mark.parametrize("final", [True, False])
def test_of_a_good_job_nothing_is_said(name: str, final: bool) -> None:
    result = checked(every_good_job()[name], final=final)
    assert [(c.rule, c.message) for c in result.conflicts] == []
    assert result.not_run == ()
    assert result.status == "green"


@_bad
def test_every_mend_mends_and_breaks_nothing(case: Bad) -> None:
    job = case.make()
    before = checked(job, final=case.final)
    bytes_before = job.model_dump_json()
    for conflict in before.conflicts:
        for mend in conflict.mends:
            mended = mend.edit(job)
            assert job.model_dump_json() == bytes_before
            assert Job.model_validate_json(mended.model_dump_json()) == mended
            assert_mended(conflict, mend.label, mended, before.conflicts, case.final)


def assert_mended(
    conflict: Conflict, label: str, mended: Job, before: tuple[Conflict, ...], final: bool
) -> None:
    after = checked(mended, final=final)
    where = set(conflict.where) - set(mended.joints)
    same = [c for c in after.conflicts if c.rule == conflict.rule and where & set(c.where)]
    assert not same, (label, [c.message for c in same])
    known = {(c.rule, place) for c in before for place in c.where}
    new = [c for c in after.conflicts if c.level == "stop" and not {(c.rule, p) for p in c.where} & known]
    assert not new, (label, [c.message for c in new])
