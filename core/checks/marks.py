"""Which places the conflicts of a check stand at: what lists and sheets put their marks by."""

from __future__ import annotations

from collections.abc import Mapping

from core.checks.finding import LEVELS, CheckResult, Conflict
from core.ids import kind_of, owner_of_end


def places(conflict: Conflict) -> tuple[str, ...]:
    """The leads, wires and joints that a conflict stands at: those at fault, and the joints on the way."""
    joints = (ref for ref in conflict.path if kind_of(ref) == "joint")
    return tuple(dict.fromkeys(owner_of_end(ref) for ref in (*conflict.where, *conflict.wires, *joints)))


def by_place(result: CheckResult) -> Mapping[str, tuple[Conflict, ...]]:
    """The open conflicts that stand for themselves, by the id of each of their places, the worst first."""
    found: dict[str, list[Conflict]] = {}
    standing = [c for c in result.unfolded() if c.accepted is None]
    for conflict in sorted(standing, key=lambda c: LEVELS.index(c.level)):
        for ref in places(conflict):
            found.setdefault(ref, []).append(conflict)
    return {ref: tuple(conflicts) for ref, conflicts in found.items()}
