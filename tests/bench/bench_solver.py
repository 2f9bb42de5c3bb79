"""From the document to operating points, beside a bare factorisation, a dense solve and a process of ngspice.

The bare ones get the circuit as it stands at the operating point, with every law and state decided; ours
decides them, and reaches a position by way of those before it.

Run by name: `python -m tests.bench.bench_solver [--wires 60,600,5000,50000]`. The ratios count; milliseconds
are this machine's. To reach: one position at most 4 x one bare splu of the same matrix and at least 9 x
quicker than ngspice; the standard set at most 12 x one splu.
"""

from __future__ import annotations

import argparse
import gc
import json
import math
import resource
import shutil
import subprocess
import sys
from collections.abc import Callable
from time import perf_counter

import numpy as np

from core import edits as ed
from core.circuit.assemble import SketchCache
from core.circuit.engine import Engine
from core.circuit.positions import position
from core.job.delta import delta
from core.job.document import Job
from core.net.graph import ConductorGraph
from tests.bench.car_jobs import car_job
from tests.bench.peers import bare, deck, factored, run_ngspice
from tests.core.checks.jobs import library

MOST_DENSE_NODES = 6_000
NGSPICE_SECONDS = 240.0
OFF, RUNNING = position("off"), position("running")


def milliseconds(work: Callable[[], object], rounds: int) -> float:
    """The best of some rounds, with the cyclic collector off as the product has it."""
    taken = []
    for _ in range(rounds):
        gc.collect()
        gc.disable()
        start = perf_counter()
        work()
        taken.append((perf_counter() - start) * 1000)
        gc.enable()
    return min(taken)


def graph_of(job: Job) -> ConductorGraph:
    graph = ConductorGraph()
    for _ in graph.fill(job):
        pass
    return graph


def peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def measure(wires: int) -> dict[str, float | None]:
    """One size, in a process of its own so that its peak of memory is its own."""
    job = car_job(wires)
    _ = job.lookup
    known = library()
    small = Engine(car_job(20), known, graph_of(car_job(20)))
    small.point(RUNNING)  # imports what is imported on first need
    before_mb = peak_mb()
    graph = graph_of(job)
    rounds = 9 if wires <= 1_000 else 5 if wires <= 10_000 else 1
    found: dict[str, float | None] = {"wires": len(job.wires)}

    def one() -> None:
        Engine(job, known, graph).point(OFF)

    def plan() -> None:
        _ = Engine(job, known, graph).plan

    def whole() -> Engine:
        engine = Engine(job, known, graph)
        for _ in engine.steps():
            pass
        return engine

    found["plan"] = milliseconds(plan, rounds)
    found["one"] = milliseconds(one, rounds)
    found["set"] = milliseconds(whole, rounds)
    engine = whole()
    found["positions"] = len(engine.positions)
    found["peak_mb"] = peak_mb() - before_mb
    found["edit"] = edited(job, graph, rounds)
    peers(found, engine, rounds)
    return found


def edited(job: Job, graph: ConductorGraph, rounds: int) -> float:
    """One wire gets another length: the edit, the graph's step, and every position of the standard set.

    What an editor keeps from one document to the next is kept here too.
    """
    known = library()
    middle = f"W{len(job.wires) // 2}"
    lengths = iter(range(500, 10_000))
    jobs = [job]
    cache = SketchCache(known)

    def work() -> None:
        after = ed.set_wire(jobs[-1], middle, length_mm=float(next(lengths)))
        graph.update(jobs[-1], after, delta(jobs[-1], after))
        jobs.append(after)
        for _ in Engine(after, known, graph, cache=cache).steps():
            pass

    work()
    taken = milliseconds(work, rounds)
    graph.update(jobs[-1], job, delta(jobs[-1], job))
    return taken


