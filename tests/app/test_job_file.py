"""The file behind a window: save, lock, recovery."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.session import Session
from app.work.job_file import JobFile, open_file
from core.edits.record import set_sheet
from core.errors import FileProblem
from core.files.job_file import load_job, save_job
from core.files.recovery import find_recovery
from core.job.document import Job
from core.library.library import Library


def _titled(session: Session, title: str) -> None:
    session.apply("Title", lambda job: set_sheet(job, title=title))


def test_a_new_job_is_saved_where_it_is_told(session: Session, tmp_path: Path) -> None:
    file = JobFile(session)
    _titled(session, "Van")
    file.save(tmp_path / "van.loomjob")
    assert load_job(tmp_path / "van.loomjob") == session.job
    assert session.path == tmp_path / "van.loomjob"
    assert not session.modified
    file.close()


def test_work_is_kept_within_a_second_of_the_edit(session: Session, tmp_path: Path, qtbot: QtBot) -> None:
    path = tmp_path / "van.loomjob"
    save_job(path, Job())
    file = JobFile(session, open_file(path), path)
    _titled(session, "Van")
    qtbot.waitUntil(lambda: find_recovery(path) is not None, timeout=1000)
    found = find_recovery(path)
    assert found is not None
    assert load_job(found).sheet.title == "Van"
    file.save(path)
    assert find_recovery(path) is None
    file.close()


def test_what_a_crash_left_comes_back(session: Session, tmp_path: Path) -> None:
    path = tmp_path / "van.loomjob"
    save_job(path, Job())
    opened = open_file(path)
    file = JobFile(session, opened, path)
    _titled(session, "Van")
    file.keep_work()
    opened.lock.release()  # as the system does when a program is killed
    again = open_file(path)
    assert again.recovered is not None
    assert again.recovered.sheet.title == "Van"
    again.lock.release()


def test_the_second_to_open_it_reads_only(session: Session, library: Library, tmp_path: Path) -> None:
    path = tmp_path / "van.loomjob"
    save_job(path, Job())
    first = JobFile(session, open_file(path), path)
    second_session = Session(Job(), library)
    second = JobFile(second_session, open_file(path), path)
    assert not session.read_only_because
    assert "open" in second_session.read_only_because
    _titled(second_session, "Mine")
    with pytest.raises(FileProblem):
        second.save(path)
    assert load_job(path) == Job()
    first.close()
    second.close()


def test_a_file_changed_by_somebody_else_is_not_overwritten(session: Session, tmp_path: Path) -> None:
    path = tmp_path / "van.loomjob"
    save_job(path, Job())
    file = JobFile(session, open_file(path), path)
    save_job(path, set_sheet(Job(), title="Theirs"))
    _titled(session, "Mine")
    with pytest.raises(FileProblem):
        file.save(path)
    assert load_job(path).sheet.title == "Theirs"
    file.close()


def test_a_broken_file_leaves_no_lock(tmp_path: Path) -> None:
    path = tmp_path / "bad.loomjob"
    path.write_bytes(b"{")
    with pytest.raises(FileProblem):
        open_file(path)
    assert [p.name for p in tmp_path.iterdir()] == ["bad.loomjob"]
