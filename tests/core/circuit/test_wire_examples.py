"""Published worked examples of wires, answered by the whole program: a wire table, a job and its solve.

The examples' own ohms stand in a wire table as a user may have one; the values are in
`tests/reference/worked_wire_examples.csv`, each with the title it is from.
"""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from core.job.internals import Load
from core.job.record import CarBattery
from core.library.library import Library
from core.library.limits import Limits
from tests.core.checks.jobs import library
from tests.core.circuit.cases.asked import Answers
from tests.core.circuit.cases.build import ALWAYS, MM_PER_FOOT, Run, body, job_of, part
from tests.core.circuit.cases.keyed import feed

TABLE = Path(__file__).parents[2] / "reference" / "worked_wire_examples.csv"
GAUGE = "10 AWG"
# What an example's length is counted in, in metres, and how many of it its ohms are given for. A whole wire
# is taken for one of a metre.
UNITS = {
    "ft": (MM_PER_FOOT / 1000, 1),
    "1000 ft": (MM_PER_FOOT / 1000, 1000),
    "m": (1.0, 1),
    "whole": (1.0, 1),
}
COPPER_PER_KELVIN = 0.00393


def rows() -> list[dict[str, str]]:
    with TABLE.open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))


def with_wire(ohm_per_km_20c: float, celsius: float) -> Library:
    """The shipped library, with that wire in its table, in a car of that temperature."""
    shipped = library()
    limits = dict(shipped.limits.rows)
    limits["wire_celsius"] = limits["wire_celsius"]._replace(value=celsius)
    sizes = dict(shipped.sizes)
    sizes[GAUGE] = replace(sizes[GAUGE], ohm_per_km_20c=ohm_per_km_20c)
    return replace(shipped, sizes=sizes, limits=Limits(limits))


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["example"])
def test_a_worked_example(row: dict[str, str]) -> None:
    metres, count = UNITS[row["unit"]]
    per_km = float(row["ohms_per_unit"]) / count / metres * 1000
    at_20 = per_km / (1 + COPPER_PER_KELVIN * (float(row["given_at_celsius"]) - 20))
    load = part("LMP", "plus minus", Load(plus="A-plus", minus="A-minus", amps=float(row["amps"])))
    job = job_of(
        (part("CAR", "feed", feed(ALWAYS), car=True), load, body()),
        (
            Run("CAR-feed", "LMP-plus", GAUGE, float(row["length"]) * metres * 1000),
            Run("LMP-minus", "GND-bolt"),
        ),
        # Volts enough for the longest of them.
        battery=CarBattery(rest_volts=500.0, ohms=0.001),
    )
    point = Answers(job, with_wire(at_20, float(row["celsius"]))).at("off")
    drop = point.drop_volts("W1")
    assert drop is not None
    assert abs(drop) == pytest.approx(float(row["expected"]), rel=float(row["within"]))
