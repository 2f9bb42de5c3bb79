"""The mutation bench by name: `python -m tests.mutation [--job NAME] [--kind NAME] [--list-missed]`."""

from __future__ import annotations

import argparse
import logging
import sys
from collections.abc import Sequence
from time import perf_counter

from tests.mutation.bench import failed, good_samples, run_all
from tests.mutation.kinds import KINDS
from tests.mutation.report import misses, report


def main(argv: Sequence[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("--job", action="append", choices=good_samples(), help="only this sample")
    parser.add_argument("--kind", action="append", choices=list(KINDS), help="only this kind of mistake")
    parser.add_argument("--list-missed", action="store_true", help="each mistake that was missed")
    parser.add_argument("--processes", type=int, default=2)
    asked = parser.parse_args(argv)
    start = perf_counter()
    runs = run_all(
        asked.job or good_samples(),
        asked.kind or list(KINDS),
        asked.processes,
        lambda line: _say(line, sys.stderr),
    )
    if asked.list_missed:
        _say(misses(runs))
    _say(report(runs))
    bad = failed(runs)
    _say(f"{perf_counter() - start:.0f} s; {'FAILED' if bad else 'good'}")
    return 1 if bad else 0


def _say(text: str, stream: object = None) -> None:
    (stream or sys.stdout).write(text + "\n")  # type: ignore[attr-defined]


if __name__ == "__main__":
    # What a rule that fails logs is in the report's counts; its traceback would drown them.
    logging.disable(logging.CRITICAL)
    sys.exit(main(sys.argv[1:]))
