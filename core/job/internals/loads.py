"""What is fed: loads, lamps, speakers, and inputs that only look."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from core.job.base import LocalTerminal, Text
from core.job.internals.common import (
    Amps,
    Kind,
    LiveIn,
    Ohms,
    PositiveVolts,
    Seconds,
    Volts,
    VoltWindow,
    Watts,
)


class Load(Kind):
    """Something that is fed between plus and minus.

    One of `amps`, `ohms` and `watts` says what it draws while it is on; without one it is not stated. It
    is on in the positions of `on` (always where left out) while the terminal `on_by` is live; else it
    draws `idle_amps`. Below `least_volts` it draws like a resistor. `needed` says when it must work.
    `reversed`: what a feed the wrong way round meets.
    """

    kind: Literal["load"] = "load"
    plus: LocalTerminal
    minus: LocalTerminal | None = None
    accepts: VoltWindow | None = None
    amps: Amps | None = None
    ohms: Ohms | None = None
    watts: Watts | None = None
    least_volts: PositiveVolts | None = None
    on: LiveIn | None = None
    on_by: LocalTerminal | None = None
    idle_amps: Annotated[float, Field(ge=0, le=100)] | None = None
    needed: LiveIn | None = None
    inrush_amps: Amps | None = None
    capacitance: Literal["none", "small", "large"] = "none"
    reversed: Literal["blocked", "diode"] = "blocked"
    off_delay_s: Seconds | None = None
    hold_up_s: Seconds | None = None
    pulse_s: Seconds | None = None
    source: Text = ""

    @model_validator(mode="after")
    def _one_law(self) -> Self:
        if sum(value is not None for value in (self.amps, self.ohms, self.watts)) > 1:
            raise ValueError("a load states one of amps, ohms and watts")
        return self


class Lamp(Kind):
    """A filament lamp by its nominal volts and watts. Cold it has a fraction of its hot ohms."""

    kind: Literal["lamp"] = "lamp"
    a: LocalTerminal
    b: LocalTerminal
    volts: PositiveVolts
    watts: Watts
    cold_ohms: Ohms | None = None
    source: Text = ""


class Sense(Kind):
    """A signal input: it looks at `terminal` against `reference` and draws next to nothing.

    An active-low input holds its terminal up through `pull_up_ohms` to `pull_up_volts` (the system's own
    where left out) and looks for ground. It tells on from off at `threshold_volts`.
    """

    kind: Literal["sense"] = "sense"
    terminal: LocalTerminal
    reference: LocalTerminal | None = None
    accepts: VoltWindow | None = None
    ohms: Ohms | None = None
    active: Literal["high", "low"] = "high"
    pull_up_ohms: Ohms | None = None
    pull_up_volts: PositiveVolts | None = None
    threshold_volts: Volts | None = None
    source: Text = ""


class Speaker(Kind):
    """A loudspeaker between plus and minus."""

    kind: Literal["speaker"] = "speaker"
    plus: LocalTerminal
    minus: LocalTerminal
    ohms: Ohms = 4.0
