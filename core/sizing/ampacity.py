"""What a conductor carries for good where it runs: in a bundle, in a warm cabin."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass

from core.library.ampacity import Ampacity
from core.library.carrying import Carrying
from core.units import area_mm2

TABLE_CELSIUS = 30.0
"""The surroundings that Table 5 of 33 CFR 183.425 counts with (common practice; engine space: 50 °C)."""
THICK_BUNDLE_WIRES, THICK_BUNDLE_CELSIUS = 33, 70.0
"""Wires and surroundings of the bundle table, FAA AC 43.13-1B CHG 1, Table 11-9."""


def bundle_factor(factors: Mapping[int, float], loaded_wires: int) -> float:
    """What is left of a conductor's amps among so many loaded wires, itself counted."""
    return factors[max(least for least in factors if least <= max(loaded_wires, 1))]


def warmth_factor(celsius: float, insulation_celsius: float, table_celsius: float = TABLE_CELSIUS) -> float:
    """What is left of a conductor's amps in warmer surroundings: heat goes with the square of the amps.

    0 where the surroundings are as hot as the insulation stands. It gives the factors for engine spaces of
    33 CFR 183.425, Table 5, note 1, for every class of insulation.
    """
    head = (insulation_celsius - celsius) / (insulation_celsius - table_celsius)
    return math.sqrt(max(head, 0.0))


@dataclass(frozen=True)
class Surroundings:
    """Where conductors run: how many loaded wires together, how warm, and what the insulation stands."""

    loaded_wires: int
    celsius: float
    insulation_celsius: float


class BundledAmpacity:
    """The amps of any conductor in given surroundings.

    From 18 AWG up those of the ampacity table; below, those of the thick bundle table, brought from its
    wires and surroundings to these. In between along the straight line of logarithms. The ampacity table is
    the ceiling.
    """

    def __init__(self, ampacity: Ampacity, carrying: Carrying, around: Surroundings) -> None:
        self.around = around
        self._ampacity = ampacity
        self._factor = bundle_factor(carrying.factors, around.loaded_wires) * warmth_factor(
            around.celsius, around.insulation_celsius
        )
        thick = bundle_factor(carrying.factors, THICK_BUNDLE_WIRES) * warmth_factor(
            THICK_BUNDLE_CELSIUS, around.insulation_celsius
        )
        thinnest = min(map(area_mm2, ampacity))
        thin = {
            area: amps / thick
            for gauge, amps in carrying.thick_bundle.items()
            if (area := area_mm2(gauge)) < thinnest
        }
        by_area = sorted((*thin.items(), (thinnest, ampacity.of_area(thinnest))))
        self._areas = [area for area, _ in by_area]
        self._amps = [amps for _, amps in by_area]

    def amps(self, gauge: str) -> float:
        """The most amps for good of a gauge. Raises ValueError for what is no gauge."""
        return self.of_area(area_mm2(gauge))

    def of_area(self, area: float) -> float:
        """The same by copper area in mm2. Below the thinnest row in proportion to the area."""
        single = self.single(area)
        ceiling = single if area <= self._areas[-1] else self._ampacity.of_area(area)
        return min(single * self._factor, ceiling)

    def single(self, area: float) -> float:
        """Of a conductor by itself in the surroundings of the ampacity table."""
        areas, amps = self._areas, self._amps
        if area >= areas[-1]:
            return self._ampacity.of_area(area)
        if area <= areas[0]:
            return amps[0] * area / areas[0]
        above = bisect_left(areas, area)
        below = above - 1
        share = math.log(area / areas[below]) / math.log(areas[above] / areas[below])
        return float(amps[below] * (amps[above] / amps[below]) ** share)
