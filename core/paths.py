"""Where the program's own folders are, in a checkout and after an installation."""

from __future__ import annotations

from pathlib import Path

import platformdirs

_ROOT = Path(__file__).resolve().parent.parent


def shared_folder() -> Path:
    """The library that ships with the program: connectors, parts, tables, limits."""
    return _ROOT / "shared"


def resources_folder() -> Path:
    """Icons, theme, fonts and the desktop file."""
    return _ROOT / "resources"


def sample_jobs_folder() -> Path:
    """The invented jobs that ship with the program."""
    return _ROOT / "sample_jobs"


def unsaved_folder() -> Path:
    """Where recoveries of jobs without a place of their own are kept. It need not exist."""
    return platformdirs.user_data_path("loomwright", appauthor=False) / "unsaved"


def user_library_folder() -> Path:
    """The user's own library, read after the shipped one. It need not exist."""
    return platformdirs.user_data_path("loomwright", appauthor=False) / "shared"
