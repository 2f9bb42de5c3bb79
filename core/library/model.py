"""What a shop's library holds: functions, wire sizes, faces and parts, each with its source."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from core.job.faces import Face
from core.job.internals import Key, Switch
from core.job.parts import Part

FunctionClass = Literal[
    "feed",
    "ground",
    "signal ground",
    "speaker",
    "output",
    "sense",
    "line",
    "video",
    "antenna",
    "data",
    "steering",
    "microphone",
    "usb",
    "none",
]
Flow = Literal["gives", "takes", "ground", "either", "none"]
VoltsClass = Literal["system", "varying", "low", "half", "signal", "none"]
Verdict = Literal["fits", "look", "stop"]
GaugeSystem = Literal["mm2", "AWG"]

CLASSES: tuple[FunctionClass, ...] = get_args(FunctionClass)


@dataclass(frozen=True)
class Function:
    """What a cavity or lead is for. One row of `shared/functions.csv`.

    `car` and `equipment` say what each side usually does with it: `gives` it, `takes` it, is the way to the
    battery's `ground` pole, `either`, or `none` (what it does follows from the part's internals alone).
    `live` and `switch` say when a feed is live; `needed` that equipment usually does not work without it.
    `volts_class`: the system's own volts, `varying` (dimmed), `low` (a supply of 5 to 6 V), `half` the supply
    (a bridged speaker lead at rest), a `signal`, or `none`.
    """

    id: str
    words: str
    cls: FunctionClass
    car: Flow
    equipment: Flow
    live: tuple[Key, ...]
    switch: Switch | None
    needed: bool
    volts_class: VoltsClass
    channel: str
    polarity: Literal["+", "-", ""]
    source: str


@dataclass(frozen=True)
class WireSize:
    """One size of stranded copper wire. One row of `shared/wires.csv`.

    Area in mm2, resistance in ohm/km at 20 C, diameter over the insulation in mm (thin wall).
    """

    gauge: str
    system: GaugeSystem
    area_mm2: float
    ohm_per_km_20c: float
    outside_diameter_mm: float
    source: str


@dataclass(frozen=True)
class ConnectorShape:
    """A face without functions: what a plug looks like, to draw a pinout on. Lies in `shared/connectors`."""

    name: str
    group: str
    words: tuple[str, ...]
    face: Face
    source: str


@dataclass(frozen=True)
class LibraryPart:
    """An entry of the parts shelf. `part` is a template whose id is the tag it would like to have.

    `mate` is the half of ours that plugs into it, with leads, where it has one; connectors of one name meet.
    """

    name: str
    group: str
    words: tuple[str, ...]
    part: Part
    mate: Part | None
    source: str
