"""Sets Loomwright up on this machine and opens it, or tests it. Needs nothing but Python itself.

    python3 start.py          opens the program on a sample job
    python3 start.py JOB      opens that job file
    python3 start.py test     runs every check and test

The first time it makes the folder .venv beside this file and installs the pinned packages there, and on
Debian and Ubuntu the system libraries that the window needs. Later runs find that done and start at once.
Without a screen it checks the sample job and prints its build drawing instead.
"""

import sys

OLDEST_PYTHON = (3, 11)


def python_is_too_old(major: int, minor: int) -> bool:
    return (major, minor) < OLDEST_PYTHON


if python_is_too_old(*sys.version_info[:2]):
    sys.exit(
        "Loomwright needs Python 3.11 or newer, and this is Python {}.{}: "
        "install a newer one and start this file with it.".format(*sys.version_info)
    )

import ctypes
import hashlib
import importlib.util
import os
import shlex
import shutil
import subprocess
import tempfile
import time
import xml.etree.ElementTree as ET
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent
FIRST_JOB = ROOT / "sample_jobs" / "first_light.loomjob"
DRAWING = "build_drawing.pdf"
STAMP = "loomwright.stamp"

# Debian's package for each shared library that Qt opens. Looked up by the library, so that a machine
# which has it under another package name (Debian 13, Fedora) is left alone.
QT_LIBRARIES = {
    "libglib-2.0.so.0": "libglib2.0-0",
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-shape.so.0": "libxcb-shape0",
}
COUNTS = ("tests", "failures", "errors", "skipped")  # of a JUnit report
TEST_PROGRAMS = {"Xvfb": "xvfb", "xdotool": "xdotool", "pdftoppm": "poppler-utils", "ngspice": "ngspice"}


class CannotGoOn(Exception):
    """Something the user has to do first. `str(error)` says what."""


def say(text: str) -> None:
    print(text, flush=True)


def run(command: Sequence[str | Path], env: Mapping[str, str] | None = None) -> int:
    """Runs a command in the program's folder with its output on our own, and gives its exit code."""
    words = [str(word) for word in command]
    return subprocess.run(words, cwd=ROOT, env=child_environment() if env is None else env).returncode


def child_environment() -> dict[str, str]:
    """Our environment without what would lead a venv's Python or pip to another place."""
    env = {name: value for name, value in os.environ.items() if name not in ("PYTHONHOME", "PYTHONPATH")}
    env.update(PIP_USER="0", PIP_DISABLE_PIP_VERSION_CHECK="1", PIP_NO_INPUT="1")
    for name in ("PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PIP_REQUIRE_VIRTUALENV"):
        env.pop(name, None)
    return env


# --- the system's own packages ---------------------------------------------------------------------


def library_is_there(name: str) -> bool:
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True


def venv_is_there() -> bool:
    """Debian's python3 lacks ensurepip until python3-venv is installed."""
    importlib.invalidate_caches()
    return all(importlib.util.find_spec(module) is not None for module in ("venv", "ensurepip"))


@dataclass(frozen=True)
class Missing:
    """What the system lacks: Debian's package names, and what we looked for."""

    packages: tuple[str, ...]
    sought: tuple[str, ...]


def missing_for_venv() -> Missing:
    if venv_is_there():
        return Missing((), ())
    return Missing((f"python{sys.version_info[0]}.{sys.version_info[1]}-venv",), ("ensurepip",))


def missing_for_qt() -> Missing:
    if sys.platform != "linux":  # the packages bring all there
        return Missing((), ())
    lacking = {library: package for library, package in QT_LIBRARIES.items() if not library_is_there(library)}
    return Missing(tuple(lacking.values()), tuple(lacking))


def missing_for_tests() -> Missing:
    if sys.platform != "linux":  # tests of real windows are skipped there, those of the solver need ngspice
        return Missing((), ())
    lacking = {name: package for name, package in TEST_PROGRAMS.items() if shutil.which(name) is None}
    return Missing(tuple(lacking.values()), tuple(lacking))


def together(parts: Sequence[Missing]) -> Missing:
    return Missing(
        tuple(package for part in parts for package in part.packages),
        tuple(name for part in parts for name in part.sought),
    )


def root_prefix() -> tuple[str, ...] | None:
    """What to write before a command so that it runs as root; None where we may not."""
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        return ()
    if shutil.which("sudo") is None:
        return None
    asked = subprocess.run(["sudo", "-n", "true"], stdin=subprocess.DEVNULL, capture_output=True)
    return ("sudo", "-n") if asked.returncode == 0 else None


def apt_commands(packages: Sequence[str], prefix: Sequence[str]) -> list[list[str]]:
    """Finishes an interrupted installation, reads the package lists, installs."""
    quiet = ["env", "DEBIAN_FRONTEND=noninteractive"]
    apt = [*prefix, *quiet, "apt-get", "-o", "DPkg::Lock::Timeout=120", "-o", "Dpkg::Use-Pty=0"]
    return [
        [*prefix, *quiet, "dpkg", "--configure", "-a"],
        [*apt, "update", "-qq"],
        [*apt, "install", "-y", "-qq", "--no-install-recommends", *packages],
    ]


