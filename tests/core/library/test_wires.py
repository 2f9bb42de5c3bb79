"""The wire table against published tables."""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import pytest

from core.library import WireSize, default_library

LIBRARY = default_library()


def rows(root: Path, name: str) -> list[dict[str, str]]:
    with (root / "tests" / "reference" / name).open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))


def of(system: str) -> list[WireSize]:
    return [size for size in LIBRARY.wires if size.system == system]


def test_areas_are_those_of_astm_b258(root: Path) -> None:
    # ASTM B258 formula, as tabled in HyperPhysics "American Wire Gauge" (Floyd, 2nd ed.).
    checked = 0
    for row in rows(root, "awg_solid.csv"):
        size = LIBRARY.sizes.get(f"{row['awg']} AWG")
        if size is not None:
            assert size.area_mm2 == pytest.approx(float(row["area_mm2"]), rel=0.001)
            checked += 1
    assert checked >= 9


def test_stranded_wire_has_more_ohms_than_solid_of_its_size_and_not_much_more(root: Path) -> None:
    # HyperPhysics "American Wire Gauge"; strands cost 1 to 8 %, small gauges are made over size.
    for row in rows(root, "awg_solid.csv"):
        size = LIBRARY.sizes.get(f"{row['awg']} AWG")
        if size is not None:
            assert 0.90 < size.ohm_per_km_20c / float(row["ohm_per_km_20c"]) < 1.15


def test_awg_ohms_lie_within_the_published_constructions(root: Path) -> None:
    # "Stranded Wire Data Chart"; FAA AC 43.13-1B Table 11-9; SAE J1128 least areas.
    published: dict[str, list[float]] = {}
    for row in rows(root, "awg_stranded.csv"):
        published.setdefault(f"{row['awg']} AWG", []).append(float(row["ohm_per_km_20c"]))
    for gauge, values in published.items():
        if gauge in LIBRARY.sizes:
            ohms = LIBRARY.sizes[gauge].ohm_per_km_20c
            assert min(values) * 0.99 <= ohms <= max(values) * 1.01


def test_metric_ohms_are_those_of_iec_60228_class_5(root: Path) -> None:
    # IEC 60228:2004, class 5, plain copper, largest resistance at 20 C.
    for row in rows(root, "metric_resistance.csv"):
        ohms = LIBRARY.wire(f"{float(row['mm2']):g} mm2").ohm_per_km_20c
        assert ohms == pytest.approx(float(row["class_5_most_ohm_per_km"]), rel=0.001)
        assert ohms > float(row["ideal_ohm_per_km"])


def test_sizes_from_memory_are_near_the_japanese_table(root: Path) -> None:
    # JIS C 3406 AV, largest resistance; compared per mm2 of true copper, as nominal areas differ.
    for row in rows(root, "japanese_cable.csv"):
        size = LIBRARY.sizes.get(f"{float(row['mm2']):g} mm2")
        if size is not None:
            published = float(row["most_ohm_per_km_20c"]) * float(row["calculated_area_mm2"])
            assert size.ohm_per_km_20c * size.area_mm2 == pytest.approx(published, rel=0.12)


def test_diameters_over_the_insulation(root: Path) -> None:
    # "Automotive Cable Range (thin wall, ISO 6722 class B)"; "GXL Medium Insulation Wire (SAE J1128)", 2015.
    checked = 0
    for row in rows(root, "outside_diameter.csv"):
        size = LIBRARY.sizes.get(f"{float(row['size']):g} {row['unit']}")
        if size is not None:
            assert size.outside_diameter_mm == pytest.approx(float(row["outside_diameter_mm"]), rel=0.01)
            checked += 1
    assert checked >= 16


@pytest.mark.parametrize("system", ["AWG", "mm2"])
def test_thicker_wire_has_fewer_ohms_and_more_copper(system: str) -> None:
    sizes = of(system)
    for thin, thick in pairwise(sizes):
        assert thin.area_mm2 < thick.area_mm2
        assert thin.ohm_per_km_20c > thick.ohm_per_km_20c
        assert thin.outside_diameter_mm < thick.outside_diameter_mm or thin.gauge == "22 AWG"


def test_the_sizes_that_a_workshop_has_are_there() -> None:
    assert {f"{n} AWG" for n in (4, 6, 8, 10, 12, 14, 16, 18, 20, 22)} <= LIBRARY.sizes.keys()
    assert {f"{a:g} mm2" for a in (0.22, 0.35, 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10)} <= LIBRARY.sizes.keys()


def test_what_is_from_memory_says_so() -> None:
    seen = ("IEC 60228", "Stranded Wire Data Chart", "SAE J1128 least area")
    for size in LIBRARY.wires:
        ohms, diameter = size.source.split("resistance: ")[1].split("; diameter: ")
        assert ohms.startswith(seen) or "from memory" in ohms
        assert (
            diameter.startswith(("ISO 6722 class B", "SAE J1128 GXL data sheet")) or "from memory" in diameter
        )


@pytest.mark.parametrize(
    ("gauge", "system", "nearest"),
    [
        ("18 AWG", "mm2", "0.75 mm2"),
        ("20 AWG", "mm2", "0.5 mm2"),
        ("16 AWG", "mm2", "1.25 mm2"),
        ("0.75 mm2", "AWG", "18 AWG"),
        ("2.5 mm2", "AWG", "14 AWG"),
        ("16 mm2", "AWG", "6 AWG"),
        ("18 AWG", "AWG", "18 AWG"),
        ("0.6 mm2", "mm2", "0.6 mm2"),
    ],
)
def test_nearest_size_in_the_other_system(gauge: str, system: str, nearest: str) -> None:
    assert LIBRARY.nearest(gauge, "AWG" if system == "AWG" else "mm2") == nearest


def test_a_size_that_is_not_in_the_table_is_taken_for_its_neighbour() -> None:
    assert LIBRARY.wire("0.8 mm2").gauge == "0.75 mm2"
    assert LIBRARY.wire("17 AWG").system == "AWG"
    with pytest.raises(ValueError, match="not a gauge"):
        LIBRARY.wire("thick")
