"""Positions: what decides which feeds are live and which contacts are closed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from core.job.internals import Key, LiveIn, Switch
from core.job.record import Settings

KEYS: tuple[Key, ...] = ("off", "accessory", "run", "start", "running")
SWITCHES: tuple[Switch, ...] = ("lights", "reverse", "parking", "brake", "left", "right")
_STANDARD: tuple[tuple[Key, tuple[Switch, ...]], ...] = (
    *((key, ()) for key in KEYS),
    ("off", ("lights",)),
    ("running", ("lights",)),
    ("run", ("reverse",)),
    ("running", ("lights", "reverse")),
    ("running", ("parking",)),
)
# Of a 12 V battery, in volts: at rest, charging, and sustained while cranking. Common practice.
REST_VOLTS, RUNNING_VOLTS, START_VOLTS = 12.6, 14.2, 10.0
LIVE_FRACTION = 0.6
"""What is at this share of the system's volts or above is on (common practice)."""


@dataclass(frozen=True, slots=True)
class Position:
    """Key and engine, and the switches that are on, in the order of `SWITCHES`."""

    key: Key
    switches: tuple[Switch, ...] = ()

    def __hash__(self) -> int:
        # Asked for at every look at a level; there are a dozen positions at the most.
        return hash(self.key) ^ len(self.switches)

    @property
    def name(self) -> str:
        return "+".join((self.key, *self.switches))

    def has(self, live: LiveIn) -> bool:
        """Whether something with these times is live or on in this position."""
        return self.key in live.keys and (live.switch is None or live.switch in self.switches)

    def battery_volts(self, settings: Settings) -> float:
        """Volts between the battery's poles, scaled to the car's system."""
        volts = {"start": START_VOLTS, "running": RUNNING_VOLTS}.get(self.key, REST_VOLTS)
        return volts * settings.system_volts / 12


def position(name: str) -> Position:
    """`running+lights` to the position. Raises ValueError for what is none."""
    key, *switches = name.split("+")
    if key not in KEYS or any(switch not in SWITCHES for switch in switches):
        raise ValueError(f"{name!r} is no position: {', '.join(KEYS)}, then switches joined by +")
    return Position(key, tuple(switch for switch in SWITCHES if switch in switches))


def standard_set(used: Iterable[Switch]) -> tuple[Position, ...]:
    """The standard set, without the positions whose switches nothing in the job uses.

    A used switch that the set does not turn over is added in off and in running.
    """
    known = set(used)
    found = [Position(key, on) for key, on in _STANDARD if known.issuperset(on)]
    turned = {switch for place in found for switch in place.switches}
    for switch in SWITCHES:
        if switch in known - turned:
            found += [Position("off", (switch,)), Position("running", (switch,))]
    return tuple(found)
