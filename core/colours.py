"""Wire colours: letters, base and stripe, and the swatches for screen and paper.

Codes are those of IEC 60757 Table 1, with L or D before a code for a light or dark shade (our own
letters: the standard has none). Base first, stroke, stripe: `BK/WH` is black with a white stripe,
which is the trade's order and not the standard's.
"""

from __future__ import annotations

import csv
from functools import cache
from typing import Annotated, NamedTuple

from pydantic import AfterValidator

from core.paths import shared_folder

MOST_COLOURS_ON_ONE_WIRE = 3


class Swatch(NamedTuple):
    """One row of `shared/colours.csv`. Colours are `#RRGGBB`; `ink` is what reads on top of `screen`."""

    code: str
    name: str
    screen: str
    print: str
    ink: str
    source: str


@cache
def swatches() -> dict[str, Swatch]:
    """Every colour code known, in the table's order."""
    with (shared_folder() / "colours.csv").open(encoding="utf-8", newline="") as table:
        return {row["code"]: Swatch(**row) for row in csv.DictReader(table)}


@cache
def split(colour: str) -> tuple[str, ...]:
    """`BK/WH` to `("BK", "WH")`, base first."""
    return tuple(colour.split("/"))


@cache
def checked(colour: str) -> str:
    """The colour itself where every code in it is known, else a ValueError naming what is not."""
    codes = split(colour)
    unknown = [code for code in codes if code not in swatches()]
    if unknown:
        raise ValueError(f"{unknown[0]!r} is not a colour code ({', '.join(swatches())})")
    if len(codes) > MOST_COLOURS_ON_ONE_WIRE:
        raise ValueError(f"{colour!r} names more than {MOST_COLOURS_ON_ONE_WIRE} colours")
    return colour


def in_words(colour: str) -> str:
    """`BK/WH` to `black/white`; the empty string stays empty."""
    return "/".join(swatches()[code].name.partition(",")[0] for code in split(colour)) if colour else ""


WireColour = Annotated[str, AfterValidator(checked)]
