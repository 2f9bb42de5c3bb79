"""The tables that a deck needs, read with the csv module alone."""

from __future__ import annotations

import csv
import math
from functools import cache

from core.paths import shared_folder

_AWG_BASE, _AWG_STEP_MM = 92, 0.127  # ASTM B258: d = 0.127 mm x 92^((36 - n) / 39)


@cache
def limits() -> dict[str, float]:
    """The electrical defaults by name."""
    with (shared_folder() / "limits" / "electrical.csv").open(encoding="utf-8", newline="") as file:
        return {row["name"]: float(row["value"]) for row in csv.DictReader(file)}


@cache
def _sizes() -> dict[str, tuple[str, float, float]]:
    """System, area and ohm/km at 20 C by gauge."""
    with (shared_folder() / "wires.csv").open(encoding="utf-8", newline="") as file:
        return {
            row["gauge"]: (row["system"], float(row["area_mm2"]), float(row["ohm_per_km_20c"]))
            for row in csv.DictReader(file)
        }


@cache
def functions() -> dict[str, dict[str, str]]:
    """The rows of the function table by id."""
    with (shared_folder() / "functions.csv").open(encoding="utf-8", newline="") as file:
        return {row["id"]: row for row in csv.DictReader(file)}


@cache
def ohm_per_km(gauge: str | None) -> float:
    """Of the gauge, else of the size of its system nearest to it by area; as warm as wires are taken."""
    if gauge is None:
        gauge = f"{limits()['lead_area_mm2']:g} mm2"
    size = _sizes().get(gauge)
    if size is None:
        number, system = gauge.split(" ")
        wanted = _area_mm2(number, system)
        alike = [row for row in _sizes().values() if row[0] == system]
        size = min(alike, key=lambda row: abs(math.log(row[1] / wanted)))
    warmer = limits()["wire_celsius"] - 20
    return size[2] * (1 + limits()["copper_per_kelvin"] * warmer)


def _area_mm2(number: str, system: str) -> float:
    if system == "mm2":
        return float(number)
    awg = 1 - len(number) if not number.strip("0") else int(number)
    return math.pi / 4 * (_AWG_STEP_MM * _AWG_BASE ** ((36 - awg) / 39)) ** 2


def conductor_ohms(gauge: str | None, length_mm: float | None) -> float:
    """Of a length of wire, without its joints."""
    length = limits()["lead_length_mm"] if length_mm is None else length_mm
    return ohm_per_km(gauge) * length / 1e6
