"""What the solver answers: the operating point of a whole network, as arrays and by device name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from core.circuit.network import Floats, Ints

Flags = npt.NDArray[np.bool_]
States = Mapping[str, str]
"""Device name to the word of its state. Relay: pulled, rest. Fuse: closed, open. Gated switch: on, off.
Load: off, law, ohmic, blocked, reversed. Diode: on, off. Source with a limit: holding, limiting, blocked.
Regulator: off, regulating, drop-out, limiting; with `+back` behind it where it is fed backwards.
"""


@dataclass(frozen=True, slots=True)
class CannotHold:
    """A load that its feed cannot hold at its least working volts or above; its result is the ohmic balance.

    `most_watts`: what the feed gives at most, at half its open-circuit volts; `least_volts_watts`: what it
    gives at the load's least working volts.
    """

    name: str
    needs_watts: float
    most_watts: float
    least_volts_watts: float


@dataclass(frozen=True, slots=True)
class Solution:
    """One balance. Amps of a resistor are from a to b; of a device as `device_amps` says by its kind:
    fuse, gated switch a to b; load plus to minus; lamp a to b; diode anode to cathode; relay common to the
    closed contact, `NAME coil` and `NAME clamp` its coil and clamp; source what it gives out of its plus;
    regulator what comes out of its output, `NAME in` what goes into its input.

    `watts` are taken; those given are below 0. `island` numbers the islands, 0 the one of the reference;
    `island_volts` are to some node of the same island, so that differences within one can be told.
    """

    volts: Floats
    floating: Flags
    island: Ints
    island_volts: Floats
    resistor_amps: Floats
    device_amps: Mapping[str, float]
    watts: Mapping[str, float]
    states: States
    overloaded: tuple[tuple[str, float], ...]
    cannot_hold: tuple[CannotHold, ...]
    limiting: tuple[str, ...]
    dropped_out: tuple[str, ...]
    chatter: tuple[str, ...]
    unsolved: str
    residual_amps: float
    residual_scale_amps: float
    power_given_watts: float
    power_taken_watts: float


@dataclass(frozen=True, slots=True)
class Laws:
    """The region of every curve, and of target and amps of every regulator."""

    region: Ints
    target: Ints
    clip: Ints

    def unless(self, before: Laws, now: Laws) -> Laws:
        """These, but what has moved from `before` to `now` as it is now."""
        return Laws(
            np.where(before.region == now.region, self.region, now.region),
            np.where(before.target == now.target, self.target, now.target),
            np.where(before.clip == now.clip, self.clip, now.clip),
        )


@dataclass(frozen=True, slots=True)
class Rest:
    """Where a balance came to rest: at open-circuit volts, and with all that draws. The next begins there;
    where it is much the same that saves going from region to region.
    """

    open: Laws
    loaded: Laws


@dataclass(frozen=True, slots=True)
class Solved:
    """`moment`: before any fuse opened; `after`: the state that stays; `opened`: fuses in their order.

    `rest`: where to begin in a position that is much the same.
    """

    moment: Solution
    after: Solution
    opened: tuple[str, ...]
    rest: Rest = field(repr=False)
