"""The published schema says the same as the models."""

from __future__ import annotations

import json
from typing import Any

import jsonschema
import pytest
from hypothesis import given

from core.errors import FileProblem
from core.files.schema import schema_bytes, schema_path
from core.files.text import dump_job, parse_job
from core.job.document import Job
from tests.core.files.made import big_job, jobs

VALIDATOR = jsonschema.Draft202012Validator(json.loads(schema_bytes()))


def test_the_published_schema_is_up_to_date() -> None:
    assert schema_path().read_bytes() == schema_bytes(), (
        "the document changed: write the schema anew with `python -m core.files.schema` and look at its diff"
    )


def test_it_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(json.loads(schema_bytes()))


@given(jobs())
def test_every_job_validates(job: Job) -> None:
    VALIDATOR.validate(json.loads(dump_job(job)))


@pytest.mark.parametrize(
    "change",
    [
        {"format": 99},
        {"colour": 1},
        {"sheet": {"title": 3}},
        {"sheet": {"date": "May"}},
        {"settings": {"system_volts": 13}},
        {"counters": {"J": -1}},
        {"counters": {"Q": 1}},
        {"wires": {"W1": {"id": "W1", "colour": 3}}},
        {"wires": {"W1": {"colour": "BK"}}},
        {"joints": {"J1": {"id": "J1", "ends": ["W1:a"]}}},
        {"joints": {"J1": {"id": "J1", "ends": ["W1:a", "RAD"]}}},
        {"parts": {"RAD": {"id": "RAD", "name": "x", "connectors": []}}},
        {"parts": {"RAD": {"id": "RAD", "name": "x", "connectors": [{"name": "A"}], "internals": [{}]}}},
        {"finishes": {"W1:a": {"kind": "lost"}}},
        {"view": {"places": {"RAD": {"x": 0}}}},
    ],
)
def test_what_does_not_validate_is_not_read_either(change: dict[str, Any]) -> None:
    data = {"format": 2, **change}
    assert not VALIDATOR.is_valid(data)
    with pytest.raises(FileProblem):
        parse_job(json.dumps(data).encode(), "bad")


def test_a_file_without_format_does_not_validate() -> None:
    assert not VALIDATOR.is_valid({})


def test_a_large_job_validates() -> None:
    assert VALIDATOR.is_valid(json.loads(dump_job(big_job(60))))
