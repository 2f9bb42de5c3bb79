"""Prints what is said of every field case: `python -m tests.core.checks.field`."""

from __future__ import annotations

import sys

from tests.core.checks.field.build import Case
from tests.core.checks.field.every import CASES, LEFT_OUT
from tests.core.checks.field.seen import loud, missing
from tests.core.checks.jobs import checked

_WIDTH = 62


def main() -> int:
    """A row for each case: what is expected, and whether that is said and nothing of the twins."""
    cases = [make() for make in CASES]
    failed = [case for case in cases if _row(case)]
    for case in failed:
        _more(case)
    _print(f"\n{len(cases)} cases, {len(failed)} not as expected; left out {len(LEFT_OUT)}:")
    for name, why in LEFT_OUT.items():
        _print(f"  {name}: {why}")
    return 1 if failed else 0


def _row(case: Case) -> bool:
    """Prints the row; whether something is wrong."""
    wrong = bool(missing(case)) or any(loud(checked(job, final=True)) for job in case.healthy)
    for number, said in enumerate(case.said):
        name = case.name if number == 0 else ""
        ok = "" if number else "NOT" if wrong else "ok"
        _print(f"{name:{_WIDTH}} {ok:4} {said.level:5} {said.rule} at {said.place}")
    return wrong


def _more(case: Case) -> None:
    _print(f"\n{case.name}")
    for why in missing(case):
        _print(f"    missing: {why}")
    for what, jobs in (("said", (case.bad,)), ("said of a twin", case.healthy)):
        for job in jobs:
            for conflict in loud(checked(job, final=True)):
                numbers = ", ".join(f"{name} {value:.3g}" for name, value in conflict.numbers.items())
                _print(f"    {what}: {conflict.level}: {conflict.rule}: {conflict.message} [{numbers}]")


def _print(line: str) -> None:
    sys.stdout.write(f"{line}\n")


if __name__ == "__main__":
    sys.exit(main())
