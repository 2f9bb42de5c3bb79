"""Which wire carries a load over a length within a drop, and which stands for several in one joint."""

from __future__ import annotations

from collections.abc import Iterable

from core.library.model import WireSize
from core.sizing.ampacity import BundledAmpacity


def drop_volts(ohm_per_km: float, length_mm: float, amps: float) -> float:
    """What a conductor loses. The length is that of the copper: there and back, where both are meant."""
    return ohm_per_km * length_mm / 1e6 * amps


def wire_for(
    sizes: Iterable[WireSize],
    load_amps: float,
    length_mm: float,
    most_drop_volts: float,
    carries: BundledAmpacity | None = None,
    least_amps: float = 0.0,
) -> WireSize | None:
    """The thinnest of the sizes that loses no more than that over the whole length of copper, and carries the
    load and `least_amps` (its fuse) for good where it runs. None where none does.
    """
    needed = max(load_amps, least_amps)
    for size in sorted(sizes, key=lambda size: size.area_mm2):
        if drop_volts(size.ohm_per_km_20c, length_mm, load_amps) > most_drop_volts:
            continue
        if carries is None or carries.of_area(size.area_mm2) >= needed:
            return size
    return None


def thicker(sizes: Iterable[WireSize], carries: BundledAmpacity, least_amps: float) -> WireSize | None:
    """The thinnest of the sizes that carries so many amps for good where it runs."""
    by_area = sorted(sizes, key=lambda size: size.area_mm2)
    return next((size for size in by_area if carries.of_area(size.area_mm2) >= least_amps), None)


def stands_for(sizes: Iterable[WireSize], areas_mm2: Iterable[float]) -> WireSize | None:
    """The size that stands for several conductors in one barrel: their whole area, or the next above."""
    whole = sum(areas_mm2)
    by_area = sorted(sizes, key=lambda size: size.area_mm2)
    return next((size for size in by_area if size.area_mm2 >= whole), None)
