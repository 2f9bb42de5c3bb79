"""What the screen's tests share."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.application import Application, make_qt
from app.session import Session
from app.settings import Settings
from app.window import JobWindow
from core.job.document import Job
from core.library.library import Library
from core.library.loader import default_library


@pytest.fixture(scope="session")
def library() -> Library:
    return default_library()


@pytest.fixture(scope="session")
def qapp() -> Iterator[QApplication]:
    """The program's own application: type, palette and style as the user has them."""
    application = make_qt(["loomwright"])
    yield application
    application.clipboard().clear()  # else Qt touches what was copied after Python is gone


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat))


@pytest.fixture
def session(qapp: QApplication, library: Library) -> Session:
    return Session(Job(), library)


@pytest.fixture
def program(qtbot: QtBot, qapp: QApplication, settings: Settings) -> Iterator[Application]:
    """The running program without its crash guard; its windows are closed without a question."""
    settings.theme = "light"
    running = Application(qapp, settings)
    yield running
    for window in list(running.windows):
        window.session.mark_saved(window.session.job)
        window.close()


@pytest.fixture
def open_window(qtbot: QtBot, program: Application) -> Callable[[Job], JobWindow]:
    """Opens a job in a window of the size of a small laptop's screen."""

    def opened(job: Job) -> JobWindow:
        program.open_job(job)
        window = program.windows[-1]
        window.resize(1366, 768)
        qtbot.waitExposed(window)
        window.view.fit()
        assert window.checks.wait_until_idle()
        return window

    return opened
