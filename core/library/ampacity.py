"""What a conductor may carry for good, by its gauge."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Mapping
from itertools import pairwise
from pathlib import Path

from core.errors import FileProblem
from core.library.tables import read_table
from core.units import area_mm2

_COLUMNS = ["gauge", "amps", "source"]


class Ampacity(Mapping[str, float]):
    """The amps of the table by gauge; `amps` answers for every other gauge too."""

    def __init__(self, rows: Mapping[str, float] | None = None) -> None:
        self._rows = dict(rows or {})
        by_area = sorted((area_mm2(gauge), amps) for gauge, amps in self._rows.items())
        self._areas = [area for area, _ in by_area]
        self._amps = [amps for _, amps in by_area]

    def __getitem__(self, gauge: str) -> float:
        return self._rows[gauge]

    def __iter__(self) -> Iterator[str]:
        return iter(self._rows)

    def __len__(self) -> int:
        return len(self._rows)

    def amps(self, gauge: str) -> float:
        """The most amps for good of any gauge. Raises ValueError for what is no gauge."""
        return self.of_area(area_mm2(gauge))

    def of_area(self, area: float) -> float:
        """The same by copper area in mm2.

        Between two rows along the straight line of their logarithms. Below the thinnest row in proportion
        to the area, above the thickest no more than that one: assumed, on the safe side.
        """
        areas, amps = self._areas, self._amps
        if area <= areas[0]:
            return amps[0] * area / areas[0]
        if area >= areas[-1]:
            return amps[-1]
        above = bisect_left(areas, area)
        below = above - 1
        share = math.log(area / areas[below]) / math.log(areas[above] / areas[below])
        return float(amps[below] * (amps[above] / amps[below]) ** share)


def read_ampacity(path: Path, known: Mapping[str, float]) -> dict[str, float]:
    """The rows of an ampacity table by gauge, over those known already; a thicker size carries no less.

    Raises FileProblem.
    """
    found: dict[str, float] = {}
    for row in read_table(path, _COLUMNS):
        gauge = row.text("gauge")
        row.text("source")
        if gauge in found:
            raise row.problem(f"gauge {gauge!r} stands twice")
        try:
            area_mm2(gauge)
        except ValueError as error:
            raise row.problem(str(error)) from error
        found[gauge] = row.number("amps")
    whole = {**known, **found}
    if not whole:
        raise FileProblem(path.name, "has no rows")
    by_area = sorted(whole, key=area_mm2)
    for thin, thick in pairwise(by_area):
        if whole[thick] < whole[thin]:
            raise FileProblem(path.name, f"{thick} would carry less than {thin}")
    return whole
