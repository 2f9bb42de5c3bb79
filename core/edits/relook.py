"""The lookup of a new document, from the one before and what was changed since."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from core.edits.table import Table
from core.job.lookup import Lookup, conductors_of, contacts
from core.job.parts import Part
from core.job.wiring import Cable, Conductor, Mate, Wire

T = TypeVar("T")


def changed_lookup(
    old: Lookup,
    *,
    joint_of: Mapping[str, str | None],
    crimped: Mapping[str, tuple[str, ...]],
    wires: Table[Wire],
    cables: Table[Cable],
    mates: Table[Mate],
    parts: Table[Part],
) -> Lookup:
    """The same as one built from scratch, at the cost of what was touched."""
    mate_of, meets = old.mate_of, old.meets
    remade = _mates_to_look_at(old, mates, parts)
    if remade:
        mate_of, meets = _mated(old, remade, mates, parts)
    return Lookup(
        joint_of=_overlaid(old.joint_of, joint_of),
        crimped=_overlaid(old.crimped, {place: ends or None for place, ends in crimped.items()}),
        conductors=_conductors(old.conductors, wires, cables),
        mate_of=mate_of,
        meets=meets,
    )


def _conductors(
    old: Mapping[str, Wire | Conductor], wires: Table[Wire], cables: Table[Cable]
) -> Mapping[str, Wire | Conductor]:
    changes: dict[str, Wire | Conductor | None] = {name: wires.get(name) for name in wires.touched}
    for name in cables.touched:
        before, after = cables.before.get(name), cables.get(name)
        changes.update((core, None) for core, _ in (conductors_of(before) if before else ()))
        changes.update(conductors_of(after) if after else ())
    return _overlaid(old, changes)


def _mates_to_look_at(old: Lookup, mates: Table[Mate], parts: Table[Part]) -> set[str]:
    touched = set(mates.touched)
    for tag in parts.touched:
        for part in (parts.before.get(tag), parts.get(tag)):
            names = (f"{tag}.{c.name}" for c in part.connectors) if part else ()
            known = (old.mate_of.get(name) for name in names)
            touched.update(mate[0] for mate in known if mate)
    return touched


def _mated(
    old: Lookup, remade: set[str], mates: Table[Mate], parts: Table[Part]
) -> tuple[Mapping[str, tuple[str, str]], Mapping[str, str | None]]:
    mate_of, meets = dict(old.mate_of), dict(old.meets)
    for mate in (mates.before[name] for name in remade if name in mates.before):
        for connector in (mate.a, mate.b):
            mate_of.pop(connector, None)
        for terminal in contacts(mate, parts.before):
            meets.pop(terminal, None)
    for mate in (mates[name] for name in remade if name in mates):
        mate_of |= {mate.a: (mate.id, mate.b), mate.b: (mate.id, mate.a)}
        meets.update(contacts(mate, parts.now))
    return mate_of, meets


def _overlaid(old: Mapping[str, T], changes: Mapping[str, T | None]) -> Mapping[str, T]:
    """The mapping with the changes made; None takes a key away."""
    if not changes:
        return old
    new = dict(old)
    for key, value in changes.items():
        if value is None:
            new.pop(key, None)
        else:
            new[key] = value
    return new
