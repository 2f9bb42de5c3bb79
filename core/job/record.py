"""The record of a job: its sheet, its settings, and what was accepted and by whom."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, StringConstraints, model_validator

from core.job.base import End, Frozen, LongText, NumberedId, Text
from core.job.internals.common import Amps, Ohms, PositiveVolts, Share, Switch

IsoDate = Annotated[str, StringConstraints(pattern=r"^([0-9]{4}-[0-9]{2}-[0-9]{2})?$")]


class JobSheet(Frozen):
    """Who, what and when. The fields of the title block (ISO 7200) are taken from here."""

    shop: Text = ""
    number: Text = ""
    title: Text = ""
    vehicle: LongText = ""
    equipment: LongText = ""
    technician: Text = ""
    approved_by: Text = ""
    date: IsoDate = ""
    revision: Text = "A"
    note: LongText = ""


class CarBattery(Frozen):
    """The car's battery: volts at rest, running, cranking, and in the first tenth of a second of cranking.

    What is left out is common practice for the system's volts.
    """

    rest_volts: PositiveVolts | None = None
    running_volts: PositiveVolts | None = None
    start_volts: PositiveVolts | None = None
    dip_volts: PositiveVolts | None = None
    ohms: Ohms | None = None
    amp_hours: Annotated[float, Field(gt=0, le=10_000)] | None = None


class BenchSupply(Frozen):
    """The supply on the bench that stands in for the car: volts, current limit, and the fuse in its lead."""

    volts: PositiveVolts = 13.0
    limit_amps: Amps = 5.0
    fuse_amps: Amps | None = None


class OwnSwitch(Frozen):
    """A switch of this job beside the usual ones, such as a battery cut-off."""

    name: Switch
    words: Text = ""


class Settings(Frozen):
    """What is true of this car and how this job shows its numbers. Volts are of the battery.

    `dim`: the share of the time that dimmed feeds are on while the lights are; left out, full.
    `limits`: values of the limits tables that this job takes otherwise, by name. `rules_off`: rules of the
    levels Look and Note that are not run for this job; the status says so.
    """

    system_volts: Literal[6, 12, 24] = 12
    ground: Literal["negative", "positive"] = "negative"
    battery: CarBattery = CarBattery()
    bench: BenchSupply = BenchSupply()
    dim: Share | None = None
    switches: tuple[OwnSwitch, ...] = ()
    limits: dict[Text, Annotated[float, Field(gt=0, le=1e9)]] = Field(default_factory=dict)
    rules_off: tuple[Text, ...] = ()
    lengths: Literal["mm", "inch"] = "mm"
    gauges: Literal["mm2", "AWG"] = "mm2"


class Acceptance(Frozen):
    """A conflict kept on purpose. It lapses when a place, a position or a number of it changes."""

    rule: Text
    where: tuple[Text, ...]
    positions: tuple[Text, ...] = ()
    numbers: dict[str, float] = Field(default_factory=dict)
    reason: Annotated[str, StringConstraints(min_length=1, max_length=8_000, strip_whitespace=True)]
    name: Annotated[str, StringConstraints(min_length=1, max_length=200, strip_whitespace=True)]
    date: IsoDate = ""


class Note(Frozen):
    """Free words pinned to a place of the map."""

    id: NumberedId
    text: LongText


Quantity = Literal["volts", "ohms", "amps"]
BATTERY_POINTS = ("battery +", "battery -", "body")
"""Where a meter may be held beside terminals, joints and wire ends."""


class Reading(Frozen):
    """What a meter showed between two points, in a key position.

    A point is a terminal, a joint or a wire's end, or one of `battery +`, `battery -` and `body`. `lifted` is
    the end whose lead was taken out of its joint or plug for it; `loaded`: what is fed was plugged in.
    `value` is in the unit of its quantity, as the meter showed it; `lead_ohms`, those of the meter's own
    leads, are taken off a reading in ohms. `bench`: taken on the bench supply.
    """

    red: Text
    black: Text
    quantity: Quantity = "volts"
    position: Text
    value: Annotated[float, Field(ge=-1e9, le=1e9)]
    loaded: bool = True
    lifted: End | None = None
    lead_ohms: Annotated[float, Field(ge=0, le=100)] = 0.0
    bench: bool = False
    name: Annotated[str, StringConstraints(min_length=1, max_length=200, strip_whitespace=True)]
    date: IsoDate = ""
    note: LongText = ""

    @model_validator(mode="after")
    def _between_two_points(self) -> Self:
        if self.red == self.black:
            raise ValueError("a reading is taken between two points")
        return self

    @property
    def net_value(self) -> float:
        """The value without the ohms of the meter's leads."""
        return self.value - self.lead_ohms if self.quantity == "ohms" else self.value
