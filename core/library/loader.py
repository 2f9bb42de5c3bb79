"""Reads library folders into one Library: the shipped one first, later ones override it row by row."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path

from core.errors import FileProblem
from core.library.ampacity import Ampacity, read_ampacity
from core.library.carrying import Carrying, read_factors, read_ratings
from core.library.functions import PairKey, PairVerdict, missing_pairs, read_functions, read_pairs
from core.library.library import Library
from core.library.limits import Limit, complete, read_limits
from core.library.mates import LeadKind, read_leads
from core.library.model import ConnectorShape, Function, LibraryPart, WireSize
from core.library.shelf import read_parts, read_shapes
from core.library.wires import read_wires
from core.paths import shared_folder, user_library_folder


def load_library(folders: Sequence[Path] | None = None) -> Library:
    """The shipped library, then the user's own where there is one. Raises FileProblem."""
    if folders is None:
        folders = (shared_folder(), user_library_folder())
    functions: dict[str, Function] = {}
    for path in _each(folders, "functions.csv"):
        functions.update(read_functions(path))
    pairs: dict[PairKey, PairVerdict] = {}
    for path in _each(folders, "function_pairs.csv"):
        pairs.update(read_pairs(path, functions))
    for a, b in missing_pairs(pairs):
        raise FileProblem("function_pairs.csv", f"no row answers [{a}] with [{b}]")
    sizes: dict[str, WireSize] = {}
    for path in _each(folders, "wires.csv"):
        sizes.update(read_wires(path))
    leads: dict[str, LeadKind] = {}
    for path in _each(folders, "leads.csv"):
        leads.update(read_leads(path, functions))
    shapes: dict[str, ConnectorShape] = {}
    for path in _each(folders, "connectors/*.json"):
        shapes.update(read_shapes(path))
    limits: dict[str, Limit] = {}
    for table in ("electrical.csv", "rules.csv"):
        known: dict[str, Limit] = {}
        for path in _each(folders, f"limits/{table}"):
            known.update(read_limits(path, known))
        limits.update(known)
    ampacity: dict[str, float] = {}
    for path in _each(folders, "limits/ampacity.csv"):
        ampacity = read_ampacity(path, ampacity)
    if not ampacity:
        raise FileProblem("ampacity.csv", "is not there")
    carrying = _carrying(folders)
    parts = _parts(folders, shapes, functions, leads)
    whole = complete(limits, "electrical.csv")
    return Library(functions, pairs, sizes, leads, shapes, parts, whole, Ampacity(ampacity), carrying)


def _carrying(folders: Sequence[Path]) -> Carrying:
    """What goes with the ampacity table. A user's fuse ratings of a form stand in for the shipped ones."""
    thick: dict[str, float] = {}
    for path in _each(folders, "limits/bundle_ampacity.csv"):
        thick = read_ampacity(path, thick)
    factors: dict[int, float] = {}
    for path in _each(folders, "limits/bundle_factors.csv"):
        factors = read_factors(path, factors)
    ratings: dict[str, tuple[float, ...]] = {}
    for path in _each(folders, "limits/fuse_ratings.csv"):
        ratings.update(read_ratings(path))
    for name, rows in (("bundle_ampacity", thick), ("bundle_factors", factors), ("fuse_ratings", ratings)):
        if not rows:
            raise FileProblem(f"{name}.csv", "is not there")
    return Carrying(thick, factors, ratings)


def _each(folders: Sequence[Path], pattern: str) -> Iterator[Path]:
    for folder in folders:
        yield from sorted(folder.glob(pattern))


def _parts(
    folders: Sequence[Path],
    shapes: dict[str, ConnectorShape],
    functions: dict[str, Function],
    leads: dict[str, LeadKind],
) -> dict[str, LibraryPart]:
    """Every part by name, headings in the order that the files ask for."""
    found: dict[str, tuple[int, LibraryPart]] = {}
    for path in _each(folders, "parts/*.json"):
        order, parts = read_parts(path, shapes, functions, leads)
        found.update((name, (order, part)) for name, part in parts.items())
    return {name: part for name, (_, part) in sorted(found.items(), key=lambda item: item[1][0])}


@cache
def default_library() -> Library:
    """The library of this computer, read once. Raises FileProblem."""
    return load_library()
