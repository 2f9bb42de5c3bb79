"""A crash costs what was done since the last recovery was written, and no more."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

from core.errors import FileProblem
from core.files import recovery as module
from core.files.job_file import load_job, save_job
from core.files.recovery import Recovery, drop_recovery, find_recovery
from core.files.unsaved import Unsaved, drop_unsaved, list_unsaved
from core.job.document import Job
from core.job.record import JobSheet


def titled(title: str) -> Job:
    return Job(sheet=JobSheet(title=title))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "work" / "van.loomjob"
    path.parent.mkdir()
    save_job(path, titled("saved"))
    return path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "data" / "unsaved"


def names(folder: Path) -> set[str]:
    return {entry.name for entry in folder.iterdir()}


def test_edits_since_the_save_are_found_again(path: Path, folder: Path) -> None:
    recovery = Recovery(path, folder=folder)
    assert find_recovery(path) is None
    recovery.write(titled("edited"))
    recovery.write(titled("edited twice"))
    found = find_recovery(path)
    assert found is not None
    assert found == recovery.file
    assert load_job(found).sheet.title == "edited twice"
    assert load_job(path).sheet.title == "saved"
    recovery.drop()
    assert find_recovery(path) is None
    assert recovery.file is None
    assert names(path.parent) == {path.name}
    recovery.drop()
    assert not folder.exists()


def test_what_a_crash_left_goes_with_the_next_save(path: Path) -> None:
    Recovery(path).write(titled("before the crash"))
    recovery = Recovery(path)
    assert recovery.file == find_recovery(path)
    recovery.drop()
    assert find_recovery(path) is None
    assert names(path.parent) == {path.name}


def test_the_same_job_is_not_written_twice(path: Path) -> None:
    recovery = Recovery(path)
    recovery.write(titled("edited"))
    assert recovery.file is not None
    before = recovery.file.stat()
    recovery.write(titled("edited"))
    assert recovery.file.stat() == before


def test_a_recovery_that_says_the_same_or_is_older_is_none(path: Path) -> None:
    recovery = Recovery(path)
    recovery.write(titled("saved"))
    assert find_recovery(path) is None
    recovery.write(titled("edited"))
    assert recovery.file is not None
    newer = recovery.file.stat().st_mtime_ns + 1
    os.utime(path, ns=(newer, newer))
    assert find_recovery(path) is None
    os.utime(path, ns=(newer - 1, newer - 1))
    assert find_recovery(path) == recovery.file
    path.unlink()
    assert find_recovery(path) == recovery.file


def test_dropping_by_path(path: Path) -> None:
    Recovery(path).write(titled("edited"))
    drop_recovery(path)
    drop_recovery(path)
    assert names(path.parent) == {path.name}


def test_a_job_without_a_file_is_kept_in_the_users_folder(folder: Path) -> None:
    recovery = Recovery(None, folder=folder)
    assert recovery.file is None
    recovery.write(titled("new"))
    assert recovery.file is not None
    assert recovery.file.parent == folder
    assert load_job(recovery.file).sheet.title == "new"
    assert list_unsaved(folder) == ()
    recovery.write(titled("newer"))
    assert len(names(folder)) == 2
    recovery.drop()
    assert names(folder) == set()


def test_a_job_that_somebody_else_has_open_is_kept_elsewhere(path: Path, folder: Path) -> None:
    recovery = Recovery(path, beside=False, folder=folder)
    recovery.write(titled("edited"))
    assert recovery.file is not None
    assert recovery.file.parent == folder
    assert recovery.file.name.startswith("van-")
    assert names(path.parent) == {path.name}
    recovery.drop()


def test_a_folder_that_cannot_be_written_falls_back(
    path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write = module.write_whole

    def refuse(file: Path, data: bytes) -> None:
        if file.parent == path.parent:
            raise FileProblem(str(file), "cannot be written: permission denied")
        write(file, data)

    monkeypatch.setattr(module, "write_whole", refuse)
    recovery = Recovery(path, folder=folder)
    recovery.write(titled("edited"))
    assert recovery.file is not None
    assert recovery.file.parent == folder
    recovery.drop()


def test_nowhere_to_write_is_a_file_problem(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(FileProblem, match="the recovery cannot be written"):
        Recovery(None, folder=tmp_path / "file" / "deeper").write(titled("new"))


def test_a_full_disk_is_a_file_problem(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, "full")

    recovery = Recovery(None, folder=folder)
    recovery.write(titled("kept"))
    assert recovery.file is not None
    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        with pytest.raises(FileProblem, match="the disk is full"):
            recovery.write(titled("lost"))
    assert load_job(recovery.file).sheet.title == "kept"
    recovery.drop()
    assert names(folder) == set()


CRASH = """
import os, pathlib, sys
from core.files.recovery import Recovery
from core.job.document import Job
from core.job.record import JobSheet
recovery = Recovery(None, folder=pathlib.Path(sys.argv[1]))
recovery.write(Job(sheet=JobSheet(title=sys.argv[2])))
os._exit(9)
"""


def test_unsaved_jobs_of_a_crashed_program_are_listed(folder: Path, root: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(root)}
    for number, title in enumerate(["first", "second"], start=1):
        command = [sys.executable, "-c", CRASH, str(folder), title]
        assert subprocess.run(command, env=environment, check=False).returncode == 9
        for file in folder.glob("unsaved-*"):
            if load_job(file).sheet.title == title:
                os.utime(file, (number, number))
    left = folder / f".{next(folder.glob('unsaved-*')).name}~0123456789ab.tmp"
    left.write_bytes(b"half")
    unsaved = list_unsaved(folder)
    assert [load_job(one.path).sheet.title for one in unsaved] == ["second", "first"]
    assert [one.name for one in unsaved] == ["unsaved", "unsaved"]
    for one in unsaved:
        drop_unsaved(one)
        drop_unsaved(one)
    assert list_unsaved(folder) == ()
    assert names(folder) == set()


def test_a_running_programs_job_is_not_dropped_by_another(folder: Path) -> None:
    recovery = Recovery(None, folder=folder)
    recovery.write(titled("new"))
    assert recovery.file is not None
    drop_unsaved(Unsaved(recovery.file, "unsaved", datetime.now().astimezone()))
    assert recovery.file.exists()
    recovery.drop()


def test_no_folder_means_no_unsaved_jobs(folder: Path) -> None:
    assert list_unsaved(folder) == ()


def test_the_start_page_can_list_without_reading_the_trade(folder: Path, root: Path) -> None:
    program = (
        "import sys, pathlib; from core.files.unsaved import list_unsaved;"
        "list_unsaved(pathlib.Path(sys.argv[1]));"
        "print(*({'pydantic', 'orjson'} & set(sys.modules)))"
    )
    folder.mkdir(parents=True)
    command = [sys.executable, "-c", program, str(folder)]
    assert subprocess.run(command, cwd=root, capture_output=True, text=True, check=True).stdout == "\n"
