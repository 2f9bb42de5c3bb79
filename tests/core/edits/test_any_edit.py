"""What every edit keeps, whatever it is and whatever it is given."""

from __future__ import annotations

import inspect
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from core import edits as ed
from core.errors import EditRefused
from core.files.text import dump_job
from core.job.document import Job
from core.job.lookup import build_lookup
from tests.strategies import EDIT_NAMES, edits, jobs


def bytes_of(job: Job) -> bytes:
    """What a job file of it holds."""
    return dump_job(job)


def is_whole(job: Job) -> None:
    assert ed.check_invariants(job) == []
    assert Job.model_validate_json(bytes_of(job)) == job
    fresh = build_lookup(job.joints, job.wires, job.cables, job.mates, job.parts)
    assert job.lookup == fresh


def test_every_edit_is_tried() -> None:
    """The list of edits that are drawn is the list of edits there are."""
    there = {
        name
        for name in ed.__all__
        if inspect.isfunction(function := getattr(ed, name))
        and inspect.signature(function).return_annotation == "Job"
    }
    assert there == set(EDIT_NAMES)


@settings(max_examples=120)
@given(jobs(), st.data())
def test_any_edit_keeps_the_job_whole(job: Job, data: st.DataObject) -> None:
    """Also: a refusal is a sentence, no edit touches the job it was given, all can be undone."""
    stack: list[Job] = [job]
    as_it_was = [bytes_of(job)]
    is_whole(job)
    for _ in range(data.draw(st.integers(1, 6))):
        edit = data.draw(edits(job))
        try:
            after = edit.apply(job)
        except EditRefused as refusal:
            is_a_sentence(str(refusal))
            assert bytes_of(job) == as_it_was[-1]
            continue
        assert bytes_of(job) == as_it_was[-1]
        if after is not job:
            is_whole(after)
            job = after
            stack.append(job)
            as_it_was.append(bytes_of(job))
    # Undo and redo swap references: what they bring back is the very document, byte for byte.
    assert [bytes_of(step) for step in reversed(stack)] == as_it_was[::-1]
    assert [bytes_of(step) for step in stack] == as_it_was


def is_a_sentence(text: str) -> None:
    assert text.endswith(".")
    assert text[0].isupper() or text[0] in "'<"
    assert "validation error" not in text
    assert "\n" not in text


@settings(max_examples=60)
@given(jobs(), st.data())
def test_an_edit_gives_the_same_again(job: Job, data: st.DataObject) -> None:
    """Edits are pure: on a job read back from its bytes the same edit comes to the same bytes or refusal."""
    edit = data.draw(edits(job))
    again = Job.model_validate_json(bytes_of(job))
    assert outcome(edit.apply, job) == outcome(edit.apply, again)


def outcome(apply: Any, job: Job) -> bytes | str:
    try:
        return bytes_of(apply(job))
    except EditRefused as refusal:
        return str(refusal)
