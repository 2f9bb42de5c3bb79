"""The main job from end to end in a real window: pointer and keys come from the X server."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

FIVE = {
    "feeds of different positions joined",
    "more volts than the part accepts",
    "speaker lead grounded",
    "no return",
    "lead that is live with no cap",
}


@pytest.mark.window
def test_join_undo_mend_and_print_by_hand(x_display: str, tmp_path: Path, root: Path) -> None:
    env = {**os.environ, "DISPLAY": x_display, "QT_QPA_PLATFORM": "xcb"}
    done = subprocess.run(
        [sys.executable, "-m", "tests.app.real.hand", str(tmp_path)],
        cwd=root,
        env=env,
        capture_output=True,
        text=True,
        timeout=180,
    )
    assert done.returncode == 0, done.stderr
    seen = json.loads(done.stdout)
    assert set(seen["at first"]) == FIVE
    assert len(seen["at first"]) == 5
    assert seen["joined"]
    assert seen["undone"]
    assert "step-down" in seen["mend"]
    assert set(seen["after the mend"]) == FIVE - {"more volts than the part accepts"}
    assert seen["printed"]
    pages = PdfReader(tmp_path / "drawing.pdf").pages
    assert len(pages) == seen["pages"] >= 4
    text = "\n".join(page.extract_text() for page in pages)
    assert "do not power: 4 stop open" in text.lower()
    assert "SDN" in text
