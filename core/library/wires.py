"""The table of wire sizes, and the nearest size in the other system."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import get_args

from core.library.model import GaugeSystem, WireSize
from core.library.tables import read_table
from core.units import area_mm2

_COLUMNS = ["gauge", "system", "area_mm2", "ohm_per_km_20c", "outside_diameter_mm", "source"]
_SYSTEMS: tuple[GaugeSystem, ...] = get_args(GaugeSystem)
_AREA_TOLERANCE = 0.001


def read_wires(path: Path) -> dict[str, WireSize]:
    """The rows of a wire table by gauge. Raises FileProblem."""
    found: dict[str, WireSize] = {}
    for row in read_table(path, _COLUMNS):
        gauge = row.text("gauge")
        size = WireSize(
            gauge=gauge,
            system=row.one_of("system", _SYSTEMS),
            area_mm2=row.number("area_mm2"),
            ohm_per_km_20c=row.number("ohm_per_km_20c"),
            outside_diameter_mm=row.number("outside_diameter_mm"),
            source=row.text("source"),
        )
        if gauge in found:
            raise row.problem(f"gauge {gauge!r} stands twice")
        if not gauge.endswith(f" {size.system}"):
            raise row.problem(f"gauge {gauge!r} is not of the system {size.system}")
        try:
            nominal = area_mm2(gauge)
        except ValueError as error:
            raise row.problem(str(error)) from error
        if abs(size.area_mm2 / nominal - 1) > _AREA_TOLERANCE:
            raise row.problem(f"{gauge} has {nominal:.4g} mm2, not {size.area_mm2:g}")
        found[gauge] = size
    return found


def in_size_order(wires: Iterable[WireSize]) -> tuple[WireSize, ...]:
    """mm2 before AWG, thin before thick."""
    return tuple(sorted(wires, key=lambda size: (_SYSTEMS.index(size.system), size.area_mm2)))


def nearest(wires: Mapping[str, WireSize], gauge: str, system: GaugeSystem) -> str:
    """The size of a system whose area is nearest in ratio. Raises ValueError for what is no gauge."""
    wanted = math.log(area_mm2(gauge))
    sizes = [size for size in in_size_order(wires.values()) if size.system == system]
    return min(sizes, key=lambda size: abs(math.log(size.area_mm2) - wanted)).gauge
