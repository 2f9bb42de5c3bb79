"""Points, numbers and sheets of readings as plain data."""

from __future__ import annotations

import pytest

from app.panels.readings_rows import Sheet, Sheets
from app.work.points import show_value, typed_value
from core.edits.joins import join
from core.edits.record import add_reading
from core.library.library import Library
from tests.app.jobs import joined_job, terminal_with


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12.4", 12.4),
        ("12,4 V", 12.4),
        ("−0.3", -0.3),
        ("-35mV", -0.035),
        ("4.7k", 4700.0),
        ("1.5 MΩ", 1.5e6),
        ("280 mA", 0.28),
        (".5", 0.5),
        ("12 mohm", 0.012),
        ("OL", None),
        ("1e3", None),
        ("=1+1", None),
        ("", None),
    ],
)
def test_what_fingers_type(text: str, value: float | None) -> None:
    found = typed_value(text)
    assert found == pytest.approx(value) if value is not None else found is None


@pytest.mark.parametrize(
    ("value", "quantity", "text"),
    [
        (12.434, "volts", "12.43 V"),
        (-0.051, "volts", "−51 mV"),
        (0.0001, "volts", "0 V"),
        (0.28, "amps", "0.28 A"),
        (-0.0042, "amps", "−4.2 mA"),
        (-1e-12, "amps", "0 A"),
        (4700.0, "ohms", "4.7 kΩ"),
        (0.9, "ohms", "0.90 Ω"),
        (0.0138, "ohms", "13.8 mΩ"),
    ],
)
def test_what_a_meter_shows(value: float, quantity: str, text: str) -> None:
    assert show_value(value, quantity) == text  # type: ignore[arg-type]


def test_a_sheet_is_kept_while_only_readings_come(library: Library) -> None:
    job = joined_job(library)
    sheets, sheet = Sheets(library), Sheet("off")
    before = sheets.rows(job, sheet)
    pin = before[0].asked.red
    read = add_reading(job, pin, "battery -", position="off", value=1.0, name="A. Marlow")
    after = sheets.rows(read, sheet)
    assert [row.asked for row in after] == [row.asked for row in before]
    assert after[0].last is not None
    assert after[1] is before[1]
    fresh = Sheets(library)
    for other in (Sheet("run"), Sheet("run", "ohms"), Sheet("off", "ohms"), Sheet("off")):
        assert sheets.rows(read, other) == fresh.rows(read, other)
        fresh = Sheets(library)
    joined = join(read, terminal_with(job, "RAD", "accessory"), terminal_with(job, "REC", "accessory"))
    assert len(sheets.rows(joined, sheet)) == len(before) + 1