def line_for_people(packages: Sequence[str]) -> str:
    """The one line that a person without root rights here can hand to whoever has them."""
    return "sudo apt-get update && sudo apt-get install -y --no-install-recommends " + shlex.join(packages)


def install_system_packages(missing: Missing) -> None:
    """Installs what is missing with apt. Raises CannotGoOn where that is not ours to do, or failed."""
    if not missing.packages:
        return
    if shutil.which("apt-get") is None:
        raise CannotGoOn(
            "This machine lacks " + ", ".join(missing.sought) + ". Install them with your system's own "
            "package tool, then start this again."
        )
    prefix = root_prefix()
    if prefix is None:
        raise CannotGoOn("Please run this line, then start this again:\n" + line_for_people(missing.packages))
    say("Installing system packages: " + " ".join(missing.packages))
    configure, update, install = apt_commands(missing.packages, prefix)
    run(configure)
    run(update)
    if run(install) != 0:
        raise CannotGoOn(
            "apt could not install the system packages; its own words are above. "
            "When that is mended, start this again."
        )


# --- the folder with the Python packages -----------------------------------------------------------


def base_python() -> str:
    """The Python that venvs are made from, also when we ourselves run in one."""
    return getattr(sys, "_base_executable", None) or sys.executable


def digest(requirements: str, root: Path = ROOT) -> str:
    """One line that changes with the lock files, the Python and the folder's place."""
    told = hashlib.sha256()
    for file in sorted((root / "requirements").glob("*.txt")):
        told.update(file.name.encode() + b"\0" + file.read_bytes() + b"\0")
    version = ".".join(map(str, sys.version_info[:3]))
    told.update("\0".join([version, sys.platform, base_python(), str(root)]).encode())
    return f"{requirements} {told.hexdigest()}"


@dataclass(frozen=True)
class Venv:
    """A folder with its own Python and packages.

    The stamp inside is written last and in one step, so a folder without a fitting stamp is half made
    or out of date, and is made anew.
    """

    folder: Path

    @property
    def python(self) -> Path:
        return self.folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")

    @property
    def stamp(self) -> Path:
        return self.folder / STAMP

    def holds(self, line: str) -> bool:
        try:
            return line in self.stamp.read_text(encoding="utf-8").splitlines()
        except (OSError, UnicodeDecodeError):
            return False

    def write_stamp(self, lines: Sequence[str]) -> None:
        half = self.stamp.with_name(STAMP + ".half")
        half.write_text("\n".join(lines) + "\n", encoding="utf-8")
        half.replace(self.stamp)

    def prepare(self, requirements: str, includes: Sequence[str] = ()) -> bool:
        """Installs `requirements`/NAME.txt where that is not done yet. True where there was work.

        `includes` names the lists that this one contains: a venv with one of them is added to.
        """
        wanted = digest(requirements)
        if self.holds(wanted):
            return False
        lines = [wanted, *(digest(name) for name in includes)]
        if any(self.holds(line) for line in lines):
            self.stamp.unlink()
        else:
            self.make()
        say(f"Installing the Python packages into {self.folder.name} (the first time they are downloaded)")
        self.install(requirements)
        self.write_stamp(lines)
        return True

    def make(self) -> None:
        say(f"Making {self.folder.name}")
        if self.folder.is_symlink() or self.folder.is_file():
            raise CannotGoOn(f"{self.folder} is in the way: not a folder. Move it, then start this again.")
        if not venv_is_there():
            raise CannotGoOn(f"{base_python()} cannot make venvs: it has no ensurepip. Use another Python.")
        if self.folder.exists():
            shutil.rmtree(self.folder)
        if run([base_python(), "-m", "venv", self.folder]) != 0:
            raise CannotGoOn(f"Python could not make {self.folder}; its own words are above.")

    def install(self, requirements: str) -> None:
        file = ROOT / "requirements" / f"{requirements}.txt"
        if run([self.python, "-m", "pip", "install", "--no-deps", "-r", file]) != 0:
            raise CannotGoOn(
                "pip could not install the packages; its own words are above. It needs the network and "
                "about 1 GB of disk. When that is mended, start this again."
            )


PROGRAM = Venv(ROOT / ".venv")
CORE_ONLY = Venv(ROOT / ".venv-core")  # has no Qt: proves that core needs none


# --- opening the program ---------------------------------------------------------------------------


def has_screen(env: Mapping[str, str], platform: str) -> bool:
    """Windows and macOS always have one; elsewhere an X server or a Wayland compositor must be named."""
    if platform in ("win32", "darwin"):
        return True
    return bool(env.get("DISPLAY") or env.get("WAYLAND_DISPLAY"))


def set_up_to_run(screen: bool) -> None:
    """Without a screen the window's libraries are good to have, yet no reason to stop."""
    needed = missing_for_venv()
    try:
        install_system_packages(together([needed, missing_for_qt()]))
    except CannotGoOn as reason:
        if screen or needed.packages:
            raise
        say(f"A window would need more than this machine has. {reason}\n")
    PROGRAM.prepare("run")


