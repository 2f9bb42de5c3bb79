"""What conducts, opens, closes or limits."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from core.job.base import LocalTerminal, Text
from core.job.internals.common import Amps, Kind, LiveIn, Ohms, PositiveVolts, Seconds, Watts


class Fuse(Kind):
    """A fuse between a and b; conducts until it opens. `holder_amps` is the most its holder stands."""

    kind: Literal["fuse"] = "fuse"
    a: LocalTerminal
    b: LocalTerminal
    amps: Amps
    form: Literal["", "micro", "mini", "standard", "maxi", "glass", "midi", "mega"] = ""
    holder_amps: Amps | None = None
    ohms: Ohms | None = None
    source: Text = ""


class Breaker(Kind):
    """A circuit breaker between a and b. `resets`: it closes again by itself once it has cooled."""

    kind: Literal["breaker"] = "breaker"
    a: LocalTerminal
    b: LocalTerminal
    amps: Amps
    resets: bool = False
    ohms: Ohms | None = None
    source: Text = ""


class SwitchContact(Kind):
    """A switch between a and b."""

    kind: Literal["switch"] = "switch"
    a: LocalTerminal
    b: LocalTerminal
    closed: LiveIn
    amps: Amps | None = None
    ohms: Ohms | None = None
    source: Text = ""


class Relay(Kind):
    """A relay by its terminals (ISO 7588 form): coil, common, make and break contacts."""

    kind: Literal["relay"] = "relay"
    coil_plus: LocalTerminal
    coil_minus: LocalTerminal
    common: LocalTerminal
    make: LocalTerminal | None = None
    rest: LocalTerminal | None = None
    coil_ohms: Ohms | None = None
    pull_in_volts: PositiveVolts | None = None
    drop_out_volts: PositiveVolts | None = None
    contact_amps: Amps | None = None
    clamp: Literal["none", "diode", "resistor"] = "none"
    clamp_ohms: Ohms | None = None
    off_delay_s: Seconds | None = None
    pulse_s: Seconds | None = None
    source: Text = ""


class Diode(Kind):
    """Conducts from anode to cathode only."""

    kind: Literal["diode"] = "diode"
    anode: LocalTerminal
    cathode: LocalTerminal
    drop_volts: Annotated[float, Field(ge=0, le=5)] = 0.7
    amps: Amps | None = None
    source: Text = ""


class Resistor(Kind):
    """A resistor between a and b. `watts` is what it stands."""

    kind: Literal["resistor"] = "resistor"
    a: LocalTerminal
    b: LocalTerminal
    ohms: Ohms
    watts: Watts | None = None
    source: Text = ""


class Link(Kind):
    """An inside connection: a pass-through, bonded grounds, a shorting bar."""

    kind: Literal["link"] = "link"
    a: LocalTerminal
    b: LocalTerminal


class Shield(Kind):
    """A shield at `a`. It conducts to `touches` inside the part, and is no return for a load."""

    kind: Literal["shield"] = "shield"
    a: LocalTerminal
    touches: LocalTerminal | None = None
    ohms: Ohms | None = None


class Case(Kind):
    """A metal case that is joined to `a` inside. Where it `touches_body`, it is bolted to the car's body."""

    kind: Literal["case"] = "case"
    a: LocalTerminal
    touches_body: bool = False
    ohms: Ohms | None = None
