"""What differs between two documents, found by identity: edits share what they do not change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from core.job.document import Job

_COLLECTIONS = ("parts", "mates", "wires", "cables", "joints", "finishes", "notes")


@dataclass(frozen=True)
class Delta:
    """Ids added, removed and changed, by collection name; `places` are the map places that moved."""

    added: Mapping[str, frozenset[str]] = field(default_factory=dict)
    removed: Mapping[str, frozenset[str]] = field(default_factory=dict)
    changed: Mapping[str, frozenset[str]] = field(default_factory=dict)
    places: frozenset[str] = frozenset()
    view_otherwise: bool = False
    record: bool = False

    @property
    def meaning(self) -> bool:
        """Whether anything but the view changed."""
        return bool(self.added or self.removed or self.changed or self.record)

    @property
    def drawn(self) -> bool:
        """Whether anything that stands on the map changed."""
        return bool(self.added or self.removed or self.changed or self.places or self.view_otherwise)

    def touched(self, collection: str) -> frozenset[str]:
        """Every id of that collection that was added, removed or changed."""
        empty: frozenset[str] = frozenset()
        return (
            self.added.get(collection, empty)
            | self.removed.get(collection, empty)
            | self.changed.get(collection, empty)
        )


def delta(before: Job, after: Job) -> Delta:
    added: dict[str, frozenset[str]] = {}
    removed: dict[str, frozenset[str]] = {}
    changed: dict[str, frozenset[str]] = {}
    for name in _COLLECTIONS:
        old, new = getattr(before, name), getattr(after, name)
        if old is new:
            continue
        for into, keys in zip((added, removed, changed), _compare(old, new), strict=True):
            if keys:
                into[name] = keys
    places: frozenset[str] = frozenset()
    if before.view.places is not after.view.places:
        places = frozenset().union(*_compare(before.view.places, after.view.places))
    view_otherwise = (before.view.side, before.view.opened) != (after.view.side, after.view.opened)
    record = (
        before.sheet != after.sheet
        or before.settings != after.settings
        or before.acceptances != after.acceptances
        or before.readings != after.readings
    )
    return Delta(added, removed, changed, places, view_otherwise, record)


def _compare(
    old: Mapping[str, Any], new: Mapping[str, Any]
) -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
    added = frozenset(new.keys() - old.keys())
    removed = frozenset(old.keys() - new.keys())
    changed = frozenset(
        key for key, value in new.items() if key in old and old[key] is not value and old[key] != value
    )
    return added, removed, changed
