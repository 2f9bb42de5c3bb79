"""The heavy libraries are read on first need: the window shows without them."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

pytest.importorskip("PySide6")

HEAVY = ("pydantic", "numpy", "scipy", "networkx", "reportlab", "openpyxl", "pypdfium2")

# Runs the program's own main, with an event loop that ends as soon as a window shows.
SHOW = """
import os, sys
from PySide6.QtWidgets import QApplication

heavy, sys.argv = sys.argv[1:], ["loomwright"]

def until_a_window_shows(*_):
    while not any(widget.isVisible() for widget in QApplication.topLevelWidgets()):
        QApplication.processEvents()
    print("shown without", *(name for name in heavy if name not in sys.modules), flush=True)
    os._exit(0)

QApplication.exec = until_a_window_shows
from app.settings import Settings
Settings().mark_run()  # the first run opens a sample job; later ones the start page
from app.__main__ import main
sys.exit(main())
"""


def test_the_window_shows_without_the_heavy_libraries(root: Path) -> None:
    shown = subprocess.run(
        [sys.executable, "-c", SHOW, *HEAVY], cwd=root, capture_output=True, text=True, timeout=30
    )
    assert shown.returncode == 0, shown.stderr
    assert shown.stdout.splitlines()[-1].split() == ["shown", "without", *HEAVY]


JOB = """
import sys
from pathlib import Path
from PySide6.QtCore import QSettings
from app.application import Application, make_qt
from app.settings import Settings

program = Application(make_qt(["loomwright"]), Settings(QSettings(sys.argv[1], QSettings.Format.IniFormat)))
program.open_path(Path(sys.argv[2]))
print("shown without", *(name for name in sys.argv[3:] if name not in sys.modules), flush=True)
window = program.windows[0]
window.close()
"""


def test_a_job_shows_before_the_rules_and_the_printer_are_read(root: Path, tmp_path: Path) -> None:
    late = ("scipy", "networkx", "reportlab", "openpyxl", "pypdfium2")
    sample = root / "sample_jobs" / "van_receiver.loomjob"
    command = [sys.executable, "-c", JOB, str(tmp_path / "s.ini"), str(sample), *late]
    shown = subprocess.run(command, cwd=root, capture_output=True, text=True, timeout=60)
    assert shown.returncode == 0, shown.stderr
    assert shown.stdout.splitlines()[-1].split() == ["shown", "without", *late]
