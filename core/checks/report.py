"""A finished check as data for scripts, and its status in words."""

from __future__ import annotations

from typing import Any

from core.checks.finding import CheckResult, Conflict
from core.checks.phrases import listed

FORMAT = 1


def describe(result: CheckResult) -> dict[str, Any]:
    """The object that `check --json` prints. Terminals are written as people read them."""
    shown = result.job.shown
    keys = {c.key: f"{c.rule}:{','.join(shown(ref) for ref in c.where)}" for c in result.conflicts}
    return {
        "format": FORMAT,
        "job": result.job.sheet.title,
        "status": result.status,
        "open": [shown(end) for end in result.open_ends],
        "conflicts": [_described(conflict, result, keys) for conflict in result.conflicts],
        "not_run": [{"rule": n.rule, "because": n.because} for n in result.not_run],
        "positions": list(result.positions),
    }


def _described(conflict: Conflict, result: CheckResult, keys: dict[str, str]) -> dict[str, Any]:
    accepted = conflict.accepted
    return {
        "rule": conflict.rule,
        "level": conflict.level,
        "where": [result.job.shown(ref) for ref in conflict.where],
        "wires": list(conflict.wires),
        "positions": list(conflict.positions),
        "message": conflict.message,
        "why": conflict.why,
        "mend": conflict.mend,
        "numbers": {name: round(value, 6) for name, value in conflict.numbers.items()},
        "follows_from": keys.get(conflict.follows_from or ""),
        "accepted": None
        if accepted is None
        else {"reason": accepted.reason, "name": accepted.name, "date": accepted.date},
    }


def status_words(result: CheckResult) -> str:
    """`do not power: 2 Stop open`; `powered only by decision of NAME: 1 Stop accepted`;
    `2 rules off or not run`; `checked`.
    """
    if result.status == "red":
        return f"do not power: {result.count('stop')} Stop open"
    if result.status == "green":
        return "checked"
    kept = [c for c in result.unfolded() if c.level == "stop" and c.accepted]
    names = sorted({c.accepted.name for c in kept if c.accepted})
    words = [f"powered only by decision of {listed(names)}: {len(kept)} Stop accepted"] if kept else []
    if result.not_run:
        words.append(not_run_words(result))
    return "; ".join(words)


def not_run_words(result: CheckResult) -> str:
    """`1 rule off or not run`, `3 rules off or not run`."""
    count = len(result.not_run)
    return f"{count} {'rule' if count == 1 else 'rules'} off or not run"
