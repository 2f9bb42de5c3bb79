"""The examples of textbooks and courses; each one's title and what of it was seen stand beside it in
tests/reference/worked_dc_circuits.csv.

Their supplies have no ohms, ours at least a milliohm: all resistances are taken ten thousand times as large,
which leaves the volts as they are and divides the amps by as much.
"""

from __future__ import annotations

import csv
import re
from fractions import Fraction
from pathlib import Path

import pytest

from core.circuit.kernel.circuit import Circuit
from core.circuit.network import Source
from tests.core.circuit.kernel.nets import RUN, Row, network, solved, source

TIMES = 1e4
TABLE = Path(__file__).resolve().parents[3] / "reference" / "worked_dc_circuits.csv"
EXAMPLES = list(csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda row: row["id"])
def test_the_answers_of_the_book(example: dict[str, str]) -> None:
    nodes: dict[str, int] = {"0": 0}
    rows: list[Row] = []
    names: list[str] = []
    sources: list[Source] = []
    for part in example["netlist"].split(";"):
        name, a, b, value = part.split()
        ends = [nodes.setdefault(word, len(nodes)) for word in (a, b)]
        if name.startswith("V"):
            sources.append(source(ends[0], ends[1], float(value), name=name))
        else:
            names.append(name)
            rows.append((ends[0], ends[1], float(value) * TIMES))
    net = network(len(nodes), rows, *sources)
    found = solved(net).after
    assert not found.floating.any()

    def value_of(words: str) -> float:
        kind, name = re.fullmatch(r"(\w+)(?:\((\w+)\))?", words.strip()).groups()  # type: ignore[union-attr]
        if kind == "v":
            return float(found.volts[nodes[name]])
        if kind == "Req":
            first = sources[0]
            meter = Circuit(network(len(nodes), rows))
            ohms = meter.ohms(first.plus, first.minus, RUN)
            assert ohms is not None
            return ohms / TIMES
        if name.startswith("V"):
            return found.device_amps[name] * TIMES
        return float(found.resistor_amps[names.index(name)]) * TIMES

    for statement in example["expected"].split(";"):
        words, expected = statement.split("=")
        parts = [value_of(word) for word in words.split("-")]
        digits = len(expected.partition(".")[2])
        slack = 0.5 * 10.0**-digits if digits else 1e-6  # as many digits as are printed
        assert parts[0] - sum(parts[1:]) == pytest.approx(float(Fraction(expected)), rel=1e-6, abs=slack)
