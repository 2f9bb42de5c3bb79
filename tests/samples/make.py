"""Writes the sample jobs anew: `python -m tests.samples.make`.

What the checker must say of them (`NAME.expect.json`) is written by hand.
"""

from __future__ import annotations

from pathlib import Path

from core.files import SUFFIX
from core.files.text import dump_job
from core.library import Library, load_library
from core.paths import sample_jobs_folder, shared_folder
from tests.samples.recipes import SAMPLES


def shipped_library() -> Library:
    """The library that the samples are made from: without the user's own."""
    return load_library([shared_folder()])


def made(library: Library) -> dict[str, bytes]:
    """Every sample's file name and bytes."""
    return {name + SUFFIX: dump_job(recipe(library)) for name, recipe in SAMPLES.items()}


def write(folder: Path) -> None:
    """Write every sample into `folder`."""
    for name, data in made(shipped_library()).items():
        (folder / name).write_bytes(data)


if __name__ == "__main__":
    write(sample_jobs_folder())
