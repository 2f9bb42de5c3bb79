"""Acceptances: conflicts kept on purpose, as long as they are still the same."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from core.checks.finding import Conflict
from core.job.record import Acceptance

CHANGED_SHARE = 0.05
"""An acceptance lapses when a number has changed by more than this share."""


def accepted(conflicts: Sequence[Conflict], acceptances: Sequence[Acceptance]) -> tuple[Conflict, ...]:
    """The conflicts, with the acceptance that holds for each."""
    return tuple(
        replace(conflict, accepted=next((a for a in acceptances if holds(a, conflict)), None))
        if conflict.acceptable
        else conflict
        for conflict in conflicts
    )


def holds(acceptance: Acceptance, conflict: Conflict) -> bool:
    """Whether rule, places and positions are the same, and every number within a twentieth."""
    same = (acceptance.rule, acceptance.where, acceptance.positions) == (
        conflict.rule,
        conflict.where,
        conflict.positions,
    )
    return (
        same
        and acceptance.numbers.keys() == conflict.numbers.keys()
        and all(
            abs(conflict.numbers[name] - value) <= CHANGED_SHARE * abs(value)
            for name, value in acceptance.numbers.items()
        )
    )
