"""Saving: at one stroke, with versions, and nothing of anybody else's overwritten."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from core.errors import FileProblem
from core.files import json_text
from core.files.atomic import sweep, write_whole
from core.files.job_file import ChangedOnDisk, load_job, open_job, save_job, versions
from core.files.json_text import MOST_BYTES
from core.files.lock import JobLock
from core.files.text import dump_job
from core.job.document import Job
from core.job.record import JobSheet
from tests.core.files.made import big_job

posix = pytest.mark.skipif(os.name != "posix", reason="permissions as on POSIX")


def titled(title: str) -> Job:
    return Job(sheet=JobSheet(title=title))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "van.loomjob"


def left_in(folder: Path) -> set[str]:
    return {entry.name for entry in folder.iterdir()}


def test_a_saved_job_is_loaded_again(path: Path) -> None:
    job = big_job(20)
    stamp = save_job(path, job)
    assert open_job(path) == (job, stamp)
    assert load_job(path) == job
    assert left_in(path.parent) == {"van.loomjob"}


def test_the_last_versions_are_kept_youngest_first(path: Path) -> None:
    for number in range(9):
        save_job(path, titled(str(number)))
    assert load_job(path).sheet.title == "8"
    assert [load_job(version).sheet.title for version in versions(path)] == ["7", "6", "5", "4", "3"]
    assert left_in(path.parent) == {"van.loomjob", ".van.loomjob.versions"}


def test_fewer_versions_or_none_can_be_kept(path: Path) -> None:
    save_job(path, titled("0"), keep=0)
    save_job(path, titled("1"), keep=0)
    assert left_in(path.parent) == {"van.loomjob"}
    for number in range(2, 6):
        save_job(path, titled(str(number)), keep=2)
    assert [load_job(version).sheet.title for version in versions(path)] == ["4", "3"]


def test_versions_are_kept_where_the_disk_has_no_links(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "hardlink_to", _raising(errno.EPERM))
    save_job(path, titled("0"))
    save_job(path, titled("1"))
    assert [load_job(version).sheet.title for version in versions(path)] == ["0"]


def test_strange_files_among_the_versions_are_left_alone(path: Path) -> None:
    save_job(path, titled("0"))
    save_job(path, titled("1"))
    strange = versions(path)[0].with_name("van-old.loomjob")
    strange.write_text("mine")
    save_job(path, titled("2"), keep=1)
    assert strange.read_text() == "mine"
    assert [load_job(version).sheet.title for version in versions(path)] == ["1"]


def test_saving_the_same_again_changes_nothing(path: Path) -> None:
    stamp = save_job(path, titled("0"))
    before = path.stat()
    assert save_job(path, titled("0"), since=stamp) == stamp
    assert path.stat() == before
    assert versions(path) == ()


def test_a_file_that_somebody_changed_is_not_overwritten(path: Path) -> None:
    save_job(path, titled("mine"))
    _, stamp = open_job(path)
    theirs = dump_job(titled("theirs"))
    path.write_bytes(theirs)
    with pytest.raises(ChangedOnDisk, match=r"van.loomjob: was changed by another program"):
        save_job(path, titled("mine again"), since=stamp)
    assert path.read_bytes() == theirs
    assert versions(path) == ()
    save_job(path, titled("mine again"))
    assert load_job(versions(path)[0]).sheet.title == "theirs"


def test_a_touched_or_vanished_file_is_saved(path: Path) -> None:
    stamp = save_job(path, titled("0"))
    os.utime(path, (1, 1))
    stamp = save_job(path, titled("1"), since=stamp)
    path.unlink()
    save_job(path, titled("2"), since=stamp)
    assert load_job(path).sheet.title == "2"


@posix
def test_permissions_are_kept_and_new_files_follow_the_umask(path: Path) -> None:
    old = os.umask(0o027)
    try:
        save_job(path, titled("0"))
        assert stat.S_IMODE(path.stat().st_mode) == 0o640
        path.chmod(0o604)
        save_job(path, titled("1"))
        assert stat.S_IMODE(path.stat().st_mode) == 0o604
    finally:
        os.umask(old)


@posix
def test_a_link_is_written_through(path: Path, tmp_path: Path) -> None:
    save_job(path, titled("0"))
    (tmp_path / "desk").mkdir()
    link = tmp_path / "desk" / "link.loomjob"
    link.symlink_to(path)
    save_job(link, titled("1"))
    assert link.is_symlink()
    assert load_job(path).sheet.title == "1"
    assert len(versions(path)) == len(versions(link)) == 1


def _raising(number: int) -> Callable[..., Any]:
    def refuse(*args: object, **options: object) -> None:
        raise OSError(number, os.strerror(number))

    return refuse


@pytest.mark.parametrize("call", ["fsync", "open"])
@pytest.mark.parametrize(
    ("number", "cause"),
    [
        (errno.ENOSPC, "the disk is full"),
        (errno.EROFS, "the disk is read-only"),
        (errno.EACCES, "permission denied"),
        (errno.EIO, "the disk reports a fault"),
    ],
)
def test_a_disk_that_refuses_is_a_file_problem(
    path: Path, monkeypatch: pytest.MonkeyPatch, call: str, number: int, cause: str
) -> None:
    save_job(path, titled("0"), keep=0)
    before = path.read_bytes()
    with monkeypatch.context() as patch:
        patch.setattr(os, call, _raising(number))
        with pytest.raises(FileProblem, match=f"van.loomjob: cannot be written: {cause}"):
            save_job(path, titled("1"), keep=0)
    assert path.read_bytes() == before
    assert left_in(path.parent) == {"van.loomjob"}


def test_an_interrupted_write_leaves_nothing(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    save_job(path, titled("0"))

    def interrupt(handle: int) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", interrupt)
        with pytest.raises(KeyboardInterrupt):
            write_whole(path, b"half")
    assert load_job(path).sheet.title == "0"
    assert left_in(path.parent) == {"van.loomjob"}


def _die_at(step: int, work: Callable[[], object]) -> bool:
    """Does the work in a process that ends, as if killed, before its `step`-th change on the disk.

    True where the work was done before it came to that.
    """
    child = os.fork()
    if child == 0:
        left = step

        def watch(event: str, arguments: tuple[object, ...]) -> None:
            nonlocal left
            if event in ("open", "os.rename", "os.link", "os.remove", "os.mkdir", "os.chmod"):
                left -= 1
                if left == 0:
                    os._exit(9)

        sys.addaudithook(watch)
        work()
        os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


@posix
def test_killed_at_every_step_of_a_save(path: Path) -> None:
    for number in range(7):
        save_job(path, titled(f"older {number}"))
    save_job(path, titled("old"))
    steps = 0
    while not _die_at(steps + 1, lambda: save_job(path, titled("new"))):
        steps += 1
        lock = JobLock(path)
        assert lock.mine
        lock.release()
        assert load_job(path).sheet.title in ("old", "new")
        assert len(versions(path)) in (5, 6)
        assert load_job(versions(path)[0]).sheet.title in ("older 6", "old")
        assert left_in(path.parent) == {"van.loomjob", ".van.loomjob.versions"}
        save_job(path, titled("old"))
    assert steps > 5
    assert load_job(path).sheet.title == "new"
    assert len(versions(path)) == 5


SAVE_WITHOUT_RIGHTS = """
import os, pathlib, sys
from core.errors import FileProblem
from core.files.job_file import load_job, save_job
from core.files.lock import JobLock
from core.job.document import Job
from core.job.record import JobSheet
path = pathlib.Path(sys.argv[1])
JobLock(pathlib.Path(sys.argv[2])).release()
if os.geteuid() == 0:
    os.setgid(65534)
    os.setuid(65534)
