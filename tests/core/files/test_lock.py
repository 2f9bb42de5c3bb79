"""One writer for a job; the others learn who it is; nothing stays locked after a crash."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from core.files.job_file import save_job
from core.files.lock import Holder, JobLock
from core.job.document import Job

HOLD = """
import pathlib, sys
from core.files.lock import JobLock
lock = JobLock(pathlib.Path(sys.argv[1]))
print("mine" if lock.mine else lock.because, flush=True)
sys.stdin.read()
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "van.loomjob"
    save_job(path, Job())
    return path


@contextmanager
def held_elsewhere(path: Path, root: Path, name: str = "robin") -> Iterator[subprocess.Popen[str]]:
    environment = {**os.environ, "PYTHONPATH": str(root), "LOGNAME": name}
    process = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(path)],
        env=environment,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "mine\n"
    try:
        yield process
    finally:
        process.communicate()


def test_the_second_reads_who_has_it(path: Path, root: Path) -> None:
    with held_elsewhere(path, root):
        lock = JobLock(path)
        assert not lock.mine
        assert lock.holder is not None
        assert lock.holder.name == "robin"
        assert lock.because == f"robin has it open on {lock.holder.host}"
        lock.release()
        assert not JobLock(path).mine
    again = JobLock(path)
    assert again.mine
    assert (again.holder, again.because) == (None, "")
    again.release()


def test_nothing_is_left_after_release(path: Path) -> None:
    lock = JobLock(path)
    names = {entry.name for entry in path.parent.iterdir()}
    assert names == {path.name, f".{path.name}.lock", f".{path.name}.user"}
    lock.release()
    lock.release()
    assert not lock.mine
    assert {entry.name for entry in path.parent.iterdir()} == {path.name}


@pytest.mark.skipif(os.name != "posix", reason="SIGKILL")
def test_a_killed_program_leaves_nothing_locked(path: Path, root: Path) -> None:
    with held_elsewhere(path, root) as process:
        for start in (f".{path.name}", f"..{path.name}.recovery", f"..{path.name}.user"):
            path.with_name(f"{start}~0123456789ab.tmp").write_bytes(b"half")
        process.send_signal(signal.SIGKILL)
        process.wait()
        assert path.with_name(f".{path.name}.lock").exists()
        lock = JobLock(path)
        assert lock.mine
        lock.release()
    assert {entry.name for entry in path.parent.iterdir()} == {path.name}


def test_one_process_can_open_a_job_only_once(path: Path) -> None:
    first = JobLock(path)
    second = JobLock(path)
    assert (first.mine, second.mine) == (True, False)
    first.release()
    third = JobLock(path)
    assert third.mine
    third.release()


def test_a_link_and_its_file_are_one_job(path: Path, tmp_path: Path) -> None:
    (tmp_path / "desk").mkdir()
    link = tmp_path / "desk" / "link.loomjob"
    link.symlink_to(path)
    first = JobLock(link)
    assert not JobLock(path).mine
    first.release()


@pytest.mark.parametrize(
    "said", [b"", b"[]", b"{}", b"\xff", b"[" * 4000, b'{"name":1,"host":2}', b'{"name":"x"}']
)
def test_a_damaged_name_is_not_an_error(path: Path, root: Path, said: bytes) -> None:
    with held_elsewhere(path, root):
        path.with_name(f".{path.name}.user").write_bytes(said)
        lock = JobLock(path)
        assert (lock.mine, lock.holder, lock.because) == (False, None, "somebody else has it open")


def test_a_strange_name_is_shown_on_one_short_line(path: Path, root: Path) -> None:
    with held_elsewhere(path, root):
        said = {"name": "<b>Rob\nin\x1b[2J" + "x" * 500, "host": "bench", "since": "now"}
        path.with_name(f".{path.name}.user").write_text(json.dumps(said))
        lock = JobLock(path)
        assert lock.holder == Holder(("<b>Robin[2J" + "x" * 500)[:100], "bench", "now")


def test_a_folder_that_does_not_exist_is_not_made(tmp_path: Path) -> None:
    lock = JobLock(tmp_path / "none" / "van.loomjob")
    assert (lock.mine, lock.because) == (False, "its folder does not exist")
    assert list(tmp_path.iterdir()) == []
