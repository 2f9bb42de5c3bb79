"""What is no job is refused with the file, the place and the cause in plain words, whatever it is."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import FileProblem
from core.files import json_text
from core.files.faults import MOST_FAULTS
from core.files.json_text import MOST_BYTES, MOST_DEPTH, MOST_OBJECTS
from core.files.text import dump_job, parse_job
from core.job.document import Job
from tests.core.files.made import big_job, jobs

RADIO = {
    "id": "RAD",
    "name": "Radio plug",
    "connectors": [{"name": "A", "cavities": [{"pin": "1"}, {"pin": "2", "lead": {"colour": "RD"}}]}],
}


def refusal(data: bytes) -> FileProblem:
    with pytest.raises(FileProblem) as caught:
        parse_job(data, "van.loomjob")
    assert caught.value.file == "van.loomjob"
    assert "\n" not in str(caught.value)
    return caught.value


def with_format(**fields: Any) -> bytes:
    return json.dumps({"format": 2, **fields}).encode()


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "van.loomjob: is empty"),
        (b" \n", "van.loomjob: is empty"),
        (b"[]", "van.loomjob: is JSON, but not a job: a job is one object in braces"),
        (b"{}", "van.loomjob: has no format number, so it is not a job file"),
        (b'{"format":1', "van.loomjob, line 1, column 12: the file ends too early; it was cut short"),
        (b'{"format":1,"x":NaN}', "line 1, column 17: NaN and Infinity are no numbers that a job can hold"),
        (b'{"format":1,"x":-Infinity}', "NaN and Infinity are no numbers that a job can hold"),
        (b'{"format":1,"x":1e999}', "line 1, column 17: is not JSON: number is infinity"),
        (b'{\n"format":1,"x":"\xff"}', "van.loomjob, line 2: is not UTF-8 text"),
        (b"\xff\xfe{\x00}\x00", "is UTF-16 text; a job file is UTF-8"),
        (b'{"format":1,"x":"\\ud800"}', "line 1, column 18: is not JSON"),
        (b'{"format":"1"}', "van.loomjob, format: should be a whole number from 1"),
        (b'{"format":true}', "format: should be a whole number from 1"),
        (b'{"format":0}', "format: should be a whole number from 1"),
        (b'{"format":7}', "was written by a newer version of the program (its format is 7,"),
        (b'{"format":1} {}', "line 1, column 14: is not JSON"),
        (b'{"format":1,"format":1}', "van.loomjob: the key 'format' stands twice"),
    ],
)
def test_text_that_is_no_job(data: bytes, said: str) -> None:
    assert said in str(refusal(data))


@pytest.mark.parametrize(
    ("change", "where", "cause"),
    [
        ({"parts": {"RAD": {**RADIO, "name": 3}}}, "parts, RAD, name", "should be text, not 3"),
        ({"parts": {"RAD": {**RADIO, "done": 1}}}, "parts, RAD, done", "should be true or false, not 1"),
        ({"parts": {"RAD": {**RADIO, "size": 1}}}, "parts, RAD", "the key 'size' is not known"),
        ({"parts": {"RAD": {"id": "RAD"}}}, "parts, RAD, name", "is missing (and 1 more)"),
        ({"parts": {"RAD": {**RADIO, "connectors": {}}}}, "parts, RAD, connectors", "should be a list"),
        ({"parts": []}, "parts", "should be an object in braces"),
        ({"sheet": {"title": "x" * 201}}, "sheet, title", "is longer than 200 characters"),
        ({"sheet": {"date": "May"}}, "sheet, date", "'May' is not a date such as 2031-05-17"),
        ({"settings": {"system_volts": 13}}, "settings, system_volts", "should be 6, 12 or 24, not 13"),
        ({"counters": {"J": -1}}, "counters, J", "should be at least 0, not -1"),
        ({"counters": {"J": 10**30}}, "counters, J", "should be at most 999999999"),
        ({"counters": {"Q": 1}}, "counters, Q", "should be 'J', 'W'"),
        ({"joints": {"J1": {"id": "J1", "ends": ["RAD"]}}}, "joints, J1, ends 1", "is not an end such as"),
        ({"wires": {"W1": {"id": "W1", "gauge": "9"}}}, "wires, W1, gauge", "'9' is not a gauge"),
        ({"finishes": {"W1:a": {"kind": "left"}}}, "finishes, W1:a", "a lead that is left needs a reason"),
        ({"view": {"places": {"RAD": {"x": 1e9, "y": 0}}}}, "view, places, RAD, x", "should be at most"),
        ({"colour": 3}, "", "the key 'colour' is not known"),
    ],
)
def test_fields_are_named_in_words(change: dict[str, Any], where: str, cause: str) -> None:
    said = refusal(with_format(**change))
    assert said.where == where
    assert cause in said.cause


def test_place_inside_lists_and_unions() -> None:
    radio = json.loads(json.dumps(RADIO))
    radio["connectors"][0]["cavities"][1]["colour_sheet"] = "XX"
    said = refusal(with_format(parts={"RAD": radio}))
    assert said.where == "parts, RAD, connectors 1, cavities 2, colour_sheet"
    assert said.cause.startswith("'XX' is not a colour code")

    bad = [{"kind": "link", "a": "A-1", "b": "A-2"}, {"kind": "fuse", "a": "A-1", "b": "2", "amps": 5}]
    said = refusal(with_format(parts={"RAD": {**RADIO, "internals": bad}}))
    assert said.where == "parts, RAD, internals 2, b"
    said = refusal(with_format(parts={"RAD": {**RADIO, "internals": [{"kind": "motor"}]}}))
    assert said.where == "parts, RAD, internals 1"
    assert said.cause.startswith("kind 'motor' is not known; known are 'battery', 'feed'")
    said = refusal(with_format(parts={"RAD": {**RADIO, "internals": [{"a": "A-1"}]}}))
    assert (said.where, said.cause) == ("parts, RAD, internals 1", "has no kind")


def test_equal_keys_are_refused_where_they_stand() -> None:
    text = dump_job(big_job(3)).replace(b'"colour": "BK/WH",', b'"colour": "BK/WH", "colour": "RD",', 1)
    said = refusal(text)
    assert (said.where, said.cause) == ("wires, W1", "the key 'colour' stands twice")


@pytest.mark.parametrize(
    "change",
    [
        {"joints": {"J1": {"id": "J1", "ends": ["RAD.A-1", "RAD.A-9"]}}, "counters": {"J": 1}},
        {"joints": {"J1": {"id": "J1", "ends": ["RAD.A-1", "RAD.A-2"]}}},
        {"view": {"places": {"AMP": {"x": 0, "y": 0}}}},
    ],
)
def test_a_job_that_cannot_be_is_refused_with_the_sentence(change: dict[str, Any]) -> None:
    said = refusal(with_format(parts={"RAD": RADIO}, **change))
    assert said.where == ""
    assert any(ref in said.cause for ref in ("RAD.A-9", "J1", "AMP"))


@pytest.mark.parametrize("opening", [b"[", b'{"a":'])
@pytest.mark.parametrize("depth", [MOST_DEPTH + 1, 1024, 1025, 200_001, 1_000_000])
def test_deep_nesting_is_refused_by_the_name_of_the_limit(opening: bytes, depth: int) -> None:
    closing = {b"[": b"]", b'{"a":': b"}"}[opening]
    for data in (opening * depth, opening * depth + b"1" + closing * depth):
        assert f"nested more than {MOST_DEPTH} deep" in str(refusal(data))


def test_depth_up_to_the_limit_is_not_its_fault() -> None:
    deep = b"[" * (MOST_DEPTH - 1) + b"]" * (MOST_DEPTH - 1)
    assert "the key 'x' is not known" in str(refusal(b'{"format":1,"x":' + deep + b"}"))
    assert "nested more than" in str(refusal(b'{"format":1,"x":[' + deep + b"]}"))
    value: Any = {}
    for _ in range(MOST_DEPTH - 2):
        value = {"a": value}
    for data, said in (({"format": 2, "x": value}, "is not known"), ({"format": 1, "x": [value]}, "nested")):
        assert said in str(refusal((json.dumps(data, indent=2, sort_keys=True) + "\n").encode()))


def test_brackets_in_text_do_not_count() -> None:
    note = "[{" * 3_000 + '"\\'
    text = with_format(notes={"N1": {"id": "N1", "text": note}}, counters={"N": 1})
    assert parse_job(text, "brackets").notes["N1"].text == note


def test_too_many_objects_are_refused_by_the_name_of_the_limit() -> None:
    for inside in (b"[]", b'{"a":1}', b'{"[{\\"":"]"}'):
        data = b'{"format":1,"x":[' + b",".join([inside] * MOST_OBJECTS) + b"]}"
        assert f"holds more than {MOST_OBJECTS:,} objects" in str(refusal(data))
    text = b'{"format":1,"x":"' + b"[" * (MOST_OBJECTS + 1) + b'"}'
    assert "the key 'x' is not known" in str(refusal(text))


@pytest.mark.parametrize("inside", [b"0", b'"a"', b'"\\",["'])
def test_too_many_values_are_refused_by_the_name_of_the_limit(
    inside: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert json_text.MOST_VALUES == 2_000_000
    monkeypatch.setattr(json_text, "MOST_VALUES", 20_000)
    data = b'{"format":1,"acceptances":[' + b",".join([inside] * 20_000) + b"]}"
    assert "holds more than 20,000 values" in str(refusal(data))
    text = b'{"format":1,"x":"' + b"," * 20_001 + b'"}'
    assert "the key 'x' is not known" in str(refusal(text))


def test_a_great_many_faults_are_only_counted() -> None:
    many = MOST_FAULTS + 1
    said = refusal(b'{"format":1,"acceptances":[' + b",".join([b"0"] * many) + b"]}")
    assert (said.where, said.cause) == ("", f"is damaged, or no job: it holds {many:,} faults")
    said = refusal(b'{"format":1,"acceptances":[' + b",".join([b"0"] * (many - 1)) + b"]}")
    assert (said.where, said.cause) == (
        "acceptances 1",
        f"should be an object in braces, not 0 (and {many - 2} more)",
    )


def test_too_large_a_file_is_refused_by_the_name_of_the_limit() -> None:
    assert "is larger than 64 MB" in str(refusal(b" " * (MOST_BYTES + 1)))


def test_hostile_strings_are_read_in_one_pass() -> None:
    # A counter that went back at every quote would need hours for this.
    data = b'["' + b'\\"[' * 1_000_000
    assert "ends too early" in str(refusal(data)) or "is not JSON" in str(refusal(data))


@given(st.binary(max_size=200) | st.text(max_size=100).map(str.encode))
def test_any_bytes_are_a_job_or_a_file_problem(data: bytes) -> None:
    _only_file_problem(data)


_JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)


@given(st.dictionaries(st.sampled_from(sorted(Job.model_fields)), _JSON))
def test_any_json_in_any_field_is_a_job_or_a_file_problem(fields: dict[str, Any]) -> None:
    _only_file_problem(json.dumps({"format": 2, **fields}).encode())


@given(jobs(), st.data())
def test_a_mutated_job_is_a_job_or_a_file_problem(job: Job, data: st.DataObject) -> None:
    text = bytearray(dump_job(job))
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(text) - 1))
        piece = data.draw(st.binary(max_size=3) | st.sampled_from([b'"', b"{", b"}", b",", b":", b"9" * 20]))
        text[at : at + data.draw(st.integers(0, 8))] = piece
        if not text:
            break
    _only_file_problem(bytes(text))


@given(jobs(), st.data())
def test_a_job_with_one_value_replaced_is_a_job_or_a_file_problem(job: Job, data: st.DataObject) -> None:
    tree = json.loads(dump_job(job))
    here: Any = tree
    while True:
        keys = sorted(here) if isinstance(here, dict) else list(range(len(here)))
        key = data.draw(st.sampled_from(keys))
        if isinstance(here[key], dict | list) and here[key] and data.draw(st.booleans()):
            here = here[key]
            continue
        here[key] = data.draw(_JSON)
        break
    _only_file_problem(json.dumps(tree).encode())


def _only_file_problem(data: bytes) -> None:
    try:
        job = parse_job(data, "fuzz")
    except FileProblem as problem:
        said = str(problem)
    else:
        said = ""
        assert parse_job(dump_job(job), "again") == job
    assert "\n" not in said
