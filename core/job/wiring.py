"""What is made on the bench: mates, wires, cables, joints and finishes."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from core.colours import WireColour
from core.job.base import ConnectorId, End, Frozen, LongText, NumberedId, TerminalId, Text
from core.units import Gauge, LengthMm

MOST_CONDUCTORS = 200
MOST_ENDS = 200

JointMethod = Literal["solder", "crimp", "closed-end crimp", "tap", "bolt"]


class Mate(Frozen):
    """Two connectors plugged together. Which contact meets which follows from their faces."""

    id: NumberedId
    a: ConnectorId
    b: ConnectorId


class Wire(Frozen):
    """A wire from stock. An end is crimped into the cavity named, else it is free to be joined."""

    id: NumberedId
    colour: WireColour | None = None
    gauge: Gauge | None = None
    length_mm: LengthMm | None = None
    a_in: TerminalId | None = None
    b_in: TerminalId | None = None
    note: LongText = ""


class Conductor(Frozen):
    """One core of a cable, counted from 1 in the cable's order; its ends are like a wire's."""

    colour: WireColour | None = None
    gauge: Gauge | None = None
    shield: bool = False
    a_in: TerminalId | None = None
    b_in: TerminalId | None = None


class Cable(Frozen):
    """Several conductors in one jacket, drawn and sized as one, each joined on its own."""

    id: NumberedId
    name: Text = ""
    length_mm: LengthMm | None = None
    outside_diameter_mm: Annotated[float, Field(gt=0, le=200)] | None = None
    conductors: Annotated[tuple[Conductor, ...], Field(min_length=1, max_length=MOST_CONDUCTORS)]
    note: LongText = ""


class Joint(Frozen):
    """Two or more ends made one. A temporary joint names the test it is for."""

    id: NumberedId
    ends: Annotated[tuple[End, ...], Field(min_length=2, max_length=MOST_ENDS)]
    method: JointMethod = "solder"
    temporary_for: Text = ""
    note: LongText = ""

    @model_validator(mode="after")
    def _each_end_once(self) -> Self:
        if len(self.ends) != len(set(self.ends)):
            raise ValueError(f"an end stands twice in joint {self.id}")
        return self


class Finish(Frozen):
    """What became of an end that is not joined: capped, pulled out of the plug, or left for a reason."""

    kind: Literal["capped", "pulled", "left"]
    reason: Text = ""

    @model_validator(mode="after")
    def _left_needs_a_reason(self) -> Self:
        if self.kind == "left" and not self.reason.strip():
            raise ValueError("a lead that is left needs a reason")
        return self
