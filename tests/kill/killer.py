"""Kills the victim at random moments and looks for its work."""

from __future__ import annotations

import os
import random
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from core.errors import FileProblem
from core.files.job_file import KEPT_VERSIONS, load_job, save_job, versions
from core.files.lock import JobLock
from core.files.recovery import find_recovery
from core.files.unsaved import drop_unsaved, list_unsaved
from core.job.document import Job
from tests.kill.victim import fingerprint

START_SECONDS = 60
LONGEST_LIFE_SECONDS = 3.0
NEW_JOB_EVERY = 5
"""One life in so many goes to a job that was never saved."""
MARK = "LOOMWRIGHT_KILL_TEST"


class Told(NamedTuple):
    number: int
    fingerprint: str
    at: float


@dataclass
class Report:
    """What was found after the kills. `faults` is empty where every promise was kept."""

    kills: int = 0
    edits: int = 0
    from_file: int = 0
    from_recovery: int = 0
    unsaved: int = 0
    longest_loss_seconds: float = 0.0
    most_edits_lost: int = 0
    faults: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        lines = [
            f"{self.kills} kills during {self.edits} edits",
            f"found: {self.from_file} times the file, {self.from_recovery} times a recovery beside it",
            f"and {self.unsaved} times the recovery of a job that was never saved",
            f"at most {self.longest_loss_seconds:.2f} s of work lost, {self.most_edits_lost} edits",
            *self.faults,
            "every promise was kept" if not self.faults else f"{len(self.faults)} promises broken",
        ]
        return "\n".join(lines)


class Killer:
    """Works in one folder: `NAME.loomjob` lives through all kills, as a real job would."""

    def __init__(self, folder: Path, seed: int, may_lose_seconds: float = 1.0) -> None:
        self._path = folder / "work" / "van.loomjob"
        self._data = folder / "data"
        self._path.parent.mkdir(parents=True)
        self._chance = random.Random(seed)
        self._may_lose_seconds = may_lose_seconds
        self.report = Report()

    def kill(self, times: int) -> Report:
        save_job(self._path, Job())
        for number in range(1, times + 1):
            new = number % NEW_JOB_EVERY == 0
            told, killed_at = self._one_life(new)
            self.report.kills += 1
            self.report.edits += len(told) - 1
            found = self._unsaved(number) if new else self._saved(number)
            if found is not None:
                self._compare(number, found, told, killed_at)
            self._left_behind(number)
        return self.report

    def _one_life(self, new: bool) -> tuple[list[Told], float]:
        command = [sys.executable, "-m", "tests.kill.victim", str(self._chance.random())]
        environment = {
            **os.environ,
            "QT_QPA_PLATFORM": "offscreen",
            "XDG_DATA_HOME": str(self._data),
            MARK: str(self._path.parent),
        }
        victim = subprocess.Popen(
            command if new else [*command, str(self._path)], env=environment, stdout=subprocess.PIPE
        )
        assert victim.stdout is not None
        output = victim.stdout.fileno()
        try:
            first = _read(output, START_SECONDS)
            if not first:
                raise RuntimeError("the victim did not start")
            heard = first + _read_for(output, self._chance.uniform(0, LONGEST_LIFE_SECONDS))
        finally:
            killed_at = time.monotonic()
            victim.send_signal(signal.SIGKILL)
            victim.wait()
        heard += b"".join(_rest(output))
        victim.stdout.close()
        whole = heard[: heard.rfind(b"\n") + 1].decode().splitlines()
        told = [Told(int(number), of_job, float(at)) for number, of_job, at in map(str.split, whole)]
        return told, killed_at

    def _saved(self, number: int) -> Job | None:
        """The job as the window would open it: from the recovery where there is one, else from the file."""
        lock = JobLock(self._path)
        try:
            if not lock.mine:
                self._fault(number, f"the job is still locked: {lock.because}")
            recovery = find_recovery(self._path)
            self.report.from_recovery += recovery is not None
            self.report.from_file += recovery is None
            load_job(self._path)
            return load_job(recovery or self._path)
        except FileProblem as problem:
            self._fault(number, str(problem))
            return None
        finally:
            lock.release()

    def _unsaved(self, number: int) -> Job | None:
        self.report.unsaved += 1
        unsaved = list_unsaved(self._data / "loomwright" / "unsaved")
        if not unsaved:
            return Job()
        if len(unsaved) > 1:
            self._fault(number, f"{len(unsaved)} unsaved jobs where there was one")
        try:
            return load_job(unsaved[0].path)
        except FileProblem as problem:
            self._fault(number, str(problem))
            return None
        finally:
            drop_unsaved(unsaved[0])

    def _compare(self, number: int, found: Job, told: list[Told], killed_at: float) -> None:
        by_number = {one.number: one for one in told}
        edit = int(found.sheet.note or 0)
        if edit not in by_number:
            self._fault(number, f"edit {edit} was found, but {told[0].number} to {told[-1].number} were made")
            return
        if by_number[edit].fingerprint != fingerprint(found):
            self._fault(number, f"the job of edit {edit} is not as it was")
        missing = [one for one in told if one.number > edit]
        if missing:
            loss = killed_at - missing[0].at
            self.report.longest_loss_seconds = max(self.report.longest_loss_seconds, loss)
            self.report.most_edits_lost = max(self.report.most_edits_lost, len(missing))
            if loss > self._may_lose_seconds:
                self._fault(number, f"{loss:.2f} s of work are missing, {len(missing)} edits")

    def _left_behind(self, number: int) -> None:
        hidden = {f".{self._path.name}.recovery", f".{self._path.name}.versions"}
        for file in self._path.parent.iterdir():
            if file != self._path and file.name not in hidden:
                self._fault(number, f"{file.name} was left behind")
        for file in self._data.rglob("*"):
            if file.is_file():
                self._fault(number, f"{file.name} was left in the user's folder")
        if len(versions(self._path)) > KEPT_VERSIONS:
            self._fault(number, f"{len(versions(self._path))} versions are kept")
        for process in _marked(str(self._path.parent)):
            self._fault(number, f"process {process} was left running")

    def _fault(self, number: int, what: str) -> None:
        self.report.faults.append(f"kill {number}: {what}")


def _read(output: int, seconds: float) -> bytes:
    ready, _, _ = select.select([output], [], [], seconds)
    return os.read(output, 1 << 16) if ready else b""


def _read_for(output: int, seconds: float) -> bytes:
    """What is told during that time: the reading goes on, so that the victim never waits for its killer."""
    heard = b""
    end = time.monotonic() + seconds
    while (left := end - time.monotonic()) > 0:
        heard += _read(output, left)
    return heard


def _rest(output: int) -> Iterator[bytes]:
    while piece := os.read(output, 1 << 16):
        yield piece


def _marked(mark: str) -> list[str]:
    """Processes that carry our mark in their environment. Linux only; elsewhere none."""
    wanted = f"{MARK}={mark}\0".encode()
    found = []
    for process in Path("/proc").glob("[0-9]*"):
        try:
            if wanted in (process / "environ").read_bytes():
                found.append(process.name)
        except OSError:
            continue  # gone, or not ours
    return found
