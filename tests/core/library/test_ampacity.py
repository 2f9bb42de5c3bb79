"""What conductors carry, against the published table."""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import pytest

from core.errors import FileProblem
from core.library import default_library, load_library
from core.library.ampacity import read_ampacity
from core.paths import shared_folder

AMPACITY = default_library().ampacity
HEADING = "gauge,amps,source\n"


def table(folder: Path, text: str) -> Path:
    path = folder / "limits" / "ampacity.csv"
    path.parent.mkdir(parents=True)
    path.write_text(HEADING + text, encoding="utf-8")
    return path


def test_every_row_is_that_of_the_regulation(root: Path) -> None:
    # 33 CFR 183.425, Table 5: insulation for 105 °C.
    with (root / "tests" / "reference" / "ampacity_by_insulation.csv").open(encoding="utf-8") as file:
        published = {f"{row['awg']} AWG": float(row["105C"]) for row in csv.DictReader(file)}
    assert dict(AMPACITY) == published
    assert {gauge: AMPACITY.amps(gauge) for gauge in published} == pytest.approx(published)


def test_an_area_between_two_rows_carries_what_lies_between() -> None:
    # 18 AWG has 0.823 mm2 and 16 AWG 1.31 mm2 (ASTM B258).
    assert AMPACITY.amps("18 AWG") < AMPACITY.amps("1.0 mm2") < AMPACITY.amps("16 AWG")
    sizes = ["0.22 mm2", "0.35 mm2", "0.5 mm2", "0.75 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "120 mm2"]
    assert all(AMPACITY.amps(a) < AMPACITY.amps(b) for a, b in pairwise(sizes))


def test_beyond_the_table_it_stays_on_the_safe_side() -> None:
    # In proportion to the area: no more amps for each mm2 than the thinnest row has.
    assert AMPACITY.of_area(0.4115) == pytest.approx(AMPACITY.amps("18 AWG") / 2, rel=0.001)
    assert AMPACITY.amps("240 mm2") == AMPACITY.amps("0000 AWG")
    with pytest.raises(ValueError, match="is not a gauge"):
        AMPACITY.amps("thick")


def test_a_shop_overrides_single_rows(tmp_path: Path) -> None:
    table(tmp_path, "18 AWG,14,what our shop holds to\n")
    ours = load_library([shared_folder(), tmp_path]).ampacity
    assert ours.amps("18 AWG") == 14
    assert ours.amps("16 AWG") == AMPACITY.amps("16 AWG")


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("", "ampacity.csv: has no rows"),
        ("thick,10,us\n", "row 2: 'thick' is not a gauge"),
        ("18 AWG,0,us\n", "row 2: column 'amps' holds 0, which is not above zero"),
        ("18 AWG,20,\n", "row 2: column 'source' is empty"),
        ("18 AWG,20,us\n18 AWG,21,us\n", "row 3: gauge '18 AWG' stands twice"),
        ("18 AWG,20,us\n16 AWG,19,us\n", "16 AWG would carry less than 18 AWG"),
    ],
)
def test_what_is_refused(tmp_path: Path, rows: str, said: str) -> None:
    with pytest.raises(FileProblem, match=said):
        read_ampacity(table(tmp_path, rows), {})


def test_a_library_without_the_table_is_refused(tmp_path: Path) -> None:
    for name in ("functions.csv", "function_pairs.csv", "limits/electrical.csv"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes((shared_folder() / name).read_bytes())
    with pytest.raises(FileProblem, match=r"ampacity\.csv: is not there"):
        load_library([tmp_path])
