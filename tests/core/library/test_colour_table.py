"""The colour table against IEC 60757."""

from __future__ import annotations

import csv
from pathlib import Path

from core.colours import swatches


def test_codes_and_names_are_those_of_iec_60757(root: Path) -> None:
    # IEC 60757 Table 1, as printed in "List of Standards". Green-and-yellow is a pair, not a code, here.
    with (root / "tests" / "reference" / "iec60757_codes.csv").open(encoding="utf-8") as table:
        published = {row["code"]: row["colour"].partition(" (")[0] for row in csv.DictReader(table)}
    assert published.pop("GNYE") == "green-and-yellow"
    ours = {code: swatch.name for code, swatch in swatches().items() if swatch.source.startswith("IEC 60757")}
    assert ours == published


def test_own_letters_say_so() -> None:
    own = [swatch for swatch in swatches().values() if not swatch.source.startswith("IEC")]
    assert own
    assert all(swatch.source.startswith("own letters") for swatch in own)
