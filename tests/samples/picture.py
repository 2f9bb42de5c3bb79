"""The picture in the README, taken from the running program: `python -m tests.samples.picture [FILE]`."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication

from app.application import Application, make_qt
from app.settings import Settings
from core.paths import resources_folder, sample_jobs_folder

SIZE = (1600, 960)
SHOWN = "more volts than the part accepts"


def main() -> None:
    target = Path(sys.argv[1]) if sys.argv[1:] else resources_folder() / "pictures" / "map.png"
    with tempfile.TemporaryDirectory() as folder:
        settings = Settings(QSettings(str(Path(folder) / "s.ini"), QSettings.Format.IniFormat))
        settings.theme = "light"
        program = Application(make_qt(["loomwright"]), settings)
        program.open_path(sample_jobs_folder() / "van_five_mistakes.loomjob")
        window = program.windows[0]
        window.resize(*SIZE)
        QApplication.processEvents()
        window.checks.wait_until_idle()
        window.view.fit()
        result = window.session.result
        assert result is not None
        window.view.show_conflict(next(c for c in result.unfolded() if c.rule == SHOWN))
        for _ in range(20):
            QApplication.processEvents()
        window.view.backdrop.finish()
        target.parent.mkdir(parents=True, exist_ok=True)
        window.grab().save(str(target))
        window.close()


if __name__ == "__main__":
    main()
