"""How soon the program is there: `python -m tests.bench.bench_start`.

Whole processes, offscreen, from start to first paint, in turn; medians, and ratios to a bare Qt window
measured in the same run. Aims: start page at most 1.6 times, a sample job at most 2.5 times a bare window.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ROUNDS = 9

BARE = """
from PySide6.QtWidgets import QApplication, QMainWindow
qt = QApplication(["bare"])
window = QMainWindow()
window.show()
window.repaint()
"""

START = """
from app.application import Application, make_qt
qt = make_qt(["loomwright"])
program = Application(qt)
program.show_start()
program._start.repaint()
"""

SAMPLE = """
from pathlib import Path
from app.application import Application, make_qt
qt = make_qt(["loomwright"])
program = Application(qt)
program.open_path(Path("sample_jobs/van_receiver.loomjob"))
window = program.windows[0]
window.repaint()
window.view.viewport().repaint()
"""


def seconds(code: str) -> float:
    """Wall time of one process that runs `code` and leaves at once."""
    environment = os.environ | {"QT_QPA_PLATFORM": "offscreen", "QT_LOGGING_RULES": "*=false"}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # as it is for people: modules are compiled once
    begin = time.perf_counter()
    subprocess.run(
        [sys.executable, "-c", code + "\nimport os\nos._exit(0)\n"],
        cwd=ROOT,
        env=environment,
        check=True,
        stderr=subprocess.DEVNULL,
    )
    return time.perf_counter() - begin


def main() -> None:
    rows: dict[str, list[float]] = {"bare window": [], "start page": [], "sample job": []}
    codes = {"bare window": BARE, "start page": START, "sample job": SAMPLE}
    for code in codes.values():
        seconds(code)
    for _ in range(ROUNDS):
        for name, code in codes.items():
            rows[name].append(seconds(code))
    bare = statistics.median(rows["bare window"])
    aims = {"start page": 1.6, "sample job": 2.5}
    for name, values in rows.items():
        middle = statistics.median(values)
        aim = f"  aim {aims[name]}" if name in aims else ""
        print(f"{name:12} {middle * 1000:7.0f} ms  {middle / bare:5.2f} x bare window{aim}")


if __name__ == "__main__":
    main()
