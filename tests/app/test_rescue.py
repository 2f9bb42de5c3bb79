"""A damaged job file: what was kept of it is offered, as a copy that is not saved."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from PySide6.QtWidgets import QMessageBox

from app.application import Application
from app.rescue import find_rescue
from core.edits.record import set_sheet
from core.files.job_file import load_job, save_job
from core.files.recovery import Recovery
from core.job.document import Job


@pytest.fixture
def damaged(tmp_path: Path) -> Path:
    """A job saved twice, so that its first version is kept; then the file is cut off in the middle."""
    path = tmp_path / "van.loomjob"
    save_job(path, set_sheet(Job(), title="First"))
    save_job(path, set_sheet(Job(), title="Second"))
    data = path.read_bytes()
    path.unlink()
    path.write_bytes(data[: len(data) // 2])
    return path


def _answer(monkeypatch: pytest.MonkeyPatch, button: QMessageBox.StandardButton) -> list[str]:
    told: list[str] = []

    def answer(box: QMessageBox) -> QMessageBox.StandardButton:
        told.append(box.informativeText())
        return button

    monkeypatch.setattr(QMessageBox, "exec", answer)
    return told


def test_the_last_good_version_opens_as_a_copy_that_is_not_saved(
    program: Application, damaged: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = _answer(monkeypatch, QMessageBox.StandardButton.Open)
    before = damaged.read_bytes()
    assert program.open_path(damaged)
    session = program.windows[-1].session
    assert session.job.sheet.title == "First"
    assert session.path is None
    assert session.modified
    assert "van.loomjob" in told[0]
    assert "version kept" in told[0]
    assert "save" in program.windows[-1].desk.notices.text
    assert damaged.read_bytes() == before


def test_it_can_be_declined(program: Application, damaged: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _answer(monkeypatch, QMessageBox.StandardButton.Cancel)
    assert not program.open_path(damaged)
    assert program.windows == []


def test_younger_work_goes_before_an_older_version(damaged: Path) -> None:
    Recovery(damaged).write(set_sheet(Job(), title="Third"))
    version = next((damaged.parent / ".van.loomjob.versions").iterdir())
    os.utime(version, (1_000_000, 1_000_000))
    found = find_rescue(damaged)
    assert found is not None
    assert found.job.sheet.title == "Third"
    assert "work kept" in found.words


def test_what_is_damaged_too_is_passed_over(damaged: Path) -> None:
    Recovery(damaged).write(set_sheet(Job(), title="Third"))
    next(damaged.parent.glob(".*.recovery")).write_text("{")
    found = find_rescue(damaged)
    assert found is not None
    assert found.job.sheet.title == "First"


def test_without_anything_kept_nothing_is_offered(tmp_path: Path) -> None:
    path = tmp_path / "bad.loomjob"
    path.write_text("{")
    assert find_rescue(path) is None


def test_a_saved_copy_takes_the_damaged_files_place(
    program: Application, damaged: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _answer(monkeypatch, QMessageBox.StandardButton.Open)
    program.open_path(damaged)
    program.windows[-1].desk.file.save(damaged)
    assert load_job(damaged).sheet.title == "First"
