"""What a part does between its own terminals.

Terminals here are named inside the part (`A-4`), so that a part can be copied or renamed whole.
What a cavity's function already says (a constant feed on a car's plug, a ground lead of a receiver) need
not be repeated: `core.circuit` takes it from the function where no internal speaks of the terminal.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, SerializerFunctionWrapHandler, model_serializer

from core.job.base import Frozen, LocalTerminal, Text

Key = Literal["off", "accessory", "run", "start", "running"]
Switch = Literal["lights", "reverse", "parking", "brake", "left", "right"]
Volts = Annotated[float, Field(ge=-1000, le=1000)]
Amps = Annotated[float, Field(gt=0, le=10_000)]


class VoltWindow(Frozen):
    """What an input accepts, in volts."""

    least: Volts
    most: Volts


class LiveIn(Frozen):
    """When something is live or on: in these key positions, and only with this switch where one is named."""

    keys: tuple[Key, ...]
    switch: Switch | None = None


class _Kind(Frozen):
    """Writes its `kind` even where defaults are left out: the union is told apart by it."""

    @model_serializer(mode="wrap")
    def _with_kind(self, handler: SerializerFunctionWrapHandler) -> dict[str, Any]:
        return {"kind": self.__dict__["kind"], **handler(self)}


class Feed(_Kind):
    """A supply: the car's battery behind a fuse and a switch. `volts` None means the system's own."""

    kind: Literal["feed"] = "feed"
    terminal: LocalTerminal
    live: LiveIn
    volts: Volts | None = None
    fuse_amps: Amps | None = None
    source: Text = ""


class GroundPoint(_Kind):
    """A way to the battery's ground pole. Unreliable ones (shield, antenna, hitch) are no return."""

    kind: Literal["ground point"] = "ground point"
    terminal: LocalTerminal
    reliable: bool = True


class Load(_Kind):
    """Something that is fed between plus and minus. `needed` says when it must work."""

    kind: Literal["load"] = "load"
    plus: LocalTerminal
    minus: LocalTerminal | None = None
    accepts: VoltWindow | None = None
    amps: Amps | None = None
    needed: LiveIn | None = None
    source: Text = ""


class Sense(_Kind):
    """A signal input: it looks at `terminal` against `reference` and draws next to nothing."""

    kind: Literal["sense"] = "sense"
    terminal: LocalTerminal
    reference: LocalTerminal | None = None
    accepts: VoltWindow | None = None
    source: Text = ""


class Output(_Kind):
    """A switched or signal output, fed from the part's own supply. `volts` None means the system's own."""

    kind: Literal["output"] = "output"
    terminal: LocalTerminal
    volts: Volts | None = None
    live: LiveIn
    amps: Amps | None = None
    source: Text = ""


class StepDown(_Kind):
    """A converter to a lower voltage, with a common minus."""

    kind: Literal["step-down"] = "step-down"
    input: LocalTerminal
    output: LocalTerminal
    common: LocalTerminal
    volts_out: Volts
    accepts: VoltWindow
    amps: Amps | None = None
    source: Text = ""


class Fuse(_Kind):
    """A fuse between a and b; conducts until it opens."""

    kind: Literal["fuse"] = "fuse"
    a: LocalTerminal
    b: LocalTerminal
    amps: Amps


class Relay(_Kind):
    """A relay by its terminals (ISO 7588 form): coil, common, make and break contacts."""

    kind: Literal["relay"] = "relay"
    coil_plus: LocalTerminal
    coil_minus: LocalTerminal
    common: LocalTerminal
    make: LocalTerminal | None = None
    rest: LocalTerminal | None = None
    coil_ohms: Annotated[float, Field(gt=0)] | None = None
    clamp: Literal["none", "diode", "resistor"] = "none"
    source: Text = ""


class Diode(_Kind):
    """Conducts from anode to cathode only."""

    kind: Literal["diode"] = "diode"
    anode: LocalTerminal
    cathode: LocalTerminal
    drop_volts: Annotated[float, Field(ge=0, le=5)] = 0.7
    amps: Amps | None = None


class Link(_Kind):
    """An inside connection: a pass-through, bonded grounds."""

    kind: Literal["link"] = "link"
    a: LocalTerminal
    b: LocalTerminal


class SpeakerOutput(_Kind):
    """An amplifier channel. Bridged: each lead rests at half the supply, and neither is ground."""

    kind: Literal["speaker output"] = "speaker output"
    plus: LocalTerminal
    minus: LocalTerminal
    bridged: bool = True
    least_ohms: Annotated[float, Field(gt=0)] | None = None


class Speaker(_Kind):
    """A loudspeaker between plus and minus."""

    kind: Literal["speaker"] = "speaker"
    plus: LocalTerminal
    minus: LocalTerminal
    ohms: Annotated[float, Field(gt=0)] = 4.0


class ButtonLadder(_Kind):
    """Steering buttons: each ties the signal to the reference through its own ohms."""

    kind: Literal["button ladder"] = "button ladder"
    signal: LocalTerminal
    reference: LocalTerminal
    ohms: dict[str, Annotated[float, Field(ge=0)]] = Field(default_factory=dict)
    source: Text = ""


Internal = Annotated[
    Feed
    | GroundPoint
    | Load
    | Sense
    | Output
    | StepDown
    | Fuse
    | Relay
    | Diode
    | Link
    | SpeakerOutput
    | Speaker
    | ButtonLadder,
    Field(discriminator="kind"),
]


def terminals_of(internal: Internal) -> tuple[str, ...]:
    """The local terminals that an internal stands between, in the order of its fields."""
    return tuple(value for name, value in internal if value is not None and name in _TERMINAL_FIELDS)


_TERMINAL_FIELDS = frozenset(
    [
        "terminal",
        "plus",
        "minus",
        "reference",
        "input",
        "output",
        "common",
        "a",
        "b",
        "coil_plus",
        "coil_minus",
        "make",
        "rest",
        "anode",
        "cathode",
        "signal",
    ]
)
