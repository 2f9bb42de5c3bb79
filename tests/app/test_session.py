"""The one door for edits: what is pushed, what is refused, what undo gives back."""

from __future__ import annotations

from typing import Any

from app.session import Change, Session
from core.edits.finishes import cap
from core.edits.joins import join
from core.edits.place import move
from core.errors import EditRefused
from core.files.text import dump_job
from core.job.document import Job
from tests.app.jobs import bench_job, terminal_with


def _open(session: Session, job: Job) -> None:
    session.apply("Open", lambda _: job)
    session.undo_stack.clear()
    session.mark_saved(job)


def test_undo_of_all_gives_the_same_bytes_and_redo_too(session: Session) -> None:
    job = bench_job(session.library)
    _open(session, job)
    ends = terminal_with(job, "RAD", "constant"), terminal_with(job, "REC", "constant")
    free = terminal_with(job, "RAD", "illumination")
    assert session.apply("Join", lambda j: join(j, *ends))
    assert session.apply("Cap", lambda j: cap(j, [free]))
    assert session.apply("Move", lambda j: move(j, {"REC": (700.0, 0.0)}))
    after = dump_job(session.job)
    while session.undo_stack.canUndo():
        session.undo_stack.undo()
    assert dump_job(session.job) == dump_job(job)
    assert not session.modified
    while session.undo_stack.canRedo():
        session.undo_stack.redo()
    assert dump_job(session.job) == after
    assert session.modified


def test_a_refused_edit_says_why_and_changes_nothing(session: Session) -> None:
    reasons: list[str] = []
    session.refused.connect(reasons.append)
    before = session.job

    def refuse(job: Job) -> Job:
        raise EditRefused("There is no pin 99.")

    assert not session.apply("Join", refuse)
    assert reasons == ["There is no pin 99."]
    assert session.job is before
    assert session.undo_stack.count() == 0


def test_an_edit_that_changes_nothing_is_no_step(session: Session) -> None:
    assert not session.apply("Nothing", lambda job: job)
    assert not session.apply("The same again", lambda job: Job())
    assert session.undo_stack.count() == 0


def test_every_change_is_told_once_with_its_delta(session: Session) -> None:
    told: list[Change] = []
    session.changed.connect(told.append)
    job = bench_job(session.library)
    session.apply("Open", lambda _: job)
    session.apply("Move", lambda j: move(j, {"REC": (5.0, 5.0)}))
    session.undo_stack.undo()
    assert [change.text for change in told] == ["Open", "Move", "Move"]
    assert told[0].delta.added["parts"] == frozenset(job.parts)
    assert told[1].delta.places == {"REC"}
    assert not told[1].delta.meaning
    assert told[2].after is told[1].before


def test_selection_is_told_when_it_changes(session: Session) -> None:
    told: list[Any] = []
    session.selection_changed.connect(told.append)
    session.select(["RAD"])
    session.select(["RAD"])
    session.toggle("REC")
    session.toggle("RAD")
    assert told == [{"RAD"}, {"RAD", "REC"}, {"REC"}]
