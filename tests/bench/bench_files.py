"""Opening and saving a job of 5,000 wires, against bare JSON of the same text in the same run.

`python -m tests.bench.bench_files`. The aim: at most 5 x bare parse and dump; 60 and 30 ms for people.
Two peers are printed: orjson, the quickest there is, and the standard library's json.
"""

from __future__ import annotations

import gc
import json
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import orjson

from core.files.job_file import open_job, save_job
from core.files.json_text import WRITTEN
from core.files.text import dump_job, parse_job
from core.job.record import JobSheet
from tests.core.files.made import big_job

WIRES = 5_000
ROUNDS = 9


def median_ms(work: Callable[[], object]) -> float:
    """Median of some rounds, in ms, with the cyclic collector off as the product has it."""
    taken = []
    for _ in range(ROUNDS):
        gc.collect()
        gc.disable()
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
        gc.enable()
    return statistics.median(taken) * 1000


def main() -> None:
    jobs = [big_job(WIRES)]
    jobs.append(jobs[0].changed(sheet=JobSheet(title="changed")))
    text = dump_job(jobs[0])
    data = orjson.loads(text)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "large.loomjob"
        save_job(path, jobs[0])
        turn = iter(range(10**6))
        rows = [
            ("parse orjson", median_ms(lambda: orjson.loads(text))),
            ("parse json", median_ms(lambda: json.loads(text))),
            ("dump orjson, sorted and indented", median_ms(lambda: orjson.dumps(data, option=WRITTEN))),
            ("dump json", median_ms(lambda: json.dumps(data))),
            ("parse_job", median_ms(lambda: parse_job(text, "large"))),
            ("open_job", median_ms(lambda: open_job(path))),
            ("dump_job", median_ms(lambda: dump_job(jobs[0]))),
            ("save_job", median_ms(lambda: save_job(path, jobs[next(turn) % 2]))),
        ]
    took = dict(rows)
    print(f"{WIRES} wires, {len(text) / 1e6:.1f} MB of text, median of {ROUNDS}")
    for name, ms in rows:
        against = ""
        if "job" in name:
            kind = "parse" if name in ("parse_job", "open_job") else "dump"
            quick = took["parse orjson" if kind == "parse" else "dump orjson, sorted and indented"]
            against = f"  {ms / quick:4.1f} x orjson  {ms / took[f'{kind} json']:4.1f} x json"
        print(f"{name:34}{ms:8.1f} ms{against}")


if __name__ == "__main__":
    main()
