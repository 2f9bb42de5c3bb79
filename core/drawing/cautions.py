"""The cautions, each where the hand is. Texts: `resources/cautions.csv`, common practice of the trade."""

from __future__ import annotations

import csv
from functools import cache

from core.paths import resources_folder


@cache
def _rows() -> tuple[tuple[str, str], ...]:
    with (resources_folder() / "cautions.csv").open(encoding="utf-8", newline="") as table:
        return tuple((row["place"], row["text"]) for row in csv.DictReader(table))


def cautions(place: str) -> list[str]:
    """The sentences for a place: a sheet's name, or `airbag` for a plug with an airbag circuit."""
    return [text for where, text in _rows() if where == place]
