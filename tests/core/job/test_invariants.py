"""What no single model can see: each way in which a job can contradict itself has its sentence."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given

from core.job.document import Job
from core.job.invariants import check_invariants
from tests.core.files import made

RADIO = {
    "id": "RAD",
    "name": "Radio plug",
    "connectors": [{"name": "A", "cavities": [{"pin": "1", "lead": {}}, {"pin": "2", "lead": {}}]}],
}
CAR = {**RADIO, "id": "CAR"}
WHOLE: dict[str, Any] = {
    "parts": {"RAD": RADIO, "CAR": CAR},
    "mates": {"M1": {"id": "M1", "a": "RAD.A", "b": "CAR.A"}},
    "wires": {"W1": {"id": "W1", "a_in": "RAD.A-2"}},
    "cables": {"C1": {"id": "C1", "conductors": [{}, {"b_in": "CAR.A-2"}]}},
    "joints": {"J1": {"id": "J1", "ends": ["RAD.A-1", "W1:b", "C1.2:a"]}},
    "finishes": {"CAR.A-1": {"kind": "capped"}, "C1.1:b": {"kind": "pulled"}},
    "notes": {"N1": {"id": "N1", "text": "here"}},
    "counters": {"M": 1, "W": 4, "C": 1, "J": 1, "N": 1},
    "view": {
        "places": {ref: {"x": 0, "y": 0} for ref in ("RAD", "J1", "N1", "W1", "C1", "M1")},
        "opened": ["M1"],
    },
}


def test_a_whole_job_has_no_fault() -> None:
    assert check_invariants(Job.model_validate(WHOLE)) == []


@given(made.jobs())
def test_made_jobs_are_whole(job: Job) -> None:
    assert check_invariants(job) == []


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"parts": {"RAD": RADIO, "CAR": RADIO}}, "part CAR calls itself RAD"),
        ({"wires": {"W1": {"id": "W2"}}}, "W1 among the wires calls itself W2"),
        ({"notes": {"J9": {"id": "J9", "text": ""}}}, "J9 stands among the notes, whose ids begin with N"),
        ({"counters": {**WHOLE["counters"], "W": 0}}, "the counter for wires says 0, but W1 is in use"),
        ({"counters": {}}, "the counter for joints says 0, but J1 is in use"),
        (
            {"wires": {"W1": {"id": "W1", "a_in": "RAD.A-9"}}},
            "wire end W1:a is crimped into RAD.A-9, which does not exist",
        ),
        ({"mates": {"M1": {"id": "M1", "a": "RAD.A", "b": "RAD.A"}}}, "mate M1 plugs RAD.A into itself"),
        (
            {"mates": {"M1": {"id": "M1", "a": "RAD.A", "b": "RAD.B"}}},
            "mate M1 names connector RAD.B, which does not exist",
        ),
        (
            {
                "mates": {m: {"id": m, "a": "RAD.A", "b": "CAR.A"} for m in ("M1", "M2")},
                "counters": {**WHOLE["counters"], "M": 2},
            },
            "connector RAD.A is plugged in twice, by M1 and by M2",
        ),
        (
            {"joints": {"J1": {"id": "J1", "ends": ["RAD.A-1", "RAD.B-1"]}}},
            "joint J1 holds RAD.B-1, which does not exist",
        ),
        (
            {"joints": {"J1": {"id": "J1", "ends": ["RAD.A-1", "C1.3:a"]}}},
            "joint J1 holds C1.3:a, which does not exist",
        ),
        (
            {"joints": {"J1": {"id": "J1", "ends": ["RAD.A-1", "W1:a"]}}},
            "joint J1 holds W1:a, which is crimped into RAD.A-2",
        ),
        (
            {
                "joints": {
                    j: {"id": j, "ends": ["RAD.A-1", end]} for j, end in (("J1", "W1:b"), ("J2", "C1.2:a"))
                },
                "counters": {**WHOLE["counters"], "J": 2},
            },
            "RAD.A-1 stands in two joints, J1 and J2",
        ),
        ({"finishes": {"CAR.A-7": {"kind": "capped"}}}, "CAR.A-7 is marked capped, but it does not exist"),
        (
            {"finishes": {"W1:b": {"kind": "left", "reason": "later"}}},
            "W1:b is marked left, but it is joined in J1",
        ),
        (
            {"finishes": {"C1.2:b": {"kind": "pulled"}}},
            "C1.2:b is marked pulled, but it is crimped into CAR.A-2",
        ),
        (
            {"view": {"places": {"AMP": {"x": 0, "y": 0}}}},
            "the map has a place for AMP, which does not exist",
        ),
        ({"view": {"opened": ["M7"]}}, "the map shows the mated pair M7 open, which does not exist"),
    ],
)
def test_every_contradiction_is_said(change: dict[str, Any], said: str) -> None:
    assert said in check_invariants(Job.model_validate({**WHOLE, **change}))
