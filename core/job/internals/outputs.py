"""What a part makes of its own supply: outputs, converters, amplifier channels."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from core.job.base import LocalTerminal, Text
from core.job.internals.common import Amps, Kind, LiveIn, Ohms, Seconds, Share, Volts, VoltWindow


class Output(Kind):
    """A switched or signal output, fed from the part's own supply. `volts` None means the supply's own.

    It is on in the positions of `live`, while the terminal `on_by` is live where one is named. `fed_from`
    is the terminal of the supply; where left out it is the part's own feed. `amps` is the most it gives.
    """

    kind: Literal["output"] = "output"
    terminal: LocalTerminal
    volts: Volts | None = None
    live: LiveIn
    amps: Amps | None = None
    reference: LocalTerminal | None = None
    fed_from: LocalTerminal | None = None
    on_by: LocalTerminal | None = None
    ohms: Ohms | None = None
    off_delay_s: Seconds | None = None
    pulse_s: Seconds | None = None
    source: Text = ""


class LowSideOutput(Kind):
    """An output that pulls its terminal to the reference while it is on, such as one that works a relay."""

    kind: Literal["low-side output"] = "low-side output"
    terminal: LocalTerminal
    reference: LocalTerminal
    live: LiveIn
    on_by: LocalTerminal | None = None
    amps: Amps | None = None
    ohms: Ohms | None = None
    off_delay_s: Seconds | None = None
    pulse_s: Seconds | None = None
    source: Text = ""


class _Converter(Kind):
    input: LocalTerminal
    output: LocalTerminal
    common: LocalTerminal
    volts_out: Volts
    accepts: VoltWindow
    amps: Amps | None = None
    sort: Literal["linear", "switching"] = "switching"
    efficiency: Share | None = None
    idle_amps: Annotated[float, Field(ge=0, le=100)] | None = None
    source: Text = ""


class StepDown(_Converter):
    """A converter to a lower voltage, with a common minus. `amps` is the most it gives.

    It needs `drop_out_volts` more at its input than it gives.
    """

    kind: Literal["step-down"] = "step-down"
    drop_out_volts: Annotated[float, Field(ge=0, le=100)] | None = None


class StepUp(_Converter):
    """A converter to a higher voltage, with a common minus. `amps` is the most it gives."""

    kind: Literal["step-up"] = "step-up"


class SpeakerOutput(Kind):
    """An amplifier channel. Bridged: each lead rests at half the supply while it is on, and neither is
    ground. Single-ended: minus stands on ground. `fed_from` is the terminal of the supply; where left out it
    is the part's own feed.
    """

    kind: Literal["speaker output"] = "speaker output"
    plus: LocalTerminal
    minus: LocalTerminal
    bridged: bool = True
    least_ohms: Ohms | None = None
    fed_from: LocalTerminal | None = None
    on_by: LocalTerminal | None = None