lock = JobLock(path)
print(lock.mine, lock.because)
print(load_job(path).sheet.title)
try:
    save_job(path, Job(sheet=JobSheet(title="1")))
except FileProblem as problem:
    print(problem)
"""


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that every user may enter: pytest's own is closed to others."""
    with tempfile.TemporaryDirectory() as name:
        Path(name).chmod(0o755)
        yield Path(name)


@posix
@pytest.mark.parametrize("closed", ["folder", "file"])
def test_without_the_right_to_write(open_folder: Path, root: Path, closed: str) -> None:
    path = open_folder / "closed" / "van.loomjob"
    path.parent.mkdir()
    save_job(path, titled("0"))
    path.chmod(0o444 if closed == "file" else 0o644)
    path.parent.chmod(0o777 if closed == "file" else 0o555)
    (open_folder / "free").mkdir()
    command = [sys.executable, "-c", SAVE_WITHOUT_RIGHTS, str(path), str(open_folder / "free" / "a.loomjob")]
    environment = {**os.environ, "PYTHONPATH": str(root)}
    try:
        ran = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
    finally:
        path.parent.chmod(0o755)
    first, title, said = ran.stdout.splitlines()
    reasons = {"folder": "nothing can be written beside it (permission denied)"}
    assert first == f"False {reasons.get(closed, 'the file is write-protected')}"
    assert title == "0"
    assert said.startswith(f"{path}: cannot be ")
    assert load_job(path).sheet.title == "0"
    assert {"van.loomjob"} <= left_in(path.parent) <= {"van.loomjob", ".van.loomjob.versions"}


