"""Wires and cables from stock."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from core.edits.base import checked, made, only, opening, the_cavity, the_connector, values, with_values
from core.edits.draft import Draft
from core.edits.spots import crimped_into
from core.errors import EditRefused
from core.ids import kind_of, other_end, owner_of_end
from core.job.document import Job
from core.job.wiring import Cable, Conductor, Wire

_WIRE_FIELDS = frozenset({"colour", "gauge", "length_mm", "note"})
_CABLE_FIELDS = frozenset({"name", "length_mm", "outside_diameter_mm", "note"})
_CONDUCTOR_FIELDS = frozenset({"colour", "gauge", "shield"})


def add_wire(job: Job, **fields: Any) -> Job:
    """Add a loose wire: colour, gauge, length_mm, note. Raises EditRefused."""
    only(fields, _WIRE_FIELDS)
    draft = Draft(job)
    name = draft.next_id("W")
    draft.wires.put(name, made(Wire, id=name, **fields))
    return draft.job()


def set_wire(job: Job, wire: str, **fields: Any) -> Job:
    """Change a wire's colour, gauge, length_mm or note. Raises EditRefused."""
    return set_wires(job, [wire], **fields)


def set_wires(job: Job, wires: Iterable[str], **fields: Any) -> Job:
    """The same for many wires at once. Raises EditRefused."""
    only(fields, _WIRE_FIELDS)
    draft = Draft(job)
    olds = [_the_wire(job, name) for name in wires]
    validated = values(olds[0], fields) if olds else {}
    for old in olds:
        new = with_values(old, validated)
        if new is not old:
            draft.wires.put(old.id, new)
    return draft.job()


def remove_wires(job: Job, wires: Iterable[str]) -> Job:
    """Take wires away, out of their joints and cavities. Raises EditRefused."""
    draft = Draft(job)
    for name in dict.fromkeys(wires):
        _the_wire(job, name)
        draft.drop_conductors(name)
    return draft.job()


def add_cable(job: Job, conductors: Sequence[Conductor], **fields: Any) -> Job:
    """Add a loose cable: its conductors, name, length_mm, outside_diameter_mm, note. Raises EditRefused."""
    only(fields, _CABLE_FIELDS)
    loose = tuple(checked(core, a_in=None, b_in=None) for core in conductors)
    draft = Draft(job)
    name = draft.next_id("C")
    draft.cables.put(name, made(Cable, id=name, conductors=loose, **fields))
    return draft.job()


def set_cable(job: Job, cable: str, **fields: Any) -> Job:
    """Change a cable's name, length_mm, outside_diameter_mm or note. Raises EditRefused."""
    only(fields, _CABLE_FIELDS)
    old = _the_cable(job, cable)
    new = checked(old, **fields)
    draft = Draft(job)
    if new != old:
        draft.cables.put(cable, new)
    return draft.job()


def set_conductor(job: Job, conductor: str, **fields: Any) -> Job:
    """Change the colour, gauge or shield of one conductor (`C1.2`) of a cable. Raises EditRefused."""
    only(fields, _CONDUCTOR_FIELDS)
    old = job.lookup.conductors.get(conductor)
    if not isinstance(old, Conductor):
        raise EditRefused(f"There is no conductor {conductor}.")
    new = checked(old, **fields)
    draft = Draft(job)
    if new != old:
        draft.put_conductor(conductor, new)
    return draft.job()


def remove_cables(job: Job, cables: Iterable[str]) -> Job:
    """Take cables away, out of their joints and cavities. Raises EditRefused."""
    draft = Draft(job)
    for name in dict.fromkeys(cables):
        _the_cable(job, name)
        draft.drop_conductors(name)
    return draft.job()


def crimp(job: Job, wire_end: str, terminal: str) -> Job:
    """Crimp a loose wire end into a cavity, whatever is in it already. Raises EditRefused."""
    place = _where_crimped(job, wire_end)
    if place is not None:
        raise EditRefused(f"{opening(job, wire_end)} is crimped into {job.shown(place)} already.")
    if wire_end in job.lookup.joint_of:
        raise EditRefused(f"{opening(job, wire_end)} is joined in {job.lookup.joint_of[wire_end]}.")
    the_cavity(job, terminal)
    if the_connector(job, terminal).face is None:
        raise EditRefused(f"{job.shown(terminal)} is a loose lead; it has no cavity to crimp into.")
    if crimped_into(job, other_end(wire_end)) == terminal:
        raise EditRefused(f"The other end of {owner_of_end(wire_end)} is in {job.shown(terminal)}.")
    draft = Draft(job)
    draft.fill(terminal)
    draft.crimp(wire_end, terminal)
    return draft.job()


def uncrimp(job: Job, wire_end: str) -> Job:
    """Take a wire end out of its cavity; it hangs free. Raises EditRefused."""
    if _where_crimped(job, wire_end) is None:
        raise EditRefused(f"{opening(job, wire_end)} is in no cavity.")
    draft = Draft(job)
    draft.crimp(wire_end, None)
    return draft.job()


def _where_crimped(job: Job, wire_end: str) -> str | None:
    if kind_of(wire_end) != "wire end" or owner_of_end(wire_end) not in job.lookup.conductors:
        raise EditRefused(f"There is no wire end {wire_end}.")
    return crimped_into(job, wire_end)


def _the_wire(job: Job, name: str) -> Wire:
    wire = job.wires.get(name)
    if wire is None:
        raise EditRefused(f"There is no wire {name}.")
    return wire


def _the_cable(job: Job, name: str) -> Cable:
    cable = job.cables.get(name)
    if cable is None:
        raise EditRefused(f"There is no cable {name}.")
    return cable
