"""start.py's set-up: which folder is made anew, which system packages are asked for, and by whom."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from pathlib import Path

import pytest

import start
from start import CannotGoOn, Missing, Venv

NOTHING = Missing((), ())
QT = Missing(("libegl1",), ("libEGL.so.1",))
ENSUREPIP = Missing(("python3.11-venv",), ("ensurepip",))


class FakeRunner:
    """Stands for every command: notes it, does what a venv or pip would leave, may fail or be stopped."""

    def __init__(self) -> None:
        self.commands: list[list[str]] = []
        self.fails_at = ""
        self.stopped_at = ""

    def __call__(self, command: Sequence[str | Path]) -> int:
        words = [str(word) for word in command]
        self.commands.append(words)
        if self.stopped_at and self.stopped_at in words:
            raise KeyboardInterrupt
        if "venv" in words:
            Path(words[-1]).mkdir()
        return 1 if self.fails_at and self.fails_at in words else 0

    def ran(self, word: str) -> int:
        return sum(word in command for command in self.commands)


@pytest.fixture
def runner(monkeypatch: pytest.MonkeyPatch) -> FakeRunner:
    fake = FakeRunner()
    monkeypatch.setattr(start, "run", fake)
    monkeypatch.setattr(start, "venv_is_there", lambda: True)
    return fake


@pytest.fixture
def venv(tmp_path: Path, runner: FakeRunner) -> Venv:
    return Venv(tmp_path / ".venv")


def test_the_first_time_it_is_made_and_filled(venv: Venv, runner: FakeRunner) -> None:
    assert venv.prepare("run")
    assert runner.ran("venv") == 1
    (install,) = (command for command in runner.commands if "pip" in command)
    assert install[0] == str(venv.python)
    assert install[-1].endswith("run.txt")
    assert "--no-deps" in install


def test_the_second_time_nothing_runs(venv: Venv, runner: FakeRunner) -> None:
    venv.prepare("run")
    runner.commands.clear()
    assert not venv.prepare("run")
    assert runner.commands == []


@pytest.mark.parametrize("stopped_at", ["venv", "pip"])
def test_a_half_made_one_is_made_anew(venv: Venv, runner: FakeRunner, stopped_at: str) -> None:
    runner.stopped_at = stopped_at
    with pytest.raises(KeyboardInterrupt):
        venv.prepare("run")
    venv.folder.mkdir(exist_ok=True)
    leftover = venv.folder / "half a package"
    leftover.touch()
    runner.stopped_at = ""
    assert venv.prepare("run")
    assert not leftover.exists()
    assert not venv.prepare("run")


@pytest.mark.parametrize(("fails_at", "word"), [("venv", "could not make"), ("pip", "pip could not install")])
def test_a_failure_is_told_and_not_stamped(venv: Venv, runner: FakeRunner, fails_at: str, word: str) -> None:
    runner.fails_at = fails_at
    with pytest.raises(CannotGoOn, match=word):
        venv.prepare("run")
    assert not venv.stamp.exists()


def test_tests_add_to_what_runs(venv: Venv, runner: FakeRunner) -> None:
    venv.prepare("run")
    assert venv.prepare("test", includes=["run"])
    assert runner.ran("venv") == 1
    assert not venv.prepare("run")
    assert not venv.prepare("test", includes=["run"])


def test_stopped_while_adding_it_is_made_anew(venv: Venv, runner: FakeRunner) -> None:
    venv.prepare("run")
    runner.stopped_at = "pip"
    with pytest.raises(KeyboardInterrupt):
        venv.prepare("test", includes=["run"])
    runner.stopped_at = ""
    assert venv.prepare("run")
    assert runner.ran("venv") == 2


def test_another_lock_or_place_makes_it_anew(tmp_path: Path) -> None:
    lists = tmp_path / "requirements"
    lists.mkdir()
    (lists / "run.txt").write_text("numpy==1\n")
    before = start.digest("run", tmp_path)
    assert start.digest("run", tmp_path) == before
    assert start.digest("test", tmp_path) != before
    (lists / "run.txt").write_text("numpy==2\n")
    assert start.digest("run", tmp_path) != before
    moved = tmp_path.with_name(tmp_path.name + "2")
    (lists / "run.txt").write_text("numpy==1\n")
    tmp_path.rename(moved)
    assert start.digest("run", moved) != before


@pytest.mark.parametrize("content", [b"", b"\xff\xfe", b"run of something else\n"])
def test_a_spoilt_stamp_counts_as_none(venv: Venv, runner: FakeRunner, content: bytes) -> None:
    venv.folder.mkdir()
    venv.stamp.write_bytes(content)
    assert venv.prepare("run")
    assert runner.ran("venv") == 1


def test_a_file_in_the_way_is_left_alone(venv: Venv, runner: FakeRunner) -> None:
    venv.folder.write_text("mine")
    with pytest.raises(CannotGoOn, match="in the way"):
        venv.prepare("run")
    assert venv.folder.read_text() == "mine"


def test_a_python_that_cannot_make_venvs_is_told(venv: Venv, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(start, "venv_is_there", lambda: False)
    with pytest.raises(CannotGoOn, match="ensurepip"):
        venv.prepare("run")


def test_children_get_no_foreign_python(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PYTHONPATH", "elsewhere")
    monkeypatch.setenv("PIP_TARGET", "elsewhere")
    monkeypatch.setenv("PIP_USER", "1")
    env = start.child_environment()
    assert "PYTHONPATH" not in env
    assert "PIP_TARGET" not in env
    assert env["PIP_USER"] == "0"


# --- the system's packages


def tools(monkeypatch: pytest.MonkeyPatch, *there: str, user: int = 0, sudo_code: int = 0) -> None:
    """A machine with these programs, for this user."""
    monkeypatch.setattr(start.shutil, "which", lambda name: name if name in there else None)
    monkeypatch.setattr(start.os, "geteuid", lambda: user, raising=False)
    monkeypatch.setattr(
        start.subprocess, "run", lambda words, **_: subprocess.CompletedProcess(words, sudo_code)
    )


def test_nothing_missing_runs_nothing(runner: FakeRunner) -> None:
    start.install_system_packages(NOTHING)
    assert runner.commands == []


def test_root_installs(runner: FakeRunner, monkeypatch: pytest.MonkeyPatch) -> None:
    tools(monkeypatch, "apt-get")
    start.install_system_packages(QT)
    assert [command[0] for command in runner.commands] == ["env"] * 3
    assert "update" in runner.commands[-2]
    assert runner.commands[-1][-1] == "libegl1"


def test_sudo_without_password_installs(runner: FakeRunner, monkeypatch: pytest.MonkeyPatch) -> None:
    tools(monkeypatch, "apt-get", "sudo", user=1000)
    start.install_system_packages(QT)
    assert all(command[:2] == ["sudo", "-n"] for command in runner.commands)


@pytest.mark.parametrize("programs", [("apt-get",), ("apt-get", "sudo")])
def test_others_get_the_one_line(
    runner: FakeRunner, monkeypatch: pytest.MonkeyPatch, programs: tuple[str, ...]
) -> None:
    tools(monkeypatch, *programs, user=1000, sudo_code=1)
    with pytest.raises(CannotGoOn) as told:
        start.install_system_packages(QT)
    line = str(told.value).splitlines()[-1]
    assert line == ("sudo apt-get update && sudo apt-get install -y --no-install-recommends libegl1")
    assert runner.commands == []


def test_a_machine_without_apt_is_told_what_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    tools(monkeypatch)
    with pytest.raises(CannotGoOn, match=r"libEGL\.so\.1"):
        start.install_system_packages(QT)


def test_apt_failing_is_told(runner: FakeRunner, monkeypatch: pytest.MonkeyPatch) -> None:
    tools(monkeypatch, "apt-get")
    runner.fails_at = "install"
    with pytest.raises(CannotGoOn, match="apt could not"):
        start.install_system_packages(QT)


@pytest.mark.parametrize(
    ("screen", "for_venv", "stops"),
    [(True, NOTHING, True), (False, NOTHING, False), (False, ENSUREPIP, True)],
)
def test_without_a_screen_only_the_venv_is_needed(
    runner: FakeRunner,
    venv: Venv,
    monkeypatch: pytest.MonkeyPatch,
    screen: bool,
    for_venv: Missing,
    stops: bool,
) -> None:
    tools(monkeypatch, "apt-get", user=1000)
    monkeypatch.setattr(start, "missing_for_venv", lambda: for_venv)
    monkeypatch.setattr(start, "missing_for_qt", lambda: QT)
    monkeypatch.setattr(start, "PROGRAM", venv)
    if stops:
        with pytest.raises(CannotGoOn, match="libegl1"):
            start.set_up_to_run(screen)
    else:
        start.set_up_to_run(screen)
    assert venv.stamp.exists() is not stops


def test_missing_libraries_and_programs_are_named_by_package(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(start.sys, "platform", "linux")
    monkeypatch.setattr(start, "library_is_there", lambda name: name != "libxcb-cursor.so.0")
    monkeypatch.setattr(start.shutil, "which", lambda name: None if name == "pdftoppm" else name)
    assert start.missing_for_qt().packages == ("libxcb-cursor0",)
    assert start.missing_for_tests() == Missing(("poppler-utils",), ("pdftoppm",))
    monkeypatch.setattr(start.sys, "platform", "darwin")
    assert start.missing_for_qt() == start.missing_for_tests() == NOTHING


def test_a_library_is_looked_up_for_real() -> None:
    assert not start.library_is_there("libno-such-thing.so.9")
