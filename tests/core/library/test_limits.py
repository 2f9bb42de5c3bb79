"""The electrical defaults: read whole, overridden row by row, and near to what is published."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.errors import FileProblem
from core.library import default_library, load_library
from core.library.limits import NEEDED, Limit, Limits, cannot_be, complete, read_limits
from core.paths import shared_folder

HEADING = "name,value,unit,words,source\n"


def table(folder: Path, text: str) -> Path:
    path = folder / "limits" / "electrical.csv"
    path.parent.mkdir(parents=True)
    path.write_text(HEADING + text, encoding="utf-8")
    return path


UNITS = ("ohm", "V", "A", "share", "mm", "mm2", "1/K", "°C", "Ah", "d", "factor", "ratio", "ends", "wires")


def test_every_row_says_where_it_is_from() -> None:
    limits = default_library().limits
    assert set(limits) >= NEEDED
    for row in limits.rows.values():
        assert row.source
        assert row.words
        assert row.unit in UNITS, row


def test_a_name_tells_its_unit() -> None:
    units = {"ohms": "ohm", "12v": "ohm", "volts": "V", "amps": "A", "share": "share", "hours": "Ah"}
    for name, row in default_library().limits.rows.items():
        last = name.rpartition("_")[2]
        assert row.unit == units.get(last, row.unit)


def test_an_unknown_name_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        default_library().limits["contact_ohm"]


def test_copper_rises_as_the_faa_says() -> None:
    # FAA Advisory Circular 43.13-1B, chapter 11: L2 = 254.5 x L1 / (234.5 + T2), lengths of equal ohms.
    limits = default_library().limits
    for celsius in (20, 60, 105):
        rise = 1 + limits["copper_per_kelvin"] * (celsius - limits["wire_celsius"])
        assert rise == pytest.approx((234.5 + celsius) / 254.5, rel=0.001)


def test_a_shop_overrides_single_rows(tmp_path: Path) -> None:
    table(tmp_path, "contact_ohms,0.004,ohm,a mated contact,measured in our shop\n")
    limits = load_library([shared_folder(), tmp_path]).limits
    assert limits["contact_ohms"] == 0.004
    assert limits.rows["contact_ohms"].source == "measured in our shop"
    assert limits["crimp_ohms"] == default_library().limits["crimp_ohms"]


@pytest.mark.parametrize(
    ("row", "cause"),
    [
        ("contact_ohm,0.004,ohm,x,y", "'contact_ohm' is no name of the shipped table"),
        ("contact_ohms,4,mohm,x,y", "'contact_ohms' is in ohm, not in mohm"),
        ("contact_ohms,few,ohm,x,y", "'few', which is not a number"),
        ("contact_ohms,-1,ohm,x,y", "not above zero"),
        ("contact_ohms,0.004,ohm,x,", "'source' is empty"),
        ("contact_ohms,0.004,ohm,x,y\ncontact_ohms,0.004,ohm,x,y", "stands twice"),
        ("step_down_efficiency,85,share,x,y", "cannot be 85"),
    ],
)
def test_a_bad_row_is_named(tmp_path: Path, row: str, cause: str) -> None:
    table(tmp_path, row + "\n")
    with pytest.raises(FileProblem, match=r"electrical\.csv, row [23]") as caught:
        load_library([shared_folder(), tmp_path])
    assert cause in str(caught.value)


def test_a_shipped_table_without_a_needed_row_is_refused(tmp_path: Path) -> None:
    rows = read_limits(table(tmp_path, "contact_ohms,0.002,ohm,x,y\n"), {})
    with pytest.raises(FileProblem, match="no row for 'battery_amp_hours'"):
        complete(rows, "electrical.csv")
    assert len(Limits()) == 0


@pytest.mark.parametrize(
    ("value", "unit", "shown"),
    [
        (0.002, "ohm", "0.002 ohm"),
        (0.8, "share", "80 %"),
        (0.5, "mm2", "0.5 mm²"),
        (3, "1", "3"),
        (85, "°C", "85 °C"),
    ],
)
def test_a_limit_is_shown_with_its_unit(value: float, unit: str, shown: str) -> None:
    assert Limit(value, unit, "words", "source").shown == shown


def test_a_share_is_no_more_than_the_whole() -> None:
    assert "cannot be 1.2" in cannot_be("drop_out_share", "share", 1.2)
    assert cannot_be("drop_out_share", "share", 1.0) == ""
    assert cannot_be("fuse_opens_share", "share", 1.35) == ""
    assert cannot_be("strap_ohms", "ohm", 12.0) == ""
