"""Every field case in every position of its standard set, beside ngspice on a deck of its own."""

from __future__ import annotations

from core.circuit.positions import Position
from core.job.record import JobSheet
from tests.core.checks.jobs import library
from tests.core.circuit.cases.every import every_job
from tests.spice.compare import cases, compare_all

LEAST_VOLTS, LEAST_AMPS = 4_000, 2_000


def test_every_case_is_as_ngspice_has_it() -> None:
    found = []
    for name, job in every_job().items():
        titled = job.changed(sheet=JobSheet(title=name))
        found += cases(titled, library())
        found += cases(titled, library(), [Position("start", ("cut-off",)), Position("off", ("three",))])
    result = compare_all(found)
    assert result.wrong == []
    assert result.volts > LEAST_VOLTS
    assert result.amps > LEAST_AMPS
