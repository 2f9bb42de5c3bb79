"""Ten kills. `python -m tests.kill` makes two hundred, and holds the program to one second."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.kill.killer import Killer

KILLS = 10
SECONDS_ON_A_BUSY_MACHINE = 2.0


@pytest.mark.skipif(os.name != "posix", reason="SIGKILL")
def test_work_outlives_a_killed_program(tmp_path: Path, root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(root)
    report = Killer(tmp_path, seed=7, may_lose_seconds=SECONDS_ON_A_BUSY_MACHINE).kill(KILLS)
    assert report.faults == []
    assert report.kills == KILLS
    assert report.edits > KILLS
    assert report.from_recovery > 0
