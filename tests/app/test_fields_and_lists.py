"""What the details panel and the lists show, and the edits they make."""

from __future__ import annotations

import pytest

from app.panels.fields import Field, sheet_for
from app.panels.find import find_refs
from app.panels.tables import LISTS, Table, table
from core.checks.finding import CheckResult
from core.edits.decide import open_ends
from core.edits.finishes import cap
from core.edits.record import set_settings
from core.errors import EditRefused
from core.job.document import Job
from core.library.library import Library
from tests.app.jobs import joined_job, terminal_with


@pytest.fixture
def job(library: Library) -> Job:
    return joined_job(library)


def _field(job: Job, library: Library, refs: list[str], label: str) -> Field:
    return next(field for field in sheet_for(job, library, refs).fields if field.label == label)


def _put(job: Job, library: Library, refs: list[str], label: str, text: str) -> Job:
    field = _field(job, library, refs, label)
    assert field.set is not None
    return field.set(job, text)


def _table(name: str, job: Job, library: Library) -> Table:
    return table(name, job, CheckResult(job, (), open_ends(job), (), ()), library)


def test_a_pins_fields_read_and_write(job: Job, library: Library) -> None:
    ref = terminal_with(job, "REC", "constant")
    assert _field(job, library, [ref], "Joined at").value.startswith("J1, with RAD-")
    for label, text in (
        ("Colour as found", "BK/WH"),
        ("Accepts volts", "5.5 to 6.5"),
        ("Lead colour", "GN"),
        ("Length, mm", "350"),
        ("Note", "by the heater"),
    ):
        job = _put(job, library, [ref], label, text)
        assert _field(job, library, [ref], label).value == text


def test_many_pins_are_edited_at_once(job: Job, library: Library) -> None:
    refs = [terminal_with(job, "REC", "constant"), terminal_with(job, "REC", "ground")]
    assert _field(job, library, refs, "Lead colour").value == "(various)"
    job = _put(job, library, refs, "Gauge", "1 mm2")
    assert {job.cavity(ref).lead.gauge for ref in refs} == {"1 mm2"}  # type: ignore[union-attr]


def test_a_wild_value_is_refused_with_a_sentence(job: Job, library: Library) -> None:
    ref = terminal_with(job, "REC", "constant")
    for label, text in (("Length, mm", "long"), ("Lead colour", "PLAID"), ("Accepts volts", "much")):
        with pytest.raises(EditRefused):
            _put(job, library, [ref], label, text)
    with pytest.raises(EditRefused):
        _put(job, library, ["REC"], "Tag", "not a tag!")


def test_a_tag_is_renamed_everywhere(job: Job, library: Library) -> None:
    job = _put(job, library, ["REC"], "Tag", "hed")
    assert "HED" in job.parts
    assert any(end.startswith("HED.") for end in job.joints["J1"].ends)


@pytest.mark.parametrize("name", LISTS)
def test_every_list_has_a_cell_for_each_heading(job: Job, library: Library, name: str) -> None:
    shown = _table(name, job, library)
    assert all(len(row.cells) == len(shown.headings) for row in shown.rows)


def test_lists_edit_in_place(job: Job, library: Library) -> None:
    joints = _table("Joints", job, library)
    method = joints.rows[0].cells[joints.headings.index("Method")]
    assert method.set is not None
    job = method.set(job, "crimp")
    assert job.joints[joints.rows[0].ref].method == "crimp"
    ref = terminal_with(job, "RAD", "illumination")
    unused = _table("Unused leads", job, library)
    finish = next(row for row in unused.rows if row.ref == ref).cells[3]
    assert finish.set is not None
    job = finish.set(job, "cap")
    assert job.finishes[ref].kind == "capped"


def test_lengths_are_read_in_the_jobs_unit(job: Job, library: Library) -> None:
    job = set_settings(job, lengths="inch")
    leads = _table("Leads to trim", job, library)
    row = next(row for row in leads.rows if row.ref == terminal_with(job, "REC", "constant"))
    trim = row.cells[leads.headings.index("Trim to")]
    assert trim.set is not None
    job = trim.set(job, "10 in")
    lead = job.cavity(row.ref).lead  # type: ignore[union-attr]
    assert lead is not None
    assert lead.trimmed_mm == pytest.approx(254.0)


def test_what_is_capped_is_listed_as_unused_once(job: Job, library: Library) -> None:
    ref = terminal_with(job, "RAD", "illumination")
    rows = [row.ref for row in _table("Unused leads", cap(job, [ref]), library).rows]
    assert rows.count(ref) == 1
    assert len(rows) == len(set(rows))


def test_find_by_pin_colour_function_part_and_joint(job: Job, library: Library) -> None:
    constant = terminal_with(job, "REC", "constant")
    assert find_refs(job, library, "") == []
    assert constant in find_refs(job, library, "constant")
    assert constant in find_refs(job, library, job.shown(constant))
    assert constant in find_refs(job, library, "yellow rec")
    assert find_refs(job, library, "J1") == ["J1"]
    assert find_refs(job, library, "nowhere at all") == []
