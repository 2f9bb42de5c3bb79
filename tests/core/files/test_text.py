"""A job as text: the same job gives the same bytes everywhere, and nothing is lost."""

from __future__ import annotations

import gc
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given

from core.errors import FileProblem
from core.files.text import dump_job, parse_job
from core.job.document import Job
from core.job.record import JobSheet
from tests.core.files.made import big_job, jobs


@given(jobs())
def test_what_is_written_is_read_again(job: Job) -> None:
    data = dump_job(job)
    again = parse_job(data, "made")
    assert again == job
    assert again.content_hash() == job.content_hash()
    assert dump_job(again) == data


def test_text_is_sorted_indented_and_without_defaults() -> None:
    job = Job(sheet=JobSheet(title="Übergroß", shop="Bench 4"), counters={"W": 3, "J": 2})
    assert dump_job(job).decode() == (
        "{\n"
        '  "counters": {\n    "J": 2,\n    "W": 3\n  },\n'
        '  "format": 2,\n'
        '  "sheet": {\n    "shop": "Bench 4",\n    "title": "Übergroß"\n  }\n'
        "}\n"
    )


def test_the_empty_job_still_has_its_format() -> None:
    assert json.loads(dump_job(Job())) == {"format": 2}
    assert parse_job(dump_job(Job()), "empty") == Job()


@pytest.mark.parametrize(("seed", "language"), [("0", "C"), ("1", "C.UTF-8"), ("2", "POSIX")])
def test_bytes_do_not_depend_on_hash_seed_or_language(root: Path, seed: str, language: str) -> None:
    program = (
        "import sys; from core.files.text import dump_job; from tests.core.files.made import big_job;"
        "sys.stdout.buffer.write(dump_job(big_job(30)))"
    )
    environment = {**os.environ, "PYTHONHASHSEED": seed, "LC_ALL": language, "PYTHONPATH": str(root)}
    ran = subprocess.run([sys.executable, "-c", program], env=environment, capture_output=True, check=True)
    assert ran.stdout == dump_job(big_job(30))


def test_order_of_making_does_not_show() -> None:
    job = big_job(25)
    turned = job.changed(
        parts=dict(reversed(job.parts.items())),
        wires=dict(reversed(job.wires.items())),
        joints=dict(reversed(job.joints.items())),
    )
    assert dump_job(turned) == dump_job(job)


def test_a_byte_order_mark_is_forgiven() -> None:
    job = big_job(3)
    assert parse_job(b"\xef\xbb\xbf" + dump_job(job), "marked") == job


def test_text_laid_out_otherwise_is_read_too() -> None:
    job = big_job(12)
    loose = json.dumps(json.loads(dump_job(job)), indent=None, sort_keys=False).encode()
    assert parse_job(loose, "loose") == job


def test_text_that_is_no_unicode_is_refused_when_written() -> None:
    job = Job().model_copy(update={"sheet": JobSheet().model_copy(update={"title": "\ud800"})})
    with pytest.raises(FileProblem, match=r"cannot be written"):
        dump_job(job)


def test_the_collector_is_left_as_it_was() -> None:
    assert gc.isenabled()
    with pytest.raises(FileProblem):
        parse_job(b"{", "broken")
    assert gc.isenabled()
    gc.disable()
    try:
        parse_job(dump_job(Job()), "empty")
        assert not gc.isenabled()
    finally:
        gc.enable()
