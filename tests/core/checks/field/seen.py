"""Whether what was expected of a case was said."""

from __future__ import annotations

from collections.abc import Sequence

from core.checks.finding import CheckResult, Conflict
from tests.core.checks.field.build import Case, Said
from tests.core.checks.jobs import checked


def loud(result: CheckResult) -> list[Conflict]:
    """The conflicts of the levels Stop and Look that stand for themselves."""
    assert not result.not_run, result.not_run
    return [c for c in result.unfolded() if c.level in ("stop", "look")]


def missing(case: Case) -> list[str]:
    """What was expected of the job with the mistake and was not said, in words."""
    result = checked(case.bad, final=True)
    alone, all_of_them = result.unfolded(), result.conflicts
    found = ((said, all_of_them if said.folded else alone) for said in case.said)
    return [why for said, conflicts in found if (why := _missing(case, said, conflicts))]


def _missing(case: Case, said: Said, conflicts: Sequence[Conflict]) -> str:
    place = case.bad.terminal_from(said.place)
    assert place is not None, said.place
    named = [c for c in conflicts if c.rule == said.rule]
    if not named:
        return f"nothing is said of {said.rule!r}"
    there = [c for c in named if place in c.where]
    if not there:
        return f"{said.rule!r} is said of {[c.where for c in named]}, not of {place}"
    reasons = [_differs(said, conflict) for conflict in there]
    return "" if "" in reasons else reasons[0]


def _differs(said: Said, conflict: Conflict) -> str:
    if conflict.level != said.level:
        return f"it is a {conflict.level}, not a {said.level}"
    if said.position and said.position not in conflict.positions:
        return f"its positions are {conflict.positions}"
    if said.words not in conflict.message:
        return f"{said.words!r} is not in its message: {conflict.message}"
    for name, value in said.numbers.items():
        found = conflict.numbers.get(name)
        if found is None or abs(found - value) > said.within * abs(value):
            return f"{name} is {found}, not {value}; it has {dict(conflict.numbers)}"
    return ""
