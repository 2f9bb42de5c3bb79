"""A circuit as numbers: what the solver is given. It knows nothing of jobs, parts or wires.

Nodes are numbered from 0; node 0 is the reference, the minus pole of the car's battery. Volts, amps, ohms and
watts throughout. `when` is an index into `Network.conditions`, or `ALWAYS`: the device is there only while
that condition holds. Every `name` is unique; results are told by it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from core.job.internals import LiveIn

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
ALWAYS = -1


@dataclass(frozen=True, slots=True)
class Gate:
    """On while `node` stands `on_volts` or more above `reference`; off below `off_volts`; between the two
    it stays as it was.
    """

    node: int
    reference: int
    on_volts: float
    off_volts: float


@dataclass(frozen=True, slots=True)
class Resistors:
    """Everything that is a plain resistance, as arrays of one length. `ohms` > 0."""

    a: Ints
    b: Ints
    ohms: Floats
    when: Ints


@dataclass(frozen=True, slots=True)
class Source:
    """A battery or supply: volts by key (off, accessory, run, start, running) behind ohms of at least 1 mohm.

    With `limit_amps` it gives no more than that, and takes none back: a bench supply.
    """

    name: str
    plus: int
    minus: int
    volts: tuple[float, float, float, float, float]
    ohms: float
    when: int = ALWAYS
    limit_amps: float | None = None


@dataclass(frozen=True, slots=True)
class Load:
    """Draws by its law while it is on (see `gate` and `when`), `idle_ohms` while it is off.

    Nothing at or below 0 V, or a diode of 0.7 V where `reversed`; ohmic from 0 to `least_volts`; its law
    above, continuous there.
    """

    name: str
    plus: int
    minus: int
    law: Literal["amps", "ohms", "watts"]
    value: float
    least_volts: float
    idle_ohms: float | None = None
    reversed: bool = False
    gate: Gate | None = None
    when: int = ALWAYS


@dataclass(frozen=True, slots=True)
class Lamp:
    """ohms = larger of cold_ohms and (volts_nominal² / watts) × (volts / volts_nominal) ^ 0.45."""

    name: str
    a: int
    b: int
    volts: float
    watts: float
    cold_ohms: float


@dataclass(frozen=True, slots=True)
class Fuse:
    """Conducts through `ohms` until it opens, above 1.35 x `amps`."""

    name: str
    a: int
    b: int
    amps: float
    ohms: float


@dataclass(frozen=True, slots=True)
class Relay:
    """A coil and a change-over contact. `make` or `rest` is None where the relay has no such contact.

    `clamp_drop`: the volts of a clamp diode across the coil, from minus to plus; None without one.
    """

    name: str
    coil_plus: int
    coil_minus: int
    coil_ohms: float
    pull_in_volts: float
    drop_out_volts: float
    common: int
    make: int | None
    rest: int | None
    contact_ohms: float
    clamp_drop: float | None = None


@dataclass(frozen=True, slots=True)
class Diode:
    """Piecewise linear: nothing below `drop_volts`, above it (volts - drop_volts) / ohms."""

    name: str
    anode: int
    cathode: int
    drop_volts: float
    ohms: float


@dataclass(frozen=True, slots=True)
class GatedSwitch:
    """Joins a and b through `ohms` while it is on: a high-side or low-side output."""

    name: str
    a: int
    b: int
    ohms: float
    gate: Gate | None = None
    when: int = ALWAYS


@dataclass(frozen=True, slots=True)
class Regulator:
    """Holds `output` above `common` at `volts_out`, or at `ratio` x the input's volts, behind `ohms`.

    Linear: the input gives the output's amps. Switching: the output's watts over `efficiency`. `idle_amps`
    come on top. Below `drop_out_volts` of head-room it passes input minus drop-out; above `limit_amps` it
    limits. `sinks`: amps may flow back into the output, to common (half a bridge). `back_drop_volts`: from
    output to input, where a body diode leads back; None where nothing does. `steps_up`: it can give more
    volts than it gets, and drops out only where its input falls below `least_volts`.
    """

    name: str
    input: int
    output: int
    common: int
    volts_out: float | None
    ratio: float | None
    ohms: float
    switching: bool
    efficiency: float
    idle_amps: float
    drop_out_volts: float
    least_volts: float
    limit_amps: float | None
    sinks: bool = False
    back_drop_volts: float | None = None
    steps_up: bool = False
    gate: Gate | None = None
    when: int = ALWAYS


Device = Source | Load | Lamp | Fuse | Relay | Diode | GatedSwitch | Regulator


@dataclass(frozen=True, slots=True)
class Network:
    """A whole circuit, for all positions. `ground`: the node of the car's body."""

    nodes: int
    ground: int
    resistors: Resistors
    devices: tuple[Device, ...]
    conditions: tuple[LiveIn, ...]