LIMITED = """
import pathlib, resource, sys
from core.errors import FileProblem
from core.files.job_file import save_job
from tests.core.files.made import big_job
resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))
try:
    save_job(pathlib.Path(sys.argv[1]), big_job(200))
except FileProblem as problem:
    print(problem)
"""


@posix
def test_a_write_that_fails_in_the_middle(path: Path, root: Path) -> None:
    save_job(path, titled("0"), keep=0)
    environment = {**os.environ, "PYTHONPATH": str(root)}
    ran = subprocess.run(
        [sys.executable, "-c", LIMITED, str(path)],
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    assert ran.stdout.strip() == f"{path}: cannot be written: the file is too large for the disk"
    assert load_job(path).sheet.title == "0"
    assert {name for name in left_in(path.parent) if name.endswith(".tmp")} == set()


@pytest.mark.parametrize(
    ("name", "cause"),
    [
        ("none.loomjob", "there is no such file"),
        ("folder", "is a folder, not a file"),
        ("van.loomjob/deeper.loomjob", "a part of its path is no folder"),
        ("x" * 300, "the name is too long"),
        ("nul\0.loomjob", "is not a name that a file can have"),
    ],
)
def test_what_cannot_be_opened_says_why(path: Path, name: str, cause: str) -> None:
    save_job(path, titled("0"))
    (path.parent / "folder").mkdir()
    with pytest.raises(FileProblem, match=cause):
        load_job(path.parent / name)


@pytest.mark.parametrize("name", ["folder", "none/van.loomjob", "x" * 300, "nul\0.loomjob"])
def test_what_cannot_be_saved_says_why(path: Path, name: str) -> None:
    (path.parent / "folder").mkdir()
    with pytest.raises(FileProblem):
        save_job(path.parent / name, titled("0"))
    assert left_in(path.parent) == {"folder"}


def test_what_could_not_be_opened_again_is_not_saved(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    save_job(path, titled("0"))
    monkeypatch.setattr(json_text, "MOST_OBJECTS", 50)
    with pytest.raises(FileProblem, match="holds more than 50 objects"):
        save_job(path, big_job(20))
    assert load_job(path).sheet.title == "0"


@posix
def test_a_pipe_is_not_waited_for(path: Path) -> None:
    os.mkfifo(path)
    with pytest.raises(FileProblem, match="is a device or a pipe"):
        load_job(path)


def test_a_huge_file_is_not_read(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(MOST_BYTES * 20)
    with pytest.raises(FileProblem, match="is larger than 64 MB"):
        load_job(path)


def test_a_name_as_long_as_the_disk_allows(tmp_path: Path) -> None:
    path = tmp_path / ("n" * 247 + ".loomjob")
    write_whole(path, b"x")
    assert path.read_bytes() == b"x"


def test_sweeping_takes_only_what_a_writer_of_that_file_left(path: Path) -> None:
    save_job(path, titled("0"))
    mine = path.with_name(f".{path.name}~0123456789ab.tmp")
    others = [path.with_name(name) for name in (".vanity.loomjob~01.tmp", f".{path.name}.lock", "a.tmp")]
    for file in (mine, *others):
        file.write_bytes(b"")
    sweep(path)
    assert not mine.exists()
    assert all(file.exists() for file in others)
