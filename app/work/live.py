"""Key positions to step through, and what the map and the words say of the one that is shown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from core.circuit.positions import KEYS, Position, ordered, position
from core.ids import kind_of
from core.job.internals import Key, Switch
from core.job.internals.common import STANDARD_SWITCHES
from core.units import show_amps, show_volts

if TYPE_CHECKING:
    from app.canvas.dress import Glow
    from core.circuit.shown import Shown

_GLOW: dict[str, Glow] = {"live": "live", "shorted": "live", "dead": "dead", "floating": "floating"}
"""Grounds and signals are neither live nor dead: they look as ever."""
_OWNERS = ("terminal", "wire", "conductor")
_STATE_WORDS = {
    "shorted": "feed and ground meet",
    "signal": "signal",
    "ground": "ground",
    "floating": "floating",
}
LEAST_AMPS = 0.0005
"""Less than half a milliamp through a wire is not worth a word."""


def glow_of(shown: Shown | None) -> dict[str, Glow]:
    """What glows and what fades, by id of terminal, wire or conductor; nothing where nothing is shown."""
    if shown is None:
        return {}
    return {
        ref: _GLOW[standing.state]
        for ref, standing in shown.places.items()
        if standing.state in _GLOW and kind_of(ref) in _OWNERS
    }


def words_at(shown: Shown | None, ref: str) -> str:
    """`12.6 V in run`, `0 V in off`, `ground in run`; empty where nothing is told."""
    standing = shown.at(ref) if shown is not None else None
    if shown is None or standing is None:
        return ""
    words = _STATE_WORDS.get(standing.state, "")
    if standing.volts is not None and standing.state != "ground":
        words = " ".join(filter(None, (words, show_volts(standing.volts).replace("-", "−"))))
    if standing.state == "through":
        words = f"{words} through a part"
    amps = shown.amps(ref)
    if amps is not None and amps >= LEAST_AMPS:
        words = f"{words}, {show_amps(amps)}"
    return f"{words} in {shown.position}"


def parted(name: str) -> Position:
    """A position by the name that the screen holds: whatever switches it names are the job's."""
    return position(name, (switch for switch in name.split("+")[1:] if switch not in STANDARD_SWITCHES))


def used_switches(positions: Iterable[str], shown: str, own: Sequence[Switch] = ()) -> tuple[Switch, ...]:
    """The switches of the checked positions, and those that are on in the one shown, in their order.

    `own` are the job's switches beside the trade's.
    """
    named = (*positions, *filter(None, [shown]))
    return ordered((switch for name in named for switch in parted(name).switches), own)


def with_key(shown: str, key: Key) -> str:
    """The position when a key button is pressed: the switches stay; the key that is on goes out."""
    if not shown:
        return key
    here = parted(shown)
    return "" if here.key == key else Position(key, here.switches).name


def with_switch(shown: str, switch: Switch, positions: Sequence[str], own: Sequence[Switch] = ()) -> str:
    """The position when a switch is pressed; where none is shown, the first checked one that has it on."""
    if not shown:
        return next((name for name in positions if switch in parted(name).switches), f"off+{switch}")
    here = parted(shown)
    return Position(here.key, ordered(set(here.switches) ^ {switch}, own)).name


def without_switches(shown: str, known: Sequence[Switch]) -> str:
    """The position shown, without the switches that are neither the trade's nor among those known."""
    if not shown:
        return ""
    here, kept = parted(shown), {*STANDARD_SWITCHES, *known}
    return Position(here.key, tuple(switch for switch in here.switches if switch in kept)).name


def stepped(shown: str, by: int) -> str:
    """The next or previous key position, through `none shown`; the switches stay."""
    stops: tuple[Key | None, ...] = (None, *KEYS)
    here = parted(shown) if shown else None
    key = stops[(stops.index(here.key if here else None) + by) % len(stops)]
    return Position(key, here.switches if here else ()).name if key else ""
