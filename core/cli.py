"""The commands that need no screen: check a job, list its expected readings, print its build drawing.

What was asked for goes to the output; errors go to the error stream, as `loomwright: FILE, place: cause`.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import logging
import os
import sys
import textwrap
from collections.abc import Iterable, Iterator
from pathlib import Path

from core.checks.finding import LEVELS, CheckResult, Conflict
from core.checks.report import describe, status_words
from core.checks.runner import check
from core.circuit.engine import Engine
from core.circuit.positions import KEYS, position
from core.circuit.report import described, table
from core.drawing.build import SHEETS, print_pdf
from core.drawing.paper import PAPERS
from core.errors import FileProblem, UserError
from core.files.atomic import problem, real_path, write_whole
from core.files.job_file import load_job
from core.job.internals.common import STANDARD_SWITCHES
from core.library.loader import default_library
from core.net.graph import build

PROGRAM = "loomwright"
GREEN, NOT_GREEN, FAILED = 0, 1, 2
_WIDTH = 100


def main(argv: list[str] | None = None) -> int:
    """Runs one command and gives its exit code: 0 done and green, 1 not green, 2 not readable or not done."""
    with contextlib.suppress(AttributeError, io.UnsupportedOperation):
        sys.stdout.reconfigure(errors="backslashreplace")  # type: ignore[union-attr]
    # A rule that fails is part of the answer ("not run, because"): its traceback is for the window's log.
    logging.getLogger("core").addHandler(logging.NullHandler())
    try:
        code = _run(sys.argv[1:] if argv is None else argv)
        sys.stdout.flush()
    except BrokenPipeError:
        _forget_output()
        return FAILED
    except OSError as error:
        _forget_output()
        return _failed(problem(Path("output"), error, "cannot be written"))
    except KeyboardInterrupt:
        return _failed("interrupted")
    return code


def _run(argv: list[str]) -> int:
    try:
        arguments = _parser().parse_args(argv)
    except SystemExit as asked:
        return asked.code if isinstance(asked.code, int) else FAILED
    job = Path(arguments.job)
    try:
        if arguments.command == "check":
            return _check(job, arguments.json, arguments.position)
        if arguments.command == "readings":
            return _readings(job, arguments.json, arguments.position, arguments.bench)
        return _print(job, Path(arguments.output), arguments.paper, arguments.sheets)
    except UserError as error:
        return _failed(error)
    except OSError:  # of the output: core.files makes a FileProblem of every other
        raise
    except Exception as error:
        return _failed(
            f"{_plain(str(job))}: something unforeseen went wrong ({type(error).__name__}: {error})"
        )


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog=PROGRAM, description="Wiring jobs from the command line.")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    checking = commands.add_parser(
        "check",
        help="conflicts, and what is to decide",
        description="Prints the conflicts of a job and what is to decide. Exit code: 0 where the status is "
        "green, 1 where it is red or amber, 2 where the job cannot be read or checked.",
    )
    checking.add_argument("job", metavar="JOB", help="a .loomjob file")
    checking.add_argument("--json", action="store_true", help="print one JSON object")
    checking.add_argument(
        "--position",
        metavar="NAME",
        help="only conflicts of this position, such as run or running+lights; the status stays that of all",
    )

    reading = commands.add_parser(
        "readings",
        help="expected reading at every terminal and wire",
        description="Prints the volts to expect at every terminal and joint, against battery negative, and "
        "the amps in every wire. Exit code: 0, or 2 where the job cannot be read.",
    )
    reading.add_argument("job", metavar="JOB", help="a .loomjob file")
    reading.add_argument("--json", action="store_true", help="print one JSON object")
    reading.add_argument(
        "--position",
        metavar="NAME",
        help="only this position: run, running+lights, or with a switch or a held button of the job's own",
    )
    reading.add_argument(
        "--bench", action="store_true", help="with the supply on the bench in place of the car's battery"
    )

    printing = commands.add_parser(
        "print",
        help="build drawing as a PDF",
        description="Writes the build drawing of a job. Exit code: 0 where it was written, 2 where not.",
    )
    printing.add_argument("job", metavar="JOB", help="a .loomjob file")
    printing.add_argument("-o", dest="output", metavar="FILE.pdf", required=True, help="the file to write")
    printing.add_argument("--paper", type=str.lower, choices=list(PAPERS), default="letter")
    printing.add_argument("--sheets", metavar=",".join(SHEETS), help="all of them where left out")
    return parser


def _check(path: Path, as_json: bool, only: str | None) -> int:
    result = check(load_job(path), default_library())
    described = describe(result)
    conflicts = list(result.conflicts)
    if only is not None:
        name = _position_of(only, result, path)
        kept = [index for index, c in enumerate(conflicts) if not c.positions or name in c.positions]
        conflicts = [conflicts[index] for index in kept]
        described["conflicts"] = [described["conflicts"][index] for index in kept]
        described["positions"] = [name]
    if as_json:
        print(json.dumps(described, indent=2))
    else:
        print("\n".join(_report(path, result, conflicts)))
    return GREEN if result.status == "green" else NOT_GREEN


def _position_of(only: str, result: CheckResult, path: Path) -> str:
    try:
        name = position(only).name
    except ValueError:
        name = only
    if name not in result.positions:
        known = ", ".join(result.positions)
        raise FileProblem(str(path), f"is not checked in a position {only!r}; its positions are {known}")
    return name


def _readings(path: Path, as_json: bool, only: str | None, bench: bool) -> int:
    job = load_job(path)
    engine = Engine(job, default_library(), build(job), bench=bench)
    positions = engine.positions
    if only is not None:
        try:
            positions = (engine.position(only),)
        except ValueError:
            switches = ", ".join((*STANDARD_SWITCHES, *engine.switches))
            cause = (
                f"has no position {only!r}: one of {', '.join(KEYS)}, then switches joined by +: {switches}"
            )
            raise FileProblem(str(path), cause) from None
    if as_json:
        print(json.dumps(described(engine, positions), indent=2))
    else:
        print(_plain(job.sheet.title or path.name))
        for line in table(engine, positions):
            print(_plain(line))
    return GREEN


def _print(path: Path, output: Path, paper: str, sheets: str | None) -> int:
    if output.suffix.lower() != ".pdf":
        raise FileProblem(str(output), "should end in .pdf")
    if real_path(output) == real_path(path):
        raise FileProblem(str(output), "is the job itself")
    job = load_job(path)
    library = default_library()
    wanted = None if sheets is None else sheets.split(",")
    write_whole(output, print_pdf(job, check(job, library), library, paper, wanted))
    return GREEN


def _report(path: Path, result: CheckResult, conflicts: list[Conflict]) -> Iterator[str]:
    yield _plain(result.job.sheet.title or path.name)
    yield _plain(status_words(result))
    shown = {c.key for c in conflicts}
    for level in LEVELS:
        of_level = [c for c in conflicts if c.level == level and c.follows_from not in shown]
        if of_level:
            yield from ("", f"{level.capitalize()} ({len(of_level)})")
        for conflict in of_level:
            yield ""
            yield from _conflict(conflict, result)
            for other in (c for c in conflicts if c.follows_from == conflict.key):
                yield from _wrapped("follows: ", f"{_places(other.where, result)}: {other.message}")
    if result.open_ends:
        yield from ("", f"To decide ({len(result.open_ends)})")
        yield from _wrapped("", _places(result.open_ends, result))
    if result.not_run:
        yield from ("", f"Not run ({len(result.not_run)})")
        for missed in result.not_run:
            yield from _wrapped("", f"{missed.rule}: {missed.because}")


def _conflict(conflict: Conflict, result: CheckResult) -> Iterator[str]:
    positions = f" ({', '.join(conflict.positions)})" if conflict.positions else ""
    yield f"  {_plain(_places(conflict.where, result))}{positions}"
    yield from _wrapped("", conflict.message)
    yield from _wrapped("why: ", conflict.why)
    yield from _wrapped("mend: ", conflict.mend)
    if conflict.accepted is not None:
        kept = conflict.accepted
        yield from _wrapped("accepted: ", " ".join(filter(None, (kept.name, kept.date))) + f": {kept.reason}")


def _places(refs: Iterable[str], result: CheckResult) -> str:
    return ", ".join(result.job.shown(ref) for ref in refs)


def _wrapped(head: str, text: str) -> list[str]:
    return textwrap.wrap(
        head + _plain(text), _WIDTH, initial_indent="    ", subsequent_indent="      ", break_on_hyphens=False
    )


def _plain(text: str) -> str:
    """A job's text on one line, with nothing in it that a terminal would obey."""
    return "".join(c if c.isprintable() else " " for c in text)


def _failed(error: object) -> int:
    print(f"{PROGRAM}: {_plain(str(error))}", file=sys.stderr)
    return FAILED


def _forget_output() -> None:
    """What could not be written must not be tried again when the interpreter ends."""
    with contextlib.suppress(OSError, ValueError, io.UnsupportedOperation):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
