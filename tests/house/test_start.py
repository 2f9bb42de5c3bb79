"""start.py's command line: opening a job, the main job without a screen, and the verdict of a test run."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

import start
from start import Result, Step


def test_it_needs_nothing_but_python(root: Path) -> None:
    tree = ast.parse((root / "start.py").read_text(encoding="utf-8"))
    named = {
        name.partition(".")[0]
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for name in (
            [alias.name for alias in node.names] if isinstance(node, ast.Import) else [node.module or ""]
        )
    }
    assert named <= sys.stdlib_module_names


@pytest.mark.parametrize(("version", "old"), [((3, 10), True), ((3, 11), False), ((4, 0), False)])
def test_an_old_python_is_refused(version: tuple[int, int], old: bool) -> None:
    assert start.python_is_too_old(*version) is old


def test_the_check_of_the_python_comes_before_newer_syntax(root: Path) -> None:
    """Python 3.7 reads the whole file before it runs the first line."""
    ast.parse((root / "start.py").read_text(encoding="utf-8"), feature_version=(3, 7))


@pytest.mark.parametrize(
    ("env", "platform", "screen"),
    [
        ({"DISPLAY": ":0"}, "linux", True),
        ({"WAYLAND_DISPLAY": "wayland-0"}, "linux", True),
        ({"DISPLAY": ""}, "linux", False),
        ({}, "linux", False),
        ({}, "win32", True),
        ({}, "darwin", True),
    ],
)
def test_whether_there_is_a_screen(env: dict[str, str], platform: str, screen: bool) -> None:
    assert start.has_screen(env, platform) is screen


class Machine:
    """A machine that is set up; notes the commands and answers with the codes given."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, codes: dict[str, int]) -> None:
        self.commands: list[list[str]] = []
        self.codes = codes
        monkeypatch.setattr(start, "set_up_to_run", lambda screen: None)
        monkeypatch.setattr(start, "run", self.run)

    def run(self, command: Sequence[str | Path]) -> int:
        words = [str(word) for word in command]
        self.commands.append(words)
        return next((code for word, code in self.codes.items() if word in words), 0)


@pytest.fixture
def job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    file = tmp_path / "bench.loomjob"
    file.touch()
    monkeypatch.chdir(tmp_path)
    return file


def test_with_a_screen_the_window_opens(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    machine = Machine(monkeypatch, {"app": 7})
    monkeypatch.setattr(start, "has_screen", lambda env, platform: True)
    assert start.main([job.name]) == 7
    assert machine.commands == [[str(start.PROGRAM.python), "-m", "app", str(job)]]


@pytest.mark.parametrize(
    ("codes", "code", "commands"),
    [
        ({"check": 0}, 0, ["check", "print"]),
        ({"check": 1}, 0, ["check", "print"]),  # a job with conflicts is checked and printed all the same
        ({"check": 2}, 2, ["check"]),
        ({"check": 1, "print": 2}, 2, ["check", "print"]),
    ],
)
def test_without_a_screen_the_main_job_is_done(
    job: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    codes: dict[str, int],
    code: int,
    commands: list[str],
) -> None:
    machine = Machine(monkeypatch, codes)
    monkeypatch.setattr(start, "has_screen", lambda env, platform: False)
    assert start.main([job.name]) == code
    assert [command[3] for command in machine.commands] == commands
    told = capsys.readouterr().out
    assert "no screen" in told
    assert (str(job.parent / "build_drawing.pdf") in told) is (code == 0)


def test_a_job_that_is_not_there_is_named(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert start.main(["nowhere.loomjob"]) == 2
    assert "nowhere.loomjob" in capsys.readouterr().out


@pytest.mark.parametrize(("words", "code"), [(["--help"], 0), (["--speed"], 2), (["a", "b"], 2)])
def test_help_names_both_commands(words: list[str], code: int, capsys: pytest.CaptureFixture[str]) -> None:
    assert start.main(words) == code
    told = capsys.readouterr().out
    assert "start.py JOB" in told
    assert "start.py test" in told


def test_being_stopped_is_no_traceback(monkeypatch: pytest.MonkeyPatch, job: Path) -> None:
    def stopped(screen: bool) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(start, "set_up_to_run", stopped)
    assert start.main([job.name]) == 130


def test_the_window_and_the_command_begin_with_the_same_job() -> None:
    application = pytest.importorskip("app.application", exc_type=ImportError)
    assert start.FIRST_JOB.name == application.FIRST_JOB
    assert start.FIRST_JOB.parent == application.sample_jobs_folder()


# --- the verdict of a test run


@pytest.mark.parametrize(
    ("counts_tests", "code", "counts", "verdict"),
    [
        (False, 0, None, (1, 0, 0)),
        (False, 2, None, (0, 1, 0)),
        (True, 0, (40, 0, 2), (40, 0, 2)),
        (True, 1, (38, 2, 2), (38, 2, 2)),
        (True, 1, (40, 0, 0), (40, 1, 0)),  # ended badly although no test failed
        (True, 3, None, (0, 1, 0)),  # died before it wrote a report
    ],
)
def test_how_a_step_is_judged(
    counts_tests: bool,
    code: int,
    counts: tuple[int, int, int] | None,
    verdict: tuple[int, int, int],
) -> None:
    result = start.judge(Step("s", (), counts_tests), code, counts, 0.0)
    assert (result.passed, result.failed, result.skipped) == verdict


def test_counts_come_from_pytest_itself(tmp_path: Path) -> None:
    (tmp_path / "test_four.py").write_text(
        "import pytest\n"
        "def test_good(): pass\n"
        "def test_bad(): assert False\n"
        "def test_skipped(): pytest.skip('why not')\n"
        "@pytest.fixture\n"
        "def broken(): raise ValueError\n"
        "def test_error(broken): pass\n"
    )
    step = Step(
        "four", (sys.executable, "-m", "pytest", "-p", "no:cacheprovider", tmp_path), counts_tests=True
    )
    result = start.run_step(
        step, tmp_path, lambda words: subprocess.run(words, cwd=tmp_path, capture_output=True).returncode
    )
    assert (result.passed, result.failed, result.skipped) == (1, 2, 1)


def test_no_report_means_no_counts(tmp_path: Path) -> None:
    assert start.read_counts(tmp_path / "none.xml") is None
    (tmp_path / "half.xml").write_text("<testsuites><testsuite te")
    assert start.read_counts(tmp_path / "half.xml") is None


def test_the_last_line_adds_all_up() -> None:
    text = start.table([Result("mypy", 0, 1, 0, 2.0), Result("all tests", 40, 0, 3, 9.0)])
    assert text.splitlines()[-1] == "40 passed, 1 failed, 3 skipped"
    assert "mypy             failed" in text


@pytest.mark.parametrize("failing", ["ruff", "pytest", ""])
def test_all_steps_run_and_one_failure_is_enough(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], failing: str
) -> None:
    ran: list[list[str]] = []

    def run(command: Sequence[str | Path]) -> int:
        ran.append([str(word) for word in command])
        return int(failing in ran[-1])

    monkeypatch.setattr(start, "run", run)
    monkeypatch.setattr(start, "install_system_packages", lambda missing: None)
    monkeypatch.setattr(start.Venv, "prepare", lambda self, name, includes=(): False)
    assert start.main(["test"]) == int(bool(failing))
    assert len(ran) == len(start.test_steps(Path(), Path()))
    assert capsys.readouterr().out.rstrip().splitlines()[-1].endswith("failed")
