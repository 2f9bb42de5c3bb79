"""What all tests share. Nothing here imports Qt: core's tests also run where there is none."""

from __future__ import annotations

import atexit
import os
import select
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

# Most screen tests need no X server. Those that do take `x_display` and start a process of their own.
os.environ["QT_QPA_PLATFORM"] = "offscreen"
os.environ["PYTEST_QT_API"] = "pyside6"

# No test reads or changes the settings, library and recovery files of whoever runs it.
_own_folders = tempfile.TemporaryDirectory(prefix="loomwright-tests-")
atexit.register(_own_folders.cleanup)
for _kind in ("CONFIG", "DATA", "STATE", "CACHE"):
    os.environ[f"XDG_{_kind}_HOME"] = str(Path(_own_folders.name) / _kind.lower())

settings.register_profile("house", deadline=None, derandomize="CI" in os.environ)
settings.load_profile("house")

X_START_SECONDS = 30


@pytest.fixture(scope="session")
def root() -> Path:
    """The folder of the repository."""
    return Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def x_display() -> Iterator[str]:
    """The name of an X display of our own, for a process that opens real windows: DISPLAY and xcb."""
    if sys.platform != "linux":
        pytest.skip("an X server is started on Linux only")
    if shutil.which("Xvfb") is None:
        pytest.fail("Xvfb is missing: `python3 start.py test` installs it")
    reader, writer = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writer), "-screen", "0", "1600x1000x24", "-nolisten", "tcp"],
        pass_fds=[writer],
        stderr=subprocess.DEVNULL,
    )
    os.close(writer)
    try:
        ready, _, _ = select.select([reader], [], [], X_START_SECONDS)
        number = os.read(reader, 16).decode().strip() if ready else ""
        if not number:
            pytest.fail(f"Xvfb did not start within {X_START_SECONDS} s")
        yield f":{number}"
    finally:
        os.close(reader)
        server.terminate()
        server.wait(timeout=X_START_SECONDS)


_status = 0


def pytest_sessionfinish(exitstatus: int) -> None:
    global _status
    _status = int(exitstatus)


@pytest.hookimpl(trylast=True)
def pytest_unconfigure() -> None:
    """Leave before Qt's offscreen clipboard touches, after Python is gone, what was copied, and crashes."""
    if "PySide6.QtWidgets" in sys.modules:
        _own_folders.cleanup()
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(_status)
