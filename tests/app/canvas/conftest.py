"""A map on a small job, shown in a window of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from pytestqt.qtbot import QtBot

from app.canvas.view import MapView
from app.session import Session
from app.theme import load_tokens
from core.job.document import Job
from core.library.library import Library
from tests.app.canvas.hands import shown
from tests.app.jobs import joined_job

ShowMap = Callable[[Job], MapView]


@pytest.fixture
def show_map(qtbot: QtBot, library: Library) -> Iterator[ShowMap]:
    """Shows a job on a map of the size of a small laptop's screen."""
    views: list[MapView] = []

    def show(job: Job) -> MapView:
        view = shown(qtbot, MapView(Session(job, library), load_tokens("light")))
        views.append(view)
        return view

    yield show
    for view in views:
        view.cancel()


@pytest.fixture
def view(show_map: ShowMap, library: Library) -> MapView:
    """A radio plug, a receiver and a ground point; constant and ground are joined."""
    return show_map(joined_job(library))
