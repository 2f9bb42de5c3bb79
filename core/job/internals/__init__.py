"""What a part does between its own terminals.

Terminals here are named inside the part (`A-4`), so that a part can be copied or renamed whole.
What a cavity's function already says (a constant feed on a car's plug, a ground lead of a receiver) need
not be repeated: `core.circuit` takes it from the function where no internal speaks of the terminal.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from core.job.internals.common import Key, Kind, LiveIn, Switch, VoltWindow
from core.job.internals.loads import Lamp, Load, Sense, Speaker
from core.job.internals.outputs import LowSideOutput, Output, SpeakerOutput, StepDown, StepUp
from core.job.internals.passive import (
    Breaker,
    Case,
    Diode,
    Fuse,
    Link,
    Relay,
    Resistor,
    Shield,
    SwitchContact,
)
from core.job.internals.signals import Antenna, ButtonLadder, DataPair, LadderReader, LineLevel, Video
from core.job.internals.sources import Battery, Feed, GroundPoint, SwitchToGround

Internal = Annotated[
    Battery
    | Feed
    | GroundPoint
    | SwitchToGround
    | Load
    | Lamp
    | Sense
    | Speaker
    | Output
    | LowSideOutput
    | StepDown
    | StepUp
    | SpeakerOutput
    | Fuse
    | Breaker
    | SwitchContact
    | Relay
    | Diode
    | Resistor
    | Link
    | Shield
    | Case
    | ButtonLadder
    | LadderReader
    | DataPair
    | Video
    | LineLevel
    | Antenna,
    Field(discriminator="kind"),
]

TERMINAL_FIELDS = frozenset(
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
        "high",
        "low",
        "touches",
        "fed_from",
        "on_by",
    ]
)
"""The fields of the kinds that name a terminal of the part."""

POINTING_FIELDS = frozenset(["fed_from", "on_by", "touches"])
"""Those of them that only point at a terminal which something else speaks for."""


def terminals_of(internal: Internal) -> tuple[str, ...]:
    """Every local terminal that an internal names, in the order of its fields."""
    return tuple(value for name, value in internal if value is not None and name in TERMINAL_FIELDS)


def spoken_for(internal: Internal) -> tuple[str, ...]:
    """The local terminals that an internal stands between: no function need say what they do."""
    own = TERMINAL_FIELDS - POINTING_FIELDS
    return tuple(value for name, value in internal if value is not None and name in own)


__all__ = [
    "POINTING_FIELDS",
    "TERMINAL_FIELDS",
    "Antenna",
    "Battery",
    "Breaker",
    "ButtonLadder",
    "Case",
    "DataPair",
    "Diode",
    "Feed",
    "Fuse",
    "GroundPoint",
    "Internal",
    "Key",
    "Kind",
    "LadderReader",
    "Lamp",
    "LineLevel",
    "Link",
    "LiveIn",
    "Load",
    "LowSideOutput",
    "Output",
    "Relay",
    "Resistor",
    "Sense",
    "Shield",
    "Speaker",
    "SpeakerOutput",
    "StepDown",
    "StepUp",
    "Switch",
    "SwitchContact",
    "SwitchToGround",
    "Video",
    "VoltWindow",
    "spoken_for",
    "terminals_of",
]
