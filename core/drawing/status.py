"""The check status, in words and colour, as it stands on every sheet."""

from __future__ import annotations

from typing import NamedTuple

from core.checks.finding import CheckResult
from core.drawing.style import GOOD, LOOK, STOP

MOST_NAMES = 3


class StatusBar(NamedTuple):
    words: str
    fill: str


def status_bar(result: CheckResult) -> StatusBar:
    """Red: Stops are open. Amber: Stops were accepted, or rules did not run. Green: none of these."""
    pieces: list[str] = []
    stops = result.count("stop")
    accepted = [c.accepted.name for c in result.unfolded() if c.level == "stop" and c.accepted]
    if stops:
        pieces.append(f"Do not power: {stops} Stop open")
    if accepted:
        pieces.append(f"powered only by decision of {_names(accepted)}: {len(accepted)} Stop accepted")
    if result.not_run:
        count = len(result.not_run)
        pieces.append(f"{count} {'rule' if count == 1 else 'rules'} off or not run")
    if not pieces:
        pieces.append("Checked: no Stop, no rule off")
    looks = result.count("look")
    if looks:
        pieces.append(f"{looks} Look open")
    looked = sum(1 for c in result.unfolded() if c.level == "look" and c.accepted)
    if looked:
        pieces.append(f"{looked} Look accepted")
    pieces.append(f"{len(result.open_ends)} to decide" if result.open_ends else "nothing left to decide")
    words = " · ".join(pieces)
    fill = {"red": STOP, "amber": LOOK, "green": GOOD}[result.status]
    return StatusBar(words[0].upper() + words[1:], fill)


def _names(names: list[str]) -> str:
    different = list(dict.fromkeys(names))
    more = len(different) - MOST_NAMES
    return ", ".join(different[:MOST_NAMES]) + (f" and {more} more" if more > 0 else "")
