"""The status bar: words and colour for every state of a check."""

from __future__ import annotations

from dataclasses import replace

from core.checks.finding import CheckResult, Conflict, Level, NotRun
from core.drawing.build import build_drawing
from core.drawing.items import Rect
from core.drawing.status import status_bar
from core.drawing.style import GOOD, LOOK, STOP
from core.job.document import Job
from core.job.record import Acceptance
from tests.core.drawing.looking import faults
from tests.core.drawing.made import LIBRARY, two_parts


def conflict(level: Level, rule: str, name: str = "") -> Conflict:
    accepted = Acceptance(rule=rule, where=("A.A-1",), reason="known", name=name) if name else None
    return Conflict(rule, level, "m", "w", "d", ("A.A-1",), accepted=accepted)


def result(*conflicts: Conflict, open_ends: int = 0, not_run: int = 0) -> CheckResult:
    rules = tuple(NotRun(f"rule {n}", "off") for n in range(not_run))
    return CheckResult(Job(), conflicts, tuple(f"A.A-{n}" for n in range(open_ends)), rules, ("run",))


def test_green_only_where_nothing_is_open_accepted_or_off() -> None:
    assert status_bar(result()) == ("Checked · nothing left to decide", GOOD)


def test_red_counts_what_is_open() -> None:
    bar = status_bar(result(conflict("stop", "a"), conflict("stop", "b"), conflict("look", "c"), open_ends=3))
    assert bar == ("Do not power: 2 Stop open · 1 Look open · 3 to decide", STOP)


def test_amber_names_who_decided() -> None:
    bar = status_bar(result(conflict("stop", "a", "M. Tern"), conflict("stop", "b", "M. Tern")))
    assert bar == ("Powered only by decision of M. Tern: 2 Stop accepted · nothing left to decide", LOOK)


def test_amber_where_rules_did_not_run() -> None:
    assert status_bar(result(not_run=1)) == ("1 rule off or not run · nothing left to decide", LOOK)
    assert status_bar(result(not_run=2)).words.startswith("2 rules off or not run")


def test_open_stops_outweigh_accepted_ones() -> None:
    bar = status_bar(result(conflict("stop", "a"), conflict("stop", "b", "M. Tern")))
    assert bar.fill == STOP
    assert "1 Stop open" in bar.words
    assert "1 Stop accepted" in bar.words


def test_a_folded_conflict_is_not_counted() -> None:
    follower = replace(conflict("stop", "b"), follows_from="a:A.A-1")
    assert status_bar(result(conflict("stop", "a"), follower)).words.startswith("Do not power: 1 Stop open")


def test_more_names_than_the_bar_has_room_for_are_printed_at_the_end() -> None:
    job, checked = two_parts()
    names = [f"{letter}" * 150 for letter in "ABCDEF"]
    checked = replace(checked, conflicts=tuple(conflict("stop", name, name) for name in names))
    pages = build_drawing(job, checked, LIBRARY)
    assert [found for page in pages for found in faults(page)] == []
    written = "".join(text.text for page in pages for text in page.texts)
    assert all(name in written for name in names)


def test_every_sheet_carries_the_bar_in_words_and_colour() -> None:
    job, checked = two_parts()
    checked = replace(checked, conflicts=(conflict("stop", "a"),))
    for page in build_drawing(job, checked, LIBRARY):
        assert any(text.text.startswith("Do not power: 1 Stop open") for text in page.texts)
        assert any(isinstance(shape, Rect) and shape.fill == STOP for shape in page.shapes)
