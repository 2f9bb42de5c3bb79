"""JSON text to plain data, with limits that are checked before anything large or deep is built."""

from __future__ import annotations

import json
import re
from typing import Any, NoReturn

import orjson

from core.errors import FileProblem
from core.files.faults import place_in_words, short

MOST_BYTES = 64 * 1024 * 1024
MOST_OBJECTS = 200_000
"""JSON objects and lists in one file."""
MOST_VALUES = 10 * MOST_OBJECTS
"""Values of all kinds: a job has six to an object. A fault costs far more than a value does."""
MOST_DEPTH = 50
"""Objects and lists inside one another; the outermost counts as one."""

_BYTE_ORDER_MARK = b"\xef\xbb\xbf"
_OTHER_MARKS = (b"\xff\xfe", b"\xfe\xff")
_STRING = re.compile(rb'"[^"\\]*+(?:\\.[^"\\]*+)*+"?+', re.DOTALL)
_BRACKET = re.compile(rb"[][{}]")
WRITTEN = orjson.OPT_SORT_KEYS | orjson.OPT_INDENT_2 | orjson.OPT_APPEND_NEWLINE
_NOT_NUMBERS = (b"NaN", b"Infinity", b"-Infinity", b"-NaN")


def prepared(data: bytes, name: str) -> bytes:
    """The text without a byte order mark, if it is not empty and within the limits."""
    data = data.removeprefix(_BYTE_ORDER_MARK)
    check_limits(data, name)
    if data.startswith(_OTHER_MARKS):
        raise FileProblem(name, "is UTF-16 text; a job file is UTF-8")
    if not data or data.isspace():
        raise FileProblem(name, "is empty")
    return data


def is_as_we_write(data: bytes) -> bool:
    """Whether the text is laid out just as ours, and so holds no key twice.

    Only for text that is known to be shallow: an indent of hundreds would make gigabytes of megabytes.
    """
    try:
        return orjson.dumps(orjson.loads(data), option=WRITTEN) == data
    except (orjson.JSONDecodeError, orjson.JSONEncodeError):
        return False


def read_json(data: bytes, name: str) -> dict[str, Any]:
    """The outermost object, with every fault of the text named. Raises FileProblem.

    Refuses what JSON allows but a job cannot mean: two equal keys in one object.
    """
    _check_nesting(data, name)
    try:
        tree = orjson.loads(data)
    except orjson.JSONDecodeError as error:
        _explain(data, error, name)
    _refuse_equal_keys(data, name)
    if not isinstance(tree, dict):
        raise FileProblem(name, "is JSON, but not a job: a job is one object in braces")
    return tree


def check_size(size: int, name: str) -> None:
    if size > MOST_BYTES:
        raise FileProblem(name, f"is larger than {MOST_BYTES // 1024 // 1024} MB, the most a job file may be")


def check_limits(data: bytes, name: str) -> None:
    """Refuses too many bytes, objects or values. Raises FileProblem."""
    check_size(len(data), name)
    if (
        data.count(b"{") + data.count(b"[") > MOST_OBJECTS
    ):  # brackets in texts are counted too: then look well
        _check_nesting(data, name)


def _check_nesting(data: bytes, name: str) -> None:
    """Counts brackets outside strings; reads no further than the limit. Then counts commas."""
    objects = depth = 0
    bare = _STRING.sub(b"", data)
    for bracket in _BRACKET.finditer(bare):
        if bracket[0] in b"]}":
            depth -= 1
            continue
        objects += 1
        depth += 1
        if depth > MOST_DEPTH:
            raise FileProblem(name, f"is nested more than {MOST_DEPTH} deep, the most a job file may be")
        if objects > MOST_OBJECTS:
            raise FileProblem(name, f"holds more than {MOST_OBJECTS:,} objects, the most a job file may hold")
    if objects + bare.count(b",") > MOST_VALUES:
        raise FileProblem(name, f"holds more than {MOST_VALUES:,} values, the most a job file may hold")


class _Twice(dict[str, Any]):
    """An object in which one key stands twice."""

    key = ""


def _refuse_equal_keys(data: bytes, name: str) -> None:
    found: list[_Twice] = []

    def built(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        made = dict(pairs)
        if len(made) == len(pairs):
            return made
        keys = [key for key, _ in pairs]
        twice = _Twice(pairs)
        twice.key = next(key for key in keys if keys.count(key) > 1)
        found.append(twice)
        return twice

    # Numbers stay text: Python refuses to convert those of several thousand digits.
    tree = json.loads(data, object_pairs_hook=built, parse_int=str, parse_float=str)
    if found:
        place = place_in_words(_way_to(tree, found[0]))
        raise FileProblem(name, f"the key {short(found[0].key)} stands twice", place)


def _way_to(tree: Any, wanted: object) -> tuple[str | int, ...]:
    """Keys and list positions that lead to an object; empty where it is outermost or was overwritten."""
    waiting: list[tuple[tuple[str | int, ...], Any]] = [((), tree)]
    while waiting:
        way, value = waiting.pop()
        if value is wanted:
            return way
        if isinstance(value, dict):
            waiting += [((*way, key), inner) for key, inner in value.items()]
        elif isinstance(value, list):
            waiting += [((*way, index), inner) for index, inner in enumerate(value)]
    return ()


def _explain(data: bytes, error: orjson.JSONDecodeError, name: str) -> NoReturn:
    try:
        text = data.decode()
    except UnicodeDecodeError as wrong:
        line = data.count(b"\n", 0, wrong.start) + 1
        raise FileProblem(name, "is not UTF-8 text", f"line {line}") from error
    place = f"line {error.lineno}, column {error.colno}"
    rest = text[error.pos : error.pos + 16].encode()
    if not text[error.pos :].strip():
        cause = "the file ends too early; it was cut short"
    elif rest.startswith(_NOT_NUMBERS):
        cause = "NaN and Infinity are no numbers that a job can hold"
    else:
        cause = f"is not JSON: {error.msg}"
    raise FileProblem(name, cause, place) from error
