"""The commands: what they print, and what their exit codes say."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pypdf
import pytest

from core import cli
from core.cli import FAILED, GREEN, NOT_GREEN, main
from core.files.job_file import save_job
from core.job.document import Job
from core.job.parts import Cavity, Connector, Lead, Part
from core.job.record import JobSheet
from core.job.wiring import Finish, Joint

KEYS_OF_A_CONFLICT = [
    "rule",
    "level",
    "where",
    "wires",
    "positions",
    "message",
    "why",
    "mend",
    "numbers",
    "follows_from",
    "accepted",
]


def leads(tag: str, state: str, *functions: str) -> Part:
    cavities = tuple(
        Cavity(pin=str(number), function=function, lead=Lead(colour="RD", gauge="18 AWG"))
        for number, function in enumerate(functions, start=1)
    )
    return Part.model_validate(
        {"id": tag, "name": tag, "state": state, "connectors": (Connector(name="A", cavities=cavities),)}
    )


@pytest.fixture
def green(tmp_path: Path) -> Path:
    path = tmp_path / "green.loomjob"
    save_job(path, Job(sheet=JobSheet(title="Nothing yet")))
    return path


@pytest.fixture
def red(tmp_path: Path) -> Path:
    """The battery's constant feed joined straight to ground, and one lead that nobody decided about."""
    job = Job(
        sheet=JobSheet(title="Shorted \x1b[2J van"),
        parts={
            "CAR": leads("CAR", "on the car", "constant", "ground"),
            "RAD": leads("RAD", "to fit", "accessory", "illumination"),
        },
        joints={"J1": Joint(id="J1", ends=("CAR.A-1", "CAR.A-2"))},
        finishes={"RAD.A-2": Finish(kind="capped")},
        counters={"J": 1},
    )
    path = tmp_path / "red.loomjob"
    save_job(path, job)
    return path


def test_a_green_job(green: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(green)]) == GREEN
    assert capsys.readouterr().out == "Nothing yet\nchecked\n"


def test_a_red_job_in_words(red: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(red)]) == NOT_GREEN
    said = capsys.readouterr()
    assert said.err == ""
    lines = said.out.splitlines()
    assert lines[0] == "Shorted  [2J van"
    assert lines[1].startswith("do not power: ")
    assert "\x1b" not in said.out
    assert any(line.startswith("Stop (") for line in lines)
    assert any(line.startswith("    why: ") for line in lines)
    assert any(line.startswith("    mend: ") for line in lines)
    assert "CAR-1" in said.out
    at = lines.index("To decide (1)")
    assert lines[at + 1] == "    RAD-1"


def test_json_is_one_object_of_the_promised_form(red: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(red), "--json"]) == NOT_GREEN
    said = json.loads(capsys.readouterr().out)
    assert list(said) == ["format", "job", "status", "open", "conflicts", "not_run", "positions"]
    assert (said["format"], said["status"], said["open"]) == (1, "red", ["RAD-1"])
    assert said["conflicts"]
    for conflict in said["conflicts"]:
        assert list(conflict) == KEYS_OF_A_CONFLICT
        assert conflict["level"] in ("stop", "look", "note")
    assert {"off", "run", "running"} <= set(said["positions"])


def test_json_is_the_same_each_time(red: Path, root: Path) -> None:
    said = {
        subprocess.run(
            [sys.executable, "-m", "core", "check", "--json", str(red)],
            env={**os.environ, "PYTHONHASHSEED": seed},
            cwd=root,
            capture_output=True,
            check=False,
        ).stdout
        for seed in ("1", "2", "3")
    }
    assert len(said) == 1


def test_one_position_only(red: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(red), "--json"]) == NOT_GREEN
    whole = json.loads(capsys.readouterr().out)
    assert main(["check", str(red), "--json", "--position", "off"]) == NOT_GREEN
    off = json.loads(capsys.readouterr().out)
    assert (off["status"], off["positions"]) == ("red", ["off"])
    assert off["conflicts"] == [
        c for c in whole["conflicts"] if not c["positions"] or "off" in c["positions"]
    ]
    assert len(off["conflicts"]) < len(whole["conflicts"])


def test_an_unknown_position(red: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(red), "--position", "flying"]) == FAILED
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith(f"loomwright: {red}: is not checked in a position 'flying'; its positions are")


@pytest.mark.parametrize(
    ("data", "cause"),
    [
        (None, "there is no such file or folder"),
        (b"", "is empty"),
        (b"{", "the file ends too early"),
        (b'{"format":1,"sheet":{"title":3}}', "should be text, not 3"),
        (b"\x00" * 100, "is not JSON"),
    ],
)
def test_what_cannot_be_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], data: bytes | None, cause: str
) -> None:
    path = tmp_path / "bad.loomjob"
    if data is not None:
        path.write_bytes(data)
    for command in (["check", str(path)], ["print", str(path), "-o", str(tmp_path / "x.pdf")]):
        assert main(command) == FAILED
        said = capsys.readouterr()
        assert said.out == ""
        assert said.err.startswith(f"loomwright: {path}")
        assert cause in said.err
        assert said.err.count("\n") == 1
    assert not (tmp_path / "x.pdf").exists()


