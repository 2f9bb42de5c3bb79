"""The function table, and what becomes of two functions that are joined."""

from __future__ import annotations

import re
from collections.abc import Mapping
from itertools import combinations_with_replacement
from pathlib import Path
from typing import Literal, NamedTuple, get_args

from core.errors import FileProblem
from core.job.internals.common import STANDARD_SWITCHES, Key, Switch
from core.library.model import CLASSES, Flow, Function, Verdict, VoltsClass
from core.library.tables import Row, read_table

_COLUMNS = [
    "id",
    "words",
    "class",
    "car",
    "equipment",
    "live",
    "switch",
    "needed",
    "volts_class",
    "channel",
    "polarity",
    "source",
]
_PAIR_COLUMNS = ["a", "b", "when", "verdict", "reason", "source"]
_ID = re.compile(r"^[a-z0-9]+(-[a-z0-9]+)*[+-]?$")
_KEYS: tuple[Key, ...] = get_args(Key)
_NO_SWITCH: tuple[Switch, ...] = ("", *STANDARD_SWITCHES)
_FLOWS: tuple[Flow, ...] = get_args(Flow)
_VERDICTS: tuple[Verdict, ...] = get_args(Verdict)
_VOLTS: tuple[VoltsClass, ...] = get_args(VoltsClass)
_POLARITIES: tuple[Literal["+", "-", ""], ...] = ("", "+", "-")

When = Literal["", "same channel", "other channel"]
_WHEN: tuple[When, ...] = get_args(When)


class PairVerdict(NamedTuple):
    """Whether two functions belong on one net, and why."""

    verdict: Verdict
    reason: str


SAME = PairVerdict("fits", "both are the same function")
NOT_KNOWN = PairVerdict("fits", "nothing is known of the function of one of them")

PairKey = tuple[str, str, When]
"""Two function ids or `[class]` names, and on which channel they stand to each other."""


def read_functions(path: Path) -> dict[str, Function]:
    """The rows of a functions table by id. Raises FileProblem."""
    found: dict[str, Function] = {}
    for row in read_table(path, _COLUMNS):
        function = _function(row)
        if function.id in found:
            raise row.problem(f"function {function.id!r} stands twice")
        found[function.id] = function
    return found


def _function(row: Row) -> Function:
    name = row.text("id")
    if not _ID.match(name):
        raise row.problem(f"{name!r} cannot be a function: small letters and digits parted by hyphens")
    live = tuple(row.cells["live"].split())
    keys = tuple(key for key in _KEYS if key in live)
    if len(keys) != len(live):
        raise row.problem(f"column 'live' holds {row.cells['live']!r}; it may be {' '.join(_KEYS)}")
    cls = row.one_of("class", CLASSES)
    function = Function(
        id=name,
        words=row.text("words"),
        cls=cls,
        car=row.one_of("car", _FLOWS),
        equipment=row.one_of("equipment", _FLOWS),
        live=keys,
        switch=row.one_of("switch", _NO_SWITCH) or None,
        needed=row.yes("needed"),
        volts_class=row.one_of("volts_class", _VOLTS),
        channel=row.cells["channel"],
        polarity=row.one_of("polarity", _POLARITIES),
        source=row.text("source"),
    )
    if cls == "feed" and "gives" in (function.car, function.equipment) and not keys:
        raise row.problem(f"feed {name!r} is live in no key position")
    if cls == "speaker" and not (function.channel and function.polarity):
        raise row.problem(f"speaker lead {name!r} needs a channel and a polarity")
    return function


def read_pairs(path: Path, functions: Mapping[str, Function]) -> dict[PairKey, PairVerdict]:
    """The rows of a function pair table, under both orders of each pair. Raises FileProblem."""
    found: dict[PairKey, PairVerdict] = {}
    for row in read_table(path, _PAIR_COLUMNS):
        a, b = (_side(row, column, functions) for column in ("a", "b"))
        when = row.one_of("when", _WHEN)
        row.text("source")
        if (a, b, when) in found:
            raise row.problem(f"the pair {a}, {b} stands twice")
        verdict = PairVerdict(row.one_of("verdict", _VERDICTS), row.text("reason"))
        found[a, b, when] = found[b, a, when] = verdict
    return found


def _side(row: Row, column: str, functions: Mapping[str, Function]) -> str:
    name = row.text(column)
    if name in functions or name in {f"[{cls}]" for cls in CLASSES}:
        return name
    raise row.problem(f"column {column!r} holds {name!r}, which is no function and no [class]")


def missing_pairs(pairs: Mapping[PairKey, PairVerdict]) -> list[tuple[str, str]]:
    """The pairs of classes that no row answers whatever their channels are."""
    return [
        (a, b) for a, b in combinations_with_replacement(CLASSES, 2) if (f"[{a}]", f"[{b}]", "") not in pairs
    ]


def judge(
    pairs: Mapping[PairKey, PairVerdict], functions: Mapping[str, Function], a: str, b: str
) -> PairVerdict:
    """The most particular row that speaks of the pair: by both names, by one name, by both classes.

    Where one row speaks of `a` and another of `b`, the more severe one counts.
    """
    a, b = sorted((a, b))
    first, second = functions.get(a), functions.get(b)
    if first is None or second is None:
        return NOT_KNOWN
    if a == b and (a, b, "") not in pairs:
        return SAME
    channel: When = "same channel" if first.channel == second.channel else "other channel"
    of_first, of_second = f"[{first.cls}]", f"[{second.cls}]"
    for names in (((a, b),), ((a, of_second), (of_first, b)), ((of_first, of_second),)):
        rows = [pairs.get((*name, channel)) or pairs.get((*name, "")) for name in names]
        found = [row for row in rows if row is not None]
        if found:
            return max(found, key=lambda row: _VERDICTS.index(row.verdict))
    raise FileProblem("function_pairs.csv", f"no row answers {first.cls} with {second.cls}")
