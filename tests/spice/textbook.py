"""Worked examples of open textbooks, as tests/reference/worked_dc_examples.csv writes them."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

FILE = Path(__file__).parents[1] / "reference" / "worked_dc_examples.csv"


@dataclass(frozen=True)
class Example:
    """`branches`: name (V: volts with plus first, R: ohms), its two nodes, its value. `volts` of nodes are to
    node 0; `amps` of a resistor go from its first node to its second, those of a source are given. `ohms`:
    the whole of it, as the source sees it. What the table says of a difference of volts is left out.
    """

    id: str
    branches: tuple[tuple[str, str, str, float], ...]
    volts: dict[str, float]
    amps: dict[str, float]
    ohms: float | None

    @property
    def nodes(self) -> tuple[str, ...]:
        return tuple(sorted({node for _, a, b, _ in self.branches for node in (a, b)}))


def examples() -> Iterator[Example]:
    with FILE.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            branches = []
            for text in row["netlist"].split(";"):
                name, a, b, value = text.split()
                branches.append((name, a, b, float(value)))
            said = dict(pair.strip().split("=") for pair in row["expected"].split(";"))
            values = {name: float(Fraction(text)) for name, text in said.items() if "-v(" not in name}
            yield Example(
                row["id"],
                tuple(branches),
                {name[2:-1]: value for name, value in values.items() if name.startswith("v(")},
                {name[2:-1]: value for name, value in values.items() if name.startswith("i(")},
                values.get("Req"),
            )