def test_a_folder_is_no_job(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(tmp_path)]) == FAILED
    assert capsys.readouterr().err == f"loomwright: {tmp_path}: is a folder, not a file\n"


@pytest.mark.parametrize(
    "command",
    [[], ["fly"], ["check"], ["print", "x.loomjob"], ["check", "x.loomjob", "--paper", "a4"]],
)
def test_a_wrong_command_line(command: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(command) == FAILED
    said = capsys.readouterr()
    assert said.out == ""
    assert "usage: loomwright" in said.err


def test_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--help"]) == 0
    assert "check" in capsys.readouterr().out


def test_print_writes_the_drawing_whatever_the_status(red: Path, tmp_path: Path) -> None:
    output = tmp_path / "drawing.pdf"
    assert main(["print", str(red), "-o", str(output)]) == 0
    first = output.read_bytes()
    pages = pypdf.PdfReader(output).pages
    assert len(pages) >= 4
    assert "do not power" in pages[0].extract_text().lower()
    assert main(["print", str(red), "-o", str(output)]) == 0
    assert output.read_bytes() == first


@pytest.mark.parametrize(("paper", "size"), [("a3", (1191, 842)), ("A4", (842, 595)), ("letter", (792, 612))])
def test_paper_and_sheets(red: Path, tmp_path: Path, paper: str, size: tuple[int, int]) -> None:
    output = tmp_path / "drawing.PDF"
    assert main(["print", str(red), "-o", str(output), "--paper", paper, "--sheets", "joints"]) == 0
    (page,) = pypdf.PdfReader(output).pages
    assert (round(page.mediabox.width), round(page.mediabox.height)) == size


def test_what_cannot_be_printed(red: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = red.read_bytes()
    pdf = tmp_path / "is-the-job.pdf"
    pdf.symlink_to(red)
    (tmp_path / "folder.pdf").mkdir()
    for arguments, cause in (
        (["-o", str(red)], "should end in .pdf"),
        (["-o", str(pdf)], "is the job itself"),
        (["-o", str(tmp_path / "none" / "x.pdf")], "there is no such file or folder"),
        (["-o", str(tmp_path / "folder.pdf")], "is a folder"),
        (["-o", str(tmp_path / "x.pdf"), "--sheets", "nose"], "There is no sheet 'nose'."),
        (["-o", str(tmp_path / "x.pdf"), "--paper", "a9"], "invalid choice"),
    ):
        assert main(["print", str(red), *arguments]) == FAILED
        assert cause in capsys.readouterr().err
    assert red.read_bytes() == before
    assert not (tmp_path / "x.pdf").exists()


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (ZeroDivisionError("by zero"), "something unforeseen went wrong (ZeroDivisionError: by zero)"),
        (RecursionError(), "something unforeseen went wrong (RecursionError: )"),
        (KeyboardInterrupt(), "interrupted"),
    ],
)
def test_never_a_traceback(
    green: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    error: BaseException,
    said: str,
) -> None:
    def fail(*given: object) -> None:
        raise error

    monkeypatch.setattr(cli, "check", fail)
    assert main(["check", str(green)]) == FAILED
    heard = capsys.readouterr()
    assert said in heard.err
    assert heard.err.count("\n") == 1


def _run(root: Path, *command: str, **options: Any) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "core", *command], cwd=root, stderr=subprocess.PIPE, text=True, **options
    )


@pytest.mark.skipif(os.name != "posix", reason="pipes and devices as on POSIX")
def test_output_that_nobody_reads(red: Path, root: Path) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    ran = _run(root, "check", str(red), "--json", stdout=writer, check=False)
    os.close(writer)
    assert (ran.returncode, ran.stderr) == (FAILED, "")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full")
def test_output_on_a_full_disk(red: Path, root: Path) -> None:
    with Path("/dev/full").open("w") as full:
        ran = _run(root, "check", str(red), stdout=full, check=False)
    assert ran.returncode == FAILED
    assert ran.stderr == "loomwright: output: cannot be written: the disk is full\n"


def test_output_in_a_narrow_encoding(tmp_path: Path, root: Path) -> None:
    path = tmp_path / "omega.loomjob"
    save_job(path, Job(sheet=JobSheet(title="4 Ω 日本")))
    environment = {**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONPATH": str(root)}
    for flag in ([], ["--json"]):
        ran = _run(root, "check", str(path), *flag, stdout=subprocess.PIPE, env=environment, check=False)
        assert (ran.returncode, ran.stderr) == (0, "")
        assert "\\u03a9" in ran.stdout
