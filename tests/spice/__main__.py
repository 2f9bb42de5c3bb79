"""Our solver and ngspice side by side: `python -m tests.spice JOB.loomjob [POSITION ...]`.

Every place's volts and every conductor's amps, in the standard set of positions or in those named; what is
too far apart is marked. Ends with 1 where anything is.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from core.circuit.positions import position
from core.errors import UserError
from core.files.job_file import load_job
from core.library.loader import default_library
from tests.spice.compare import Case, Result, answered, cases, compare
from tests.spice.elements import Pieced
from tests.spice.run import Answer, NoSpice


def lines(case: Case, deck: Pieced, answer: Answer | None, result: Result) -> Iterator[str]:
    yield case.title
    if answer is not None:
        yield f"  {'':<28}{'ours':>16}{'ngspice':>16}"
        tied = deck.tied()
        for ref, node in case.deck.node_of.items():
            if case.point.state(ref) is not None:
                theirs = answer.volts.get(node) if node in tied else None
                yield _row(ref, case.point.volts(ref), theirs, "V")
        for ref in case.job.lookup.conductors:
            ours = case.point.amps(ref)
            if ours is not None:
                yield _row(ref, ours, answer.amps.get(ref), "A")
    yield from (f"  ! {words.partition(': ')[2]}" for words in (*result.wrong, *result.unsolved))
    yield ""


def _row(ref: str, ours: float | None, theirs: float | None, unit: str) -> str:
    shown = ("floating" if value is None else f"{value:.6f} {unit}" for value in (ours, theirs))
    return f"  {ref:<28}" + "".join(f"{text:>16}" for text in shown)


def main(arguments: list[str]) -> int:
    if not arguments or arguments[0].startswith("-"):
        sys.stdout.write(f"{__doc__}\n")
        return 2
    whole = Result()
    try:
        job = load_job(Path(arguments[0]))
        own = [switch.name for switch in job.settings.switches]
        positions = [position(name, own) for name in arguments[1:]] or None
        found = list(cases(job, default_library(), positions))
        for case, (deck, answer) in zip(found, answered(found), strict=True):
            result = compare(case, deck, answer)
            whole.add(result)
            sys.stdout.write("\n".join(lines(case, deck, answer, result)) + "\n")
    except (UserError, NoSpice, ValueError) as error:
        sys.stderr.write(f"{error}\n")
        return 2
    sys.stdout.write(f"{whole}\n")
    return int(bool(whole.wrong or whole.unsolved))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
