"""A job as bytes: written always in the same way, read with every fault named."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import orjson
from pydantic import ValidationError

from core.errors import FileProblem
from core.files.faults import in_words
from core.files.json_text import WRITTEN, is_as_we_write, prepared, read_json
from core.files.migrations import STEPS, migrate
from core.job.document import FORMAT, Job
from core.job.invariants import check_invariants


def dump_job(job: Job) -> bytes:
    """The job as UTF-8 JSON, sorted and indented, defaults left out. The same job gives the same bytes.

    Raises FileProblem where a text cannot be written as UTF-8.
    """
    with collector_off():
        data = job.model_dump(exclude_defaults=True)
        data["format"] = job.format
        try:
            return orjson.dumps(data, option=WRITTEN)
        except orjson.JSONEncodeError as error:
            raise FileProblem("the job", f"cannot be written: {error}") from error


def parse_job(data: bytes, name: str) -> Job:
    """The job that those bytes hold; `name` is what the file is called in an error.

    Raises FileProblem, and nothing else, whatever the bytes are.
    """
    data = prepared(data, name)
    with collector_off():
        job = _read_quickly(data) or _read_well(data, name)
        broken = check_invariants(job)
    if broken:
        more = f" (and {len(broken) - 1} more)" if len(broken) > 1 else ""
        raise FileProblem(name, broken[0] + more)
    return job


def _read_quickly(data: bytes) -> Job | None:
    """The job in a text that is laid out as we write it; None where more must be looked at.

    The models are shallow, so what they accept is, and pydantic's parser stops at a depth of 200 by itself.
    """
    try:
        job = Job.model_validate_json(data, strict=True)
    except ValidationError:
        return None
    return job if "format" in job.model_fields_set and is_as_we_write(data) else None


def _read_well(data: bytes, name: str) -> Job:
    """The job in any text, or its first fault in words."""
    tree = read_json(data, name)
    if _format_of(tree, name) != FORMAT:
        tree = migrate(tree, STEPS, FORMAT, name)
        data = orjson.dumps(tree)
    try:
        return Job.model_validate_json(data, strict=True)
    except ValidationError as error:
        place, cause = in_words(error, tree)
        raise FileProblem(name, cause, place) from error


def _format_of(tree: dict[str, Any], name: str) -> int:
    number = tree.get("format")
    if number is None:
        raise FileProblem(name, "has no format number, so it is not a job file")
    if type(number) is not int or number < 1:
        raise FileProblem(name, "should be a whole number from 1", "format")
    if number > FORMAT:
        raise FileProblem(
            name,
            f"was written by a newer version of the program (its format is {number}, "
            f"this version reads up to {FORMAT}); open it with that version",
        )
    return number


@contextmanager
def collector_off() -> Iterator[None]:
    """Keeps the cyclic collector from walking a large document again and again while it is made."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
