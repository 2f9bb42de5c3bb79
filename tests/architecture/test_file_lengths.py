"""One idea a file: the hard limits on length."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.architecture.source import ROOT, name_of, python_files

LIMIT = 400
OWN_LIMIT = {
    "app/canvas/scene.py": 250,
    "app/session.py": 250,
    "app/window.py": 250,
    "start.py": 600,
}


@pytest.mark.parametrize("file", [ROOT / "start.py", *python_files("app", "core", "tests")], ids=name_of)
def test_a_file_stays_short(file: Path) -> None:
    lines = len(file.read_text(encoding="utf-8").splitlines())
    assert lines <= OWN_LIMIT.get(name_of(file), LIMIT)
