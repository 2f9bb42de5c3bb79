"""Where each end is: the answers that nearly every question about a job starts from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from core.ids import in_order
from core.job.wiring import Cable, Conductor, Joint, Mate, Wire

if TYPE_CHECKING:
    from core.job.parts import Part


@dataclass(frozen=True)
class Lookup:
    """`joint_of`: end to joint. `crimped`: terminal to the wire ends crimped into its cavity, in order.
    `conductors`: wire or conductor id to its record. `mate_of`: connector to (mate id, other connector).
    `meets`: terminal to the terminal its contact touches in the mated plug (None: no such cavity).
    """

    joint_of: Mapping[str, str]
    crimped: Mapping[str, tuple[str, ...]]
    conductors: Mapping[str, Wire | Conductor]
    mate_of: Mapping[str, tuple[str, str]]
    meets: Mapping[str, str | None]


def build_lookup(
    joints: Mapping[str, Joint],
    wires: Mapping[str, Wire],
    cables: Mapping[str, Cable],
    mates: Mapping[str, Mate],
    parts: Mapping[str, Part],
) -> Lookup:
    conductors: dict[str, Wire | Conductor] = dict(wires)
    for cable in cables.values():
        conductors.update(conductors_of(cable))
    crimped: dict[str, tuple[str, ...]] = {}
    for name, conductor in conductors.items():
        for letter, place in (("a", conductor.a_in), ("b", conductor.b_in)):
            if place is not None:
                here = crimped.get(place, ())
                crimped[place] = (
                    tuple(in_order((*here, f"{name}:{letter}"))) if here else (f"{name}:{letter}",)
                )
    mate_of: dict[str, tuple[str, str]] = {}
    meets: dict[str, str | None] = {}
    for mate in mates.values():
        mate_of[mate.a] = (mate.id, mate.b)
        mate_of[mate.b] = (mate.id, mate.a)
        meets.update(contacts(mate, parts))
    return Lookup(
        joint_of={end: joint.id for joint in joints.values() for end in joint.ends},
        crimped=crimped,
        conductors=conductors,
        mate_of=mate_of,
        meets=meets,
    )


def conductors_of(cable: Cable) -> Iterable[tuple[str, Conductor]]:
    return ((f"{cable.id}.{number}", core) for number, core in enumerate(cable.conductors, start=1))


def contacts(mate: Mate, parts: Mapping[str, Part]) -> dict[str, str | None]:
    """Which terminal of either half meets which of the other, by geometry alone."""
    found: dict[str, str | None] = {}
    for here, there in ((mate.a, mate.b), (mate.b, mate.a)):
        mine = parts[here.partition(".")[0]].by_name[here.partition(".")[2]]
        other = parts[there.partition(".")[0]].by_name[there.partition(".")[2]]
        if mine.face is None or other.face is None:
            continue
        for cavity in mine.cavities:
            pin = mine.face.opposite(cavity.pin, other.face)
            known = pin is not None and pin in other.by_pin
            found[f"{here}-{cavity.pin}"] = f"{there}-{pin}" if known else None
    return found
