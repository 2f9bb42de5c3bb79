"""The half of ours that plugs into a plug of the car: a pigtail with a lead at every pin in use."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Literal, NamedTuple

from core.colours import checked
from core.job.faces import mate_of
from core.job.parts import Cavity, Connector, Lead, Part
from core.library.model import Function
from core.library.tables import read_table
from core.units import area_mm2

PIGTAIL_KIND = "pigtail"
PIGTAIL_LENGTH_MM = 150.0

Gender = Literal["male", "female", "none"]
_OPPOSITE: dict[Gender, Gender] = {"male": "female", "female": "male", "none": "none"}
_COLUMNS = ["function", "colour", "gauge", "source"]


class LeadKind(NamedTuple):
    """The colour and gauge that a lead of a function usually has on equipment."""

    colour: str
    gauge: str


def read_leads(path: Path, functions: Mapping[str, Function]) -> dict[str, LeadKind]:
    """The rows of the table of lead colours by function. Raises FileProblem."""
    found: dict[str, LeadKind] = {}
    for row in read_table(path, _COLUMNS):
        function, colour, gauge = (row.text(column) for column in ("function", "colour", "gauge"))
        row.text("source")
        if function not in functions:
            raise row.problem(f"{function!r} is not in functions.csv")
        if function in found:
            raise row.problem(f"{function!r} stands twice")
        try:
            checked(colour)
            area_mm2(gauge)
        except ValueError as error:
            raise row.problem(str(error)) from error
        found[function] = LeadKind(colour, gauge)
    return found


def pigtail(part: Part, tag: str, name: str, leads: Mapping[str, LeadKind]) -> Part:
    """The plug that mates with a plug of the car, numbered alike, with leads in the trade's colours.

    Pins that the car leaves empty are empty here too. Lengths are in millimetres.
    """
    connectors = tuple(
        Connector(
            name=connector.name,
            title=connector.title,
            face=mate_of(connector.face, _OPPOSITE[connector.face.gender]),
            cavities=tuple(_facing(cavity, leads) for cavity in connector.cavities),
        )
        for connector in part.connectors
        if connector.face is not None
    )
    return Part(id=tag, name=name, kind=PIGTAIL_KIND, state="to fit", connectors=connectors)


def _facing(cavity: Cavity, leads: Mapping[str, LeadKind]) -> Cavity:
    if not cavity.filled:
        return Cavity(pin=cavity.pin, filled=False)
    kind = leads.get(cavity.function)
    lead = Lead(
        colour=kind.colour if kind else None, gauge=kind.gauge if kind else None, length_mm=PIGTAIL_LENGTH_MM
    )
    return Cavity(pin=cavity.pin, function=cavity.function, label=cavity.label, lead=lead)
