"""The cautions, each where the hand is. Texts: `resources/cautions.csv`, common practice of the trade."""

from __future__ import annotations

import csv
from functools import cache

from core.paths import resources_folder

_COLUMNS = ["place", "when", "text"]


@cache
def _rows() -> tuple[tuple[str, str, str], ...]:
    with (resources_folder() / "cautions.csv").open(encoding="utf-8", newline="") as table:
        return tuple(tuple(row[name] for name in _COLUMNS) for row in csv.DictReader(table))  # type: ignore[misc]


def cautions(place: str, *, airbag: bool = False) -> list[str]:
    """The sentences for a place (a sheet's name, or `airbag`); with `airbag`, also those for airbag plugs alone."""
    return [text for where, when, text in _rows() if where == place and (not when or airbag)]