def open_program(job: Path) -> int:
    return run([PROGRAM.python, "-m", "app", job])


def do_main_job(job: Path, drawing: Path) -> int:
    """Without a screen: the conflicts of the job, and its build drawing. Code 0 when both were made."""
    say(f"There is no screen here, so no window opens. Checking {job.name} and printing its build drawing.\n")
    checked = run([PROGRAM.python, "-m", "core", "check", job])
    if checked not in (0, 1):
        return checked
    printed = run([PROGRAM.python, "-m", "core", "print", job, "-o", drawing])
    if printed != 0:
        return printed
    say(f"\nJob:           {job}\nBuild drawing: {drawing}")
    return 0


def start(job_name: str | None) -> int:
    job = Path(job_name).absolute() if job_name else FIRST_JOB
    if not job.is_file():
        raise CannotGoOn(f"There is no job file {job}.")
    screen = has_screen(os.environ, sys.platform)
    set_up_to_run(screen)
    return open_program(job) if screen else do_main_job(job, Path.cwd() / DRAWING)


# --- testing ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Step:
    """One part of the test run. A step that runs pytest leaves its counts in a report file."""

    name: str
    command: tuple[str | Path, ...]
    counts_tests: bool = False


@dataclass(frozen=True)
class Result:
    """How a step ended. One without counted tests counts as one itself."""

    name: str
    passed: int
    failed: int
    skipped: int
    seconds: float


def test_steps(program: Path, core_only: Path) -> list[Step]:
    lint_imports = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    return [
        Step("ruff check", (program, "-m", "ruff", "check", ".")),
        Step("ruff format", (program, "-m", "ruff", "format", "--check", ".")),
        Step("mypy", (program, "-m", "mypy")),
        Step("import rules", (program, "-c", lint_imports, "--no-logo")),
        Step("core without Qt", (core_only, "-m", "pytest", "tests/core"), counts_tests=True),
        Step("all tests", (program, "-m", "pytest"), counts_tests=True),
    ]


def read_counts(report: Path) -> tuple[int, int, int] | None:
    """Passed, failed, skipped from pytest's JUnit report; None where it wrote none."""
    try:
        suites = list(ET.parse(report).getroot().iter("testsuite"))
    except (OSError, ET.ParseError):
        return None
    sums = {key: sum(int(suite.get(key, "0")) for suite in suites) for key in COUNTS}
    failed = sums["failures"] + sums["errors"]
    return max(0, sums["tests"] - failed - sums["skipped"]), failed, sums["skipped"]


def judge(step: Step, code: int, counts: tuple[int, int, int] | None, seconds: float) -> Result:
    """A step that ended badly counts at least one failure, whatever its report says."""
    if step.counts_tests and counts is not None:
        passed, failed, skipped = counts
        return Result(step.name, passed, max(failed, int(code != 0)), skipped, seconds)
    return Result(step.name, int(code == 0), int(code != 0), 0, seconds)


def run_step(step: Step, reports: Path, runner: Callable[[Sequence[str | Path]], int]) -> Result:
    say(f"\n=== {step.name} ===")
    report = reports / f"{step.name}.xml"
    command = [*step.command, f"--junitxml={report}"] if step.counts_tests else list(step.command)
    began = time.monotonic()
    code = runner(command)
    return judge(step, code, read_counts(report), time.monotonic() - began)


def table(results: Sequence[Result]) -> str:
    """All steps with their ends, and the closing line that scripts read."""
    rows = [
        f"{result.name:<16} {'failed' if result.failed else 'passed':<7} {result.seconds:7.1f} s"
        for result in results
    ]
    passed, failed, skipped = (
        sum(getattr(result, key) for result in results) for key in ("passed", "failed", "skipped")
    )
    closing = f"{passed} passed, {failed} failed" + (f", {skipped} skipped" if skipped else "")
    return "\n".join(["", *rows, "", closing])


def test() -> int:
    install_system_packages(together([missing_for_venv(), missing_for_qt(), missing_for_tests()]))
    PROGRAM.prepare("test", includes=["run"])
    CORE_ONLY.prepare("test-core")
    with tempfile.TemporaryDirectory() as reports:
        results = [
            run_step(step, Path(reports), run) for step in test_steps(PROGRAM.python, CORE_ONLY.python)
        ]
    say(table(results))
    return int(any(result.failed for result in results))


# --- the command line ------------------------------------------------------------------------------


def main(arguments: Sequence[str]) -> int:
    if len(arguments) > 1 or (arguments and arguments[0].startswith("-")):
        say((__doc__ or "").strip())
        return 0 if arguments[0] in ("-h", "--help") else 2
    try:
        return test() if arguments == ["test"] else start(arguments[0] if arguments else None)
    except CannotGoOn as reason:
        say(str(reason))
        return 2
    except KeyboardInterrupt:
        say("\nStopped. The next start goes on from here.")
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
