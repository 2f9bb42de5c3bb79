"""Where the program's own folders are, in a checkout and after an installation."""

from __future__ import annotations

from pathlib import Path

_ROOT = Path(__file__).resolve().parent.parent


def shared_folder() -> Path:
    return _ROOT / "shared"


def resources_folder() -> Path:
    return _ROOT / "resources"


def sample_jobs_folder() -> Path:
    return _ROOT / "sample_jobs"
