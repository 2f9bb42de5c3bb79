"""Older formats are brought to the newest one step after another."""

from __future__ import annotations

import re
from typing import Any

import pytest

from core.errors import FileProblem
from core.files import text
from core.files.migrations import STEPS, Step, migrate
from core.job.document import FORMAT, Job


def _rename_title(data: dict[str, Any]) -> dict[str, Any]:
    """1 to 2: the sheet's `title` was called `name`."""
    sheet = dict(data["sheet"])
    title = sheet.pop("name")
    return {**data, "sheet": {**sheet, "title": title}}


def _count_joints(data: dict[str, Any]) -> dict[str, Any]:
    """2 to 3: a counter was added."""
    return {**data, "counters": {"J": len(data.get("joints", {}))}}


CHAIN: dict[int, Step] = {1: _rename_title, 2: _count_joints}


def test_steps_follow_one_another() -> None:
    old = {"format": 1, "sheet": {"name": "Van"}, "joints": {"J1": {}}}
    new = migrate(old, CHAIN, 3, "van")
    assert new["format"] == 3
    assert new["sheet"]["title"] == "Van"
    assert new["counters"] == {"J": 1}
    assert old["format"] == 1


def test_only_the_steps_that_are_needed_are_made() -> None:
    assert migrate({"format": 2, "sheet": {}}, CHAIN, 3, "van") == {
        "format": 3,
        "sheet": {},
        "counters": {"J": 0},
    }
    newest = {"format": 3}
    assert migrate(newest, CHAIN, 3, "van") is newest


@pytest.mark.parametrize("damaged", [{}, {"sheet": 3}, {"sheet": []}, {"sheet": {}}, {"sheet": None}])
def test_damaged_data_is_a_file_problem(damaged: dict[str, Any]) -> None:
    with pytest.raises(FileProblem, match=r"van: cannot be brought from format 1 to 2: it is damaged"):
        migrate({"format": 1, **damaged}, CHAIN, 3, "van")


def test_a_missing_step_is_a_file_problem() -> None:
    with pytest.raises(FileProblem, match=re.escape("van: its format 1 is older than any")):
        migrate({"format": 1}, {2: _count_joints}, 3, "van")


def test_there_is_a_step_from_every_format_that_ever_was() -> None:
    assert sorted(STEPS) == list(range(1, FORMAT))


def test_an_older_file_is_migrated_when_it_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    # As if today's format were of yesterday: the step makes what today's models read.
    monkeypatch.setattr(text, "FORMAT", FORMAT + 1)
    monkeypatch.setattr(text, "STEPS", {FORMAT: _rename_title})
    monkeypatch.setattr(text, "migrate", lambda *given: {**migrate(*given), "format": FORMAT})
    job = text.parse_job(b'{"format": 2, "sheet": {"name": "Van"}}', "van")
    assert job == Job(sheet={"title": "Van"})  # type: ignore[arg-type]
