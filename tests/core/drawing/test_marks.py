"""The marks that join the places on the sheets with the list of conflicts."""

from __future__ import annotations

from core.checks.finding import CheckResult, Conflict, Level
from core.drawing.marks import by_place, numbered, told
from core.job.document import Job
from core.job.record import Acceptance


def conflict(level: Level, rule: str, *where: str, accepted: bool = False, follows: str = "") -> Conflict:
    kept = Acceptance(rule=rule, where=where, reason="known", name="A. Marlow") if accepted else None
    return Conflict(
        rule, level, "m", "w", "d", where, path=("J7",), accepted=kept, follows_from=follows or None
    )


def result(*conflicts: Conflict) -> CheckResult:
    return CheckResult(Job(), conflicts, (), (), ("run",))


def test_letters_are_of_the_level_and_numbers_go_from_open_to_accepted() -> None:
    found = result(
        conflict("look", "b", "A.A-2"),
        conflict("stop", "z", "A.A-10"),
        conflict("stop", "a", "A.A-3", accepted=True),
        conflict("stop", "z", "A.A-9"),
        conflict("note", "c", "A.A-4"),
    )
    assert numbered(found) == {
        "z:A.A-9": "S1",
        "z:A.A-10": "S2",
        "b:A.A-2": "L1",
        "c:A.A-4": "N1",
        "a:A.A-3": "S3",
    }


def test_what_follows_from_another_has_no_mark() -> None:
    found = result(conflict("stop", "a", "A.A-1"), conflict("stop", "b", "A.A-2", follows="a:A.A-1"))
    assert set(numbered(found)) == {"a:A.A-1"}
    assert set(by_place(found)) == {"A.A-1", "J7"}


def test_a_place_has_the_marks_of_all_its_conflicts_the_worst_first() -> None:
    found = result(
        conflict("note", "n", "W1:a"), conflict("stop", "s", "W1:b", "J2"), conflict("look", "l", "W1")
    )
    assert by_place(found)["W1"] == ("S1", "L1", "N1")
    assert by_place(found)["J2"] == ("S1",)


def test_more_than_a_few_are_counted() -> None:
    assert told(()) == ""
    assert told(("S1", "L2")) == "S1 L2"
    assert told(("S1", "S2", "L1", "L2", "N1")) == "S1 S2 L1 +2"
