"""The system libraries that start.py installs are enough for a real window."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

pytest.importorskip("PySide6")

SHOW = """
from PySide6.QtGui import QGuiApplication, QRasterWindow

class Window(QRasterWindow):
    def paintEvent(self, event):
        print(QGuiApplication.platformName())
        QGuiApplication.quit()

application = QGuiApplication([])
window = Window()
window.show()
application.exec()
"""


@pytest.mark.window
def test_a_window_is_painted_on_an_x_server(x_display: str) -> None:
    env = {**os.environ, "DISPLAY": x_display, "QT_QPA_PLATFORM": "xcb"}
    shown = subprocess.run([sys.executable, "-c", SHOW], env=env, capture_output=True, text=True, timeout=60)
    assert shown.returncode == 0, shown.stderr
    assert shown.stdout.strip() == "xcb"
