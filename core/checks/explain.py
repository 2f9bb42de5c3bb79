"""A conflict told step by step: the places from its cause to its place, with what stands there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from core.checks.finding import Conflict
from core.circuit.engine import Engine
from core.circuit.operating import OperatingPoint, State
from core.circuit.positions import Position
from core.ids import kind_of, owner_of_end

_CONDUCTORS = ("wire", "conductor")


@dataclass(frozen=True, slots=True)
class Step:
    """One place on the way. `volts` are against the body, `amps` through its lead, contact or wire, and
    `drop_volts` what a wire loses; None where there are none, and in airbag circuits.
    """

    ref: str
    volts: float | None = None
    amps: float | None = None
    drop_volts: float | None = None
    state: State | None = None


def way(conflict: Conflict) -> tuple[str, ...]:
    """The ids to go through: from the cause to the worst place, or the places at fault where no path leads
    there. A wire speaks for its ends.
    """
    along = conflict.path or (*conflict.where, *conflict.wires)
    ends = conflict.where[:1] if not set(along) & set(conflict.where) else ()
    ids = dict.fromkeys((*along, *ends))
    return tuple(ref for ref in ids if kind_of(ref) != "wire end" or owner_of_end(ref) not in ids)


def worst_position(conflict: Conflict, engine: Engine) -> Position:
    """The position of the conflict whose balance comes nearest to what it says; else the one with the most
    volts at its worst place.
    """
    positions = [p for p in engine.positions if not conflict.positions or p.name in conflict.positions]
    place, said = conflict.where[0] if conflict.where else "", conflict.numbers.get("volts")

    def badness(position: Position) -> float:
        volts = abs(_against_body(moment(engine, position), place) or 0.0)
        near = volts if said is None else -abs(volts - abs(said))
        # To the tenth that conflicts are told in: of equals the first, whose name is the shortest.
        return round(near, 1)

    return max(positions or list(engine.positions), key=badness)


def moment(engine: Engine, position: Position) -> OperatingPoint:
    """The balance that conflicts speak of: before any fuse opened, pulsed feeds at their full volts."""
    return engine.point(position).full.moment


def explain(conflict: Conflict, engine: Engine, position: Position) -> tuple[Step, ...]:
    """What stands at each place of the way in a position."""
    return tuple(_steps(way(conflict), moment(engine, position)))


def _steps(refs: tuple[str, ...], point: OperatingPoint) -> Iterator[Step]:
    for ref in refs:
        if kind_of(ref) in _CONDUCTORS:
            yield Step(ref, amps=point.amps(ref), drop_volts=point.drop_volts(ref))
            continue
        amps = None
        if kind_of(ref) == "terminal":
            lead = point.amps(ref)
            amps = point.contact_amps(ref) if lead is None else lead
        yield Step(ref, volts=_against_body(point, ref), amps=amps, state=point.state(ref))


def _against_body(point: OperatingPoint, ref: str) -> float | None:
    volts = point.volts(ref) if ref else None
    return None if volts is None else volts - point.body_volts
