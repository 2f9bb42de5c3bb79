"""`loomwright`: the window, or a command for scripts where one is named."""

from __future__ import annotations

import sys
from pathlib import Path

COMMANDS = ("check", "print")
USAGE = """usage: loomwright [JOB]
       loomwright check JOB [--json] [--position NAME]
       loomwright print JOB -o FILE.pdf [--paper letter,a4,tabloid,a3] [--sheets ...]

Without a command the window opens, with the job where one is named."""


def main(argv: list[str] | None = None) -> int:
    arguments = sys.argv[1:] if argv is None else argv
    if arguments and arguments[0] in COMMANDS:
        from core.cli import main as run_command

        return run_command(arguments)
    if any(argument.startswith("-") for argument in arguments) or len(arguments) > 1:
        wants_help = arguments in (["-h"], ["--help"])
        print(USAGE, file=sys.stdout if wants_help else sys.stderr)
        return 0 if wants_help else 2
    from app.application import run

    return run(Path(arguments[0]) if arguments else None)


if __name__ == "__main__":
    sys.exit(main())
