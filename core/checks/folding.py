"""One cause, one conflict: what merely follows from another is folded under it, and mended with it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from core.checks.finding import LEVELS, Conflict
from core.checks.registry import Rule
from core.ids import natural_key
from core.net.graph import ConductorGraph, Net

# What these say is true of the whole net: whatever else is found on it follows.
_NET_WIDE = frozenset(
    {
        "feed shorted to ground",
        "feeds of different positions joined",
        "constant and accessory exchanged",
        "reversed polarity",
        "no return",
        "load dead where it is needed",
        "lead whose mate is empty or blocked",
    }
)

# The path of these is a chain that hangs together: what is missing anywhere in it is the same.
_CHAINS = frozenset({"load dead where it is needed"})


def folded(
    conflicts: Sequence[Conflict], rules: Sequence[Rule], graph: ConductorGraph
) -> Iterator[tuple[Conflict, ...] | None]:
    """Yields None to take breath, and at last the conflicts in the order they are shown in."""
    order = {rule.name: place for place, rule in enumerate(rules)}
    under = {rule.name: {*rule.under, *(r.name for r in rules if rule.name in r.over)} for rule in rules}
    found = sorted(
        conflicts, key=lambda c: (LEVELS.index(c.level), order[c.rule], [natural_key(w) for w in c.where])
    )
    places = {conflict.key: place for place, conflict in enumerate(found)}
    by_place: dict[str, list[Conflict]] = {}
    by_net: dict[Net, list[Conflict]] = {}
    for conflict in found:
        for ref in (*conflict.where, *(conflict.path if conflict.rule in _CHAINS else ())):
            by_place.setdefault(ref, []).append(conflict)
        if conflict.rule in _NET_WIDE:
            for net in _nets(conflict, graph):
                by_net.setdefault(net, []).append(conflict)
    yield None
    causes: dict[str, Conflict] = {}
    for conflict in found:
        near = [c for ref in (*conflict.where, *conflict.path) for c in by_place.get(ref, ())]
        near += [c for net in _nets(conflict, graph) for c in by_net.get(net, ())]
        # Nothing is hidden under what is milder than itself.
        grave = LEVELS.index(conflict.level)
        able = [c for c in near if c.rule in under[conflict.rule] and LEVELS.index(c.level) <= grave]
        if able:
            causes[conflict.key] = min(able, key=lambda c: (order[c.rule], places[c.key]))
    yield None
    yield tuple(
        replace(c, follows_from=_root(c, causes).key, mends=()) if c.key in causes else c for c in found
    )


def _root(conflict: Conflict, causes: dict[str, Conflict]) -> Conflict:
    passed = {conflict.key}
    while (cause := causes.get(conflict.key)) is not None and cause.key not in passed:
        passed.add(cause.key)
        conflict = cause
    return conflict


def _nets(conflict: Conflict, graph: ConductorGraph) -> set[Net]:
    return {net for ref in conflict.where if (net := graph.net_of(ref)) is not None}
