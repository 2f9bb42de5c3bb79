"""Tables beside the ampacity table: conductors in a thick bundle, factors of a bundle, ratings of fuses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

from core.errors import FileProblem
from core.library.tables import read_table

_FACTOR_COLUMNS = ["loaded_wires", "factor", "source"]
_RATING_COLUMNS = ["form", "amps", "source"]


@dataclass(frozen=True)
class Carrying:
    """`thick_bundle`: amps by gauge of thin conductors among 33 and more, at 70 °C. `factors`: what is left
    of a conductor's amps, by the least number of loaded wires it runs with. `ratings`: the amps that fuses of
    a form are made for, in order.
    """

    thick_bundle: Mapping[str, float] = field(default_factory=dict)
    factors: Mapping[int, float] = field(default_factory=dict)
    ratings: Mapping[str, tuple[float, ...]] = field(default_factory=dict)


def read_factors(path: Path, known: Mapping[int, float]) -> dict[int, float]:
    """The bundle factors over those known already; more wires leave no more amps. Raises FileProblem."""
    found = dict(known)
    for row in read_table(path, _FACTOR_COLUMNS):
        wires, factor = row.number("loaded_wires"), row.number("factor")
        row.text("source")
        if wires != int(wires):
            raise row.problem("column 'loaded_wires' is no whole number")
        if factor > 1:
            raise row.problem(f"column 'factor' holds {factor:g}, which is above 1")
        found[int(wires)] = factor
    in_order = dict(sorted(found.items()))
    if not in_order or min(in_order) != 1:
        raise FileProblem(path.name, "has no row for 1 wire")
    for few, many in pairwise(in_order):
        if in_order[many] > in_order[few]:
            raise FileProblem(path.name, f"{many} wires would carry more each than {few}")
    return in_order


def read_ratings(path: Path) -> dict[str, tuple[float, ...]]:
    """The ratings of fuses by form, thin before thick. Raises FileProblem."""
    found: dict[str, set[float]] = {}
    for row in read_table(path, _RATING_COLUMNS):
        row.text("source")
        found.setdefault(row.text("form"), set()).add(row.number("amps"))
    return {form: tuple(sorted(amps)) for form, amps in found.items()}
