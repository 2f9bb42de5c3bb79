"""What is wrong with a job's data, in plain words."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from core.ids import (
    CONNECTOR_PATTERN,
    LOCAL_TERMINAL_PATTERN,
    NUMBERED_PATTERN,
    PIN_PATTERN,
    TERMINAL_PATTERN,
    WIRE_END_PATTERN,
)

MOST_SHOWN = 60
MOST_FAULTS = 20_000
"""More are not looked at one by one: that would take minutes for a file made to be read slowly."""
_KEY = "[key]"

_FORMS = {
    TERMINAL_PATTERN: "a terminal such as RAD.A-4",
    f"{TERMINAL_PATTERN}|{WIRE_END_PATTERN}": "an end such as RAD.A-4 or W3:a",
    WIRE_END_PATTERN: "a wire's end such as W3:a",
    NUMBERED_PATTERN: "an id such as J3 or W12",
    CONNECTOR_PATTERN: "a connector's name such as A",
    LOCAL_TERMINAL_PATTERN: "a terminal inside its part, such as A-4",
    PIN_PATTERN: "a pin: up to 16 characters without blanks or colons",
    r"^([0-9]{4}-[0-9]{2}-[0-9]{2})?$": "a date such as 2031-05-17",
    r"^[A-Z][A-Z0-9]{0,11}\.[A-Za-z0-9]{1,12}$": "a connector such as RAD.A",
}


def short(value: object) -> str:
    """A value from a file, quoted on one line and no longer than people want to read."""
    text = repr(value) if isinstance(value, str | int | float | bool) else "a list or object"
    return text if len(text) <= MOST_SHOWN else text[: MOST_SHOWN - 1] + "…"


def place_in_words(way: Sequence[str | int]) -> str:
    """`("parts", "RAD", "connectors", 0)` to `parts, RAD, connectors 1`: lists are counted from 1."""
    words: list[str] = []
    for step in way:
        if isinstance(step, int) and words:
            words[-1] += f" {step + 1}"
        else:
            words.append(_plain(str(step)))
    return ", ".join(words)


def in_words(error: ValidationError, tree: object) -> tuple[str, str]:
    """The place and the cause of the first fault, and how many more there are."""
    if error.error_count() > MOST_FAULTS:
        return "", f"is damaged, or no job: it holds {error.error_count():,} faults"
    faults = error.errors(include_url=False, include_context=True)
    first = faults[0]
    more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
    way = _way(first["loc"], tree)
    if first["type"] == "extra_forbidden":
        return place_in_words(way[:-1]), f"the key {short(way[-1])} is not known" + more
    return place_in_words(way), _cause(first) + more


def _way(loc: Sequence[str | int], tree: object) -> list[str | int]:
    """Pydantic's path without the names it puts in for itself: the kind of an internal, the mark of a key."""
    way: list[str | int] = []
    here: Any = tree
    for index, step in enumerate(loc):
        if step == _KEY:
            break
        keyed = isinstance(here, Mapping) and step in here
        if keyed or (isinstance(here, list) and isinstance(step, int) and step < len(here)):
            here = here[step]
        elif index < len(loc) - 1:
            continue
        way.append(step)
    return way


def _cause(fault: ErrorDetails) -> str:
    context = fault.get("ctx", {})
    value = fault["input"]
    words = _WORDS.get(fault["type"])
    if fault["type"] == "string_pattern_mismatch":
        form = _FORMS.get(context["pattern"], "written as it should be")
        return f"{short(value)} is not {form}"
    if words is not None:
        return words(context, value)
    message = fault["msg"].removeprefix("Value error, ").removeprefix("Assertion failed, ")
    return _plain(message[:1].lower() + message[1:], 300)


def _expected(what: str) -> Callable[[Mapping[str, Any], object], str]:
    return lambda context, value: f"should be {what}, not {short(value)}"


_WORDS: dict[str, Callable[[Mapping[str, Any], object], str]] = {
    "missing": lambda context, value: "is missing",
    "string_type": _expected("text"),
    "string_unicode": lambda context, value: "holds a character that is not Unicode text",
    "int_type": _expected("a whole number"),
    "int_from_float": _expected("a whole number"),
    "int_parsing_size": lambda context, value: "is a larger number than a job can hold",
    "float_type": _expected("a number"),
    "finite_number": _expected("a finite number"),
    "bool_type": _expected("true or false"),
    "tuple_type": _expected("a list"),
    "dict_type": _expected("an object in braces"),
    "mapping_type": _expected("an object in braces"),
    "model_type": _expected("an object in braces"),
    "literal_error": lambda context, value: f"should be {context['expected']}, not {short(value)}",
    "string_too_long": lambda context, value: f"is longer than {context['max_length']} characters",
    "string_too_short": lambda context, value: "is empty",
    "too_long": lambda context, value: f"holds more than {context['max_length']} entries",
    "too_short": lambda context, value: f"holds fewer than {context['min_length']} entries",
    "greater_than": lambda context, value: f"should be more than {context['gt']}, not {short(value)}",
    "greater_than_equal": lambda context, value: f"should be at least {context['ge']}, not {short(value)}",
    "less_than": lambda context, value: f"should be less than {context['lt']}, not {short(value)}",
    "less_than_equal": lambda context, value: f"should be at most {context['le']}, not {short(value)}",
    "union_tag_not_found": lambda context, value: "has no kind",
    "union_tag_invalid": lambda context, value: (
        f"kind {short(context['tag'])} is not known; known are {context['expected_tags']}"
    ),
}


def _plain(text: str, most: int = MOST_SHOWN) -> str:
    """Text from a file on one line, without control characters."""
    text = re.sub(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff]+", " ", text)
    return text if len(text) <= most else text[: most - 1] + "…"
