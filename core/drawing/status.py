"""The check status, in words and colour, as it stands on every sheet."""

from __future__ import annotations

from typing import NamedTuple

from core.checks.finding import CheckResult
from core.checks.report import not_run_words, status_words
from core.drawing.style import GOOD, LOOK, STOP

_FILLS = {"red": STOP, "amber": LOOK, "green": GOOD}


class StatusBar(NamedTuple):
    words: str
    fill: str


def status_bar(result: CheckResult) -> StatusBar:
    """The status in the words used everywhere, then what else a person must know who reads only the paper."""
    pieces = [status_words(result)]
    if result.status == "red":
        accepted = _count(result, "stop")
        pieces += [f"{accepted} Stop accepted"] if accepted else []
        pieces += [not_run_words(result)] if result.not_run else []
    looks, accepted = result.count("look"), _count(result, "look")
    pieces += [f"{looks} Look open"] if looks else []
    pieces += [f"{accepted} Look accepted"] if accepted else []
    pieces.append(f"{len(result.open_ends)} to decide" if result.open_ends else "nothing left to decide")
    words = " · ".join(pieces)
    return StatusBar(words[0].upper() + words[1:], _FILLS[result.status])


def _count(result: CheckResult, level: str) -> int:
    return sum(1 for c in result.unfolded() if c.level == level and c.accepted)
