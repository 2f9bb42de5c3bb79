"""The marks of conflicts on the sheets: the level's letter and a number, at the places and in the list."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from core.checks.finding import LEVELS, CheckResult, Conflict
from core.checks.marks import places
from core.ids import natural_key

MOST_AT_A_PLACE = 3
"""What more there is at a place is counted."""


def in_order(result: CheckResult, *, accepted: bool) -> list[Conflict]:
    """Conflicts that stand for themselves, the worst first: the accepted ones or the open ones."""
    found = [c for c in result.unfolded() if (c.accepted is not None) == accepted]
    return sorted(found, key=lambda c: (LEVELS.index(c.level), c.rule, [natural_key(ref) for ref in c.where]))


def numbered(result: CheckResult) -> Mapping[str, str]:
    """`S1`, `S2`, `L1` by the key of the conflict: the open ones, then the accepted ones."""
    counts: Counter[str] = Counter()
    found = {}
    for conflict in (*in_order(result, accepted=False), *in_order(result, accepted=True)):
        counts[conflict.level] += 1
        found[conflict.key] = f"{conflict.level[0].upper()}{counts[conflict.level]}"
    return found


def by_place(result: CheckResult) -> Mapping[str, tuple[str, ...]]:
    """The marks at each lead, wire and joint, the worst first."""
    found: dict[str, list[str]] = {}
    marks = numbered(result)
    for conflict in (*in_order(result, accepted=False), *in_order(result, accepted=True)):
        for ref in places(conflict):
            found.setdefault(ref, []).append(marks[conflict.key])
    return {ref: tuple(sorted(at, key=_rank)) for ref, at in found.items()}


def _rank(mark: str) -> tuple[int, int]:
    return "SLN".index(mark[0]), int(mark[1:])


def told(marks: Iterable[str]) -> str:
    """`S1 L2`; of more than a few `S1 S2 L1 +2`."""
    known = list(marks)
    more = len(known) - MOST_AT_A_PLACE
    return " ".join((*known[:MOST_AT_A_PLACE], *([f"+{more}"] if more > 0 else [])))
