"""The heavy libraries are read on first need: the window shows without them."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

pytest.importorskip("PySide6")

HEAVY = ("numpy", "scipy", "networkx", "reportlab", "pypdfium2")

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
