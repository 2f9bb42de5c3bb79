"""How long a check takes after one edit, beside union-find from scratch. Run it by name:

python -m pytest -s tests/bench/bench_checks.py
"""

from __future__ import annotations

import gc
from time import perf_counter

import pytest

from core import edits as ed
from core.checks.runner import Checker, drained
from core.job.document import Job
from core.net.pieces import owners, pieces
from core.net.union import labelled
from tests.core.checks.jobs import by_function, library

REPEATS = 5


def radios(wires: int) -> Job:
    """Receivers on radio plugs, each lead joined through a wire from stock until there are enough."""
    entry, receiver = library().parts["Radio plug, 18-way"], library().parts["Receiver, 12-way lead set"].part
    assert entry.mate is not None
    job = Job()
    number = 0
    while len(job.wires) < wires:
        number += 1
        tags = (f"RADC{number}", f"RAD{number}", f"REC{number}")
        job = ed.add_mated(job, entry.part.changed(id=tags[0]), entry.mate.changed(id=tags[1]))
        job = ed.add_part(job, receiver.changed(id=tags[2]))
        mine, theirs = by_function(job, tags[1]), by_function(job, tags[2])
        for function in sorted(mine.keys() & theirs.keys()):
            job = ed.join_by_wire(job, mine[function], theirs[function], colour="RD")
        job = ed.cap(job, ed.open_ends(job))
    return job


@pytest.mark.parametrize("wires", [60, 600, 5000])
def test_edit_to_conflicts(wires: int) -> None:
    gc.collect()
    gc.freeze()
    job = radios(wires)
    checker = Checker(library(), final=False)
    drained(checker.run(job))
    first = next(iter(job.joints))
    end = job.joints[first].ends[0]
    totals, worst_steps = [], []
    for _ in range(REPEATS):
        for edit in (lambda j: ed.unjoin(j, end), lambda j: ed.join(j, end, "RAD1.A-1")):
            after = edit(job)
            steps, slowest = checker.run(after), 0.0
            begin = perf_counter()
            while True:
                start = perf_counter()
                try:
                    next(steps)
                except StopIteration:
                    break
                finally:
                    slowest = max(slowest, perf_counter() - start)
            totals.append(perf_counter() - begin)
            worst_steps.append(slowest)
    found = [pieces(job, owner) for owner in owners(job)]
    peers = []
    for _ in range(REPEATS):
        begin = perf_counter()
        labelled((n for p in found for n in p.nodes), (e for p in found for e in p.edges))
        peers.append(perf_counter() - begin)
    total, peer, step = min(totals), min(peers), min(worst_steps)
    print(
        f"\n{len(job.wires)} wires: edit to conflicts {total * 1e3:.1f} ms, "
        f"slowest step {step * 1e3:.2f} ms, union-find {peer * 1e3:.2f} ms, ratio {total / peer:.0f}"
    )
    assert total < {60: 0.05, 600: 0.25, 5000: 2.5}[wires]