def peers(found: dict[str, float | None], engine: Engine, rounds: int) -> None:
    """The same circuit as a bare matrix, dense, and in ngspice; and how far their volts are from ours."""
    volts = engine.point(RUNNING).solution.volts
    circuit = bare(engine.plan.network, RUNNING, volts)
    matrix, into = circuit.matrix(), circuit.into[1:]
    found["nodes"] = circuit.nodes
    found["splu"] = milliseconds(lambda: factored(matrix, into), rounds)
    sparse = factored(matrix, into)
    if circuit.nodes <= MOST_DENSE_NODES:
        dense = matrix.toarray()
        found["dense"] = milliseconds(lambda: np.linalg.solve(dense, into), min(rounds, 3))
    if shutil.which("ngspice"):
        text = deck(circuit)
        start = perf_counter()
        printed = run_ngspice(text, NGSPICE_SECONDS)
        found["ngspice"] = (perf_counter() - start) * 1000 if printed else None
        if printed:
            value = next(line for line in printed.splitlines() if line.startswith("v(1) ="))
            found["apart_v"] = abs(float(value.partition("=")[2]) - float(sparse[0]))


COLUMNS = (
    ("wires", "wires", "8.0f"),
    ("nodes", "nodes", "8.0f"),
    ("plan", "plan ms", "9.1f"),
    ("one", "one ms", "9.1f"),
    ("set", "set ms", "9.1f"),
    ("positions", "of", "4.0f"),
    ("edit", "edit ms", "9.1f"),
    ("splu", "splu ms", "9.2f"),
    ("dense", "dense ms", "10.1f"),
    ("ngspice", "ngspice ms", "11.1f"),
    ("one/splu", "one/splu", "9.1f"),
    ("set/splu", "set/splu", "9.1f"),
    ("ngspice/one", "ngspice/one", "12.1f"),
    ("dense/one", "dense/one", "10.2f"),
    ("peak_mb", "peak MB", "8.0f"),
)


def shown(row: dict[str, float | None]) -> str:
    for name in ("one/splu", "set/splu", "ngspice/one", "dense/one"):
        above, _, below = name.partition("/")
        top, bottom = row.get(above), row.get(below)
        row[name] = top / bottom if top is not None and bottom else None
    cells = []
    for key, _, form in COLUMNS:
        value = row.get(key)
        width = int(form.partition(".")[0])
        cells.append(f"{'-':>{width}}" if value is None else f"{value:{form}}")
    return "".join(cells)


def exponent(rows: list[dict[str, float | None]], key: str) -> str:
    """How the time grows over the wires, between the last two sizes: 1 is in proportion."""
    known = [(row["wires"], row[key]) for row in rows if row.get(key)]
    if len(known) < 2:
        return "-"
    (few, short), (many, long) = known[-2:]
    if not (few and short and many and long):
        return "-"
    return f"{math.log(long / short) / math.log(many / few):.2f}"


def main() -> None:
    reading = argparse.ArgumentParser(description=__doc__)
    reading.add_argument("--wires", default="60,600,5000,50000", help="sizes, with commas between")
    reading.add_argument("--one", type=int, help=argparse.SUPPRESS)
    asked = reading.parse_args()
    if asked.one:
        print(json.dumps(measure(asked.one)))
        return
    print(
        "plan: the document as a network; one: from the document to the first position; set: to all of them;"
    )
    print("edit: one wire's length, with the graph's step and the whole set; peers: one solve in running")
    print("".join(f"{title:>{int(form.partition('.')[0])}}" for _, title, form in COLUMNS))
    rows: list[dict[str, float | None]] = []
    for size in asked.wires.split(","):
        done = subprocess.run(
            [sys.executable, "-m", "tests.bench.bench_solver", "--one", size],
            stdout=subprocess.PIPE,
            text=True,
            check=True,
        )
        rows.append(json.loads(done.stdout.splitlines()[-1]))
        print(shown(rows[-1]), flush=True)
    grown = ", ".join(f"{key} {exponent(rows, key)}" for key in ("plan", "one", "set", "edit", "splu"))
    print(f"growth over wires, last two sizes (1: in proportion): {grown}")


if __name__ == "__main__":
    main()
