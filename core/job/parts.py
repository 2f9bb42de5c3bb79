"""Parts: what is handled as one, with its connectors, cavities and leads."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from core.colours import WireColour
from core.ids import local, terminal
from core.job.base import ConnectorName, Frozen, LongText, PartId, Pin, Text
from core.job.faces import Face
from core.job.internals import Internal, VoltWindow, terminals_of
from core.units import Gauge, LengthMm

PartState = Literal["on the car", "to fit", "donor", "removed"]
MOST_CAVITIES = 1_000
MOST_CONNECTORS = 50


class Lead(Frozen):
    """A length of wire that comes with a cavity or a part. Lengths are in millimetres."""

    colour: WireColour | None = None
    gauge: Gauge | None = None
    length_mm: LengthMm | None = None
    trimmed_mm: LengthMm | None = None


class Cavity(Frozen):
    """One contact of a connector, or one loose lead of a part.

    `function` is an id of the function table (`shared/functions.csv`), `label` what the sheet says in
    its own words. `flow` overrides what the table says of it: whether this side gives or takes.
    `volts` is what an output or feed gives when it is live, where that is not the system's own.
    """

    pin: Pin
    aliases: tuple[Text, ...] = ()
    function: Text = ""
    label: Text = ""
    flow: Literal["gives", "takes"] | None = None
    needed: bool = False
    accepts: VoltWindow | None = None
    volts: Annotated[float, Field(ge=-1000, le=1000)] | None = None
    colour_sheet: WireColour | None = None
    colour_found: WireColour | None = None
    found: Literal["not looked", "filled", "empty"] = "not looked"
    filled: bool = True
    airbag: bool = False
    lead: Lead | None = None
    note: LongText = ""


class Connector(Frozen):
    """A plug or socket with a face, or (without one) a bunch of loose leads."""

    name: ConnectorName
    title: Text = ""
    face: Face | None = None
    cavities: Annotated[tuple[Cavity, ...], Field(max_length=MOST_CAVITIES)] = ()

    @model_validator(mode="after")
    def _cavities_stand_in_the_face(self) -> Self:
        pins = [cavity.pin for cavity in self.cavities]
        if len(pins) != len(set(pins)):
            twice = sorted({pin for pin in pins if pins.count(pin) > 1})
            raise ValueError(f"pin {twice[0]} stands twice in connector {self.name}")
        if self.face is not None:
            strange = [pin for pin in pins if pin not in self.face.places]
            if strange:
                raise ValueError(f"pin {strange[0]} is not in the face of connector {self.name}")
        return self

    @cached_property
    def by_pin(self) -> dict[str, Cavity]:
        return {cavity.pin: cavity for cavity in self.cavities}


class Part(Frozen):
    """What is handled as one: a plug of the car, a receiver with its lead set, a step-down.

    `kind` is the library's word for the sort of part (`receiver`, `step-down`); `library` is the entry it
    was taken from. `done` says that nothing more is to be decided about it.
    """

    id: PartId
    name: Text
    kind: Text = ""
    state: PartState = "to fit"
    maker: Text = ""
    type: Text = ""
    serial: Text = ""
    connectors: Annotated[tuple[Connector, ...], Field(min_length=1, max_length=MOST_CONNECTORS)]
    internals: tuple[Internal, ...] = ()
    library: Text = ""
    done: bool = False
    note: LongText = ""

    @model_validator(mode="after")
    def _names_agree(self) -> Self:
        names = [connector.name for connector in self.connectors]
        if len(names) != len(set(names)):
            raise ValueError(f"two connectors of {self.id} have the same name")
        known = {f"{c.name}-{cavity.pin}" for c in self.connectors for cavity in c.cavities}
        for internal in self.internals:
            for name in terminals_of(internal):
                if name not in known:
                    raise ValueError(
                        f"internal {internal.kind!r} of {self.id} names {name}, which does not exist"
                    )
        return self

    @cached_property
    def by_name(self) -> dict[str, Connector]:
        return {connector.name: connector for connector in self.connectors}

    @cached_property
    def cavities(self) -> dict[str, Cavity]:
        """Every cavity of the part by its full terminal id, in document order."""
        return {
            terminal(self.id, c.name, cavity.pin): cavity for c in self.connectors for cavity in c.cavities
        }

    def shown(self, ref: str) -> str:
        """A terminal as people write it: `RAD-4`, or `RAD.A-4` where the part has several connectors."""
        if len(self.connectors) > 1:
            return ref
        return f"{self.id}-{local(ref).partition('-')[2]}"
