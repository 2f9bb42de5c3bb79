"""Positions: what decides which feeds are live and which contacts are closed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import get_args

from core.job.internals import Key, LiveIn, Switch
from core.job.internals.common import STANDARD_SWITCHES
from core.job.record import Settings

KEYS: tuple[Key, ...] = get_args(Key)
_STANDARD: tuple[tuple[Key, tuple[Switch, ...]], ...] = (
    *((key, ()) for key in KEYS),
    ("off", ("lights",)),
    ("running", ("lights",)),
    ("run", ("reverse",)),
    ("running", ("lights", "reverse")),
    ("running", ("parking",)),
)
# Of a 12 V battery, in volts: at rest, charging, sustained while cranking, and in the first tenth of a
# second of it. Common practice.
REST_VOLTS, RUNNING_VOLTS, START_VOLTS, DIP_VOLTS = 12.6, 14.2, 10.0, 7.0
LIVE_FRACTION, DEAD_FRACTION = 0.6, 0.3
"""Of the system's volts: live at the first share or above, dead below the second (common practice)."""


@dataclass(frozen=True, slots=True)
class Position:
    """Key and engine, and the switches that are on: those of the trade in their order, then the job's own."""

    key: Key
    switches: tuple[Switch, ...] = ()

    def __hash__(self) -> int:
        # Asked for at every look at a level; there are a dozen positions at the most.
        return hash(self.key) ^ len(self.switches)

    @property
    def name(self) -> str:
        return "+".join((self.key, *self.switches))

    def has(self, live: LiveIn) -> bool:
        """Whether something with these times is live, on or closed in this position."""
        return (
            self.key in live.keys
            and (live.switch is None or live.switch in self.switches)
            and (live.unless is None or live.unless not in self.switches)
        )

    def battery_volts(self, settings: Settings) -> float:
        """Volts of the car's battery: the job's own, else common practice scaled to the car's system."""
        battery = settings.battery
        match self.key:
            case "start":
                own, usual = battery.start_volts, START_VOLTS
            case "running":
                own, usual = battery.running_volts, RUNNING_VOLTS
            case _:
                own, usual = battery.rest_volts, REST_VOLTS
        return usual * settings.system_volts / 12 if own is None else own

    @property
    def before(self) -> Position | None:
        """The position it is reached from: the key one step back, or a switch thrown from the same key."""
        if self.switches:
            return Position(self.key, self.switches[:-1])
        place = KEYS.index(self.key)
        return Position(KEYS[place - 1]) if place else None


def ordered(switches: Iterable[Switch], own: Sequence[Switch] = ()) -> tuple[Switch, ...]:
    """Switches in the order of a position's name: the trade's, the job's own, then whatever else by name."""
    order = (*STANDARD_SWITCHES, *own)
    known = set(switches)
    return (*(s for s in order if s in known), *sorted(known.difference(order)))


def position(name: str, own: Iterable[Switch] = ()) -> Position:
    """`running+lights` to the position. `own` are the job's switches beside the trade's.

    Raises ValueError for what is none.
    """
    key, *switches = name.split("+")
    own = tuple(own)
    known = {*STANDARD_SWITCHES, *own}
    found = next((k for k in KEYS if k == key), None)
    if found is None or not known.issuperset(switches):
        raise ValueError(f"{name!r} is no position: {', '.join(KEYS)}, then switches joined by +")
    return Position(found, ordered(switches, own))


def button_switch(button: str) -> Switch:
    """The switch that stands for a held button in a position: `Volume +` is `volume-plus`."""
    text = unicodedata.normalize("NFKD", button.lower()).replace("−", "-")
    text = re.sub(r"(?<![a-z0-9])-|-(?![a-z0-9])", " minus ", text).replace("+", " plus ")
    slug = re.sub(r"[^a-z0-9]+", "-", text).strip("-")
    if not slug[:1].isalpha() or slug in STANDARD_SWITCHES:
        slug = f"button-{slug}"
    return slug[:30].strip("-")


def standard_set(used: Iterable[Switch], own: Sequence[Switch] = ()) -> tuple[Position, ...]:
    """The standard set, without the positions whose switches nothing in the job uses.

    A used switch that the set does not turn over is added in off and in running.
    """
    known = set(used)
    found = [Position(key, on) for key, on in _STANDARD if known.issuperset(on)]
    turned = {switch for place in found for switch in place.switches}
    for switch in ordered(known - turned, own):
        found += [Position("off", (switch,)), Position("running", (switch,))]
    return tuple(found)
