"""What every edit is built from: copies, numbers, refusals."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Literal, TypeVar

from pydantic import ValidationError

from core.errors import EditRefused
from core.ids import kind_of
from core.job.base import Frozen
from core.job.document import Job
from core.job.parts import Cavity, Connector, Part
from core.job.record import Reading
from core.job.wiring import Conductor, Wire

AnyFrozen = TypeVar("AnyFrozen", bound=Frozen)
Letter = Literal["J", "W", "C", "M", "N"]

HIGHEST_NUMBER = 999_999_999


def replaced(thing: AnyFrozen, **fields: Any) -> AnyFrozen:
    """A copy that is not validated again: for values that an edit has built and checked itself."""
    copy = thing.model_copy(update=fields)
    inside = copy.__dict__
    if len(inside) > len(type(thing).model_fields):
        # Cached properties are copied too; they speak of the thing as it was.
        for name in inside.keys() - type(thing).model_fields.keys():
            del inside[name]
    return copy


def checked(thing: AnyFrozen, **fields: Any) -> AnyFrozen:
    """A validated copy. Raises EditRefused with what a person can mend."""
    try:
        return thing.changed(**fields)
    except ValidationError as error:
        raise refusal(error) from error


def values(like: Frozen, fields: Mapping[str, Any]) -> dict[str, Any]:
    """The fields as validated, for many records of one kind whose fields do not depend on each other.

    Raises EditRefused.
    """
    sample = checked(like, **fields)
    return {name: getattr(sample, name) for name in fields}


def with_values(thing: AnyFrozen, validated: Mapping[str, Any]) -> AnyFrozen:
    """The thing with validated values; the very same where it has them already."""
    if all(getattr(thing, name) == value for name, value in validated.items()):
        return thing
    return replaced(thing, **validated)


def made(record: type[AnyFrozen], /, **fields: Any) -> AnyFrozen:
    """A new validated record. Raises EditRefused."""
    try:
        return record(**fields)
    except ValidationError as error:
        raise refusal(error) from error


def refusal(error: ValidationError) -> EditRefused:
    """The first thing wrong, as a sentence: `Length: input should be at least 0.`"""
    first = error.errors(include_url=False)[0]
    cause = str(first["msg"]).removeprefix("Value error, ")
    field = next((str(step) for step in first["loc"] if isinstance(step, str)), "")
    words = field.removesuffix("_mm").replace("_", " ").capitalize()
    sentence = f"{words}: {cause}" if words else cause
    return EditRefused(sentence if sentence.endswith(".") else sentence + ".")


def only(fields: Mapping[str, object], allowed: frozenset[str]) -> None:
    """Raises TypeError, as a call with a wrong keyword does, for a field that this edit does not set."""
    strange = fields.keys() - allowed
    if strange:
        raise TypeError(f"no such field here: {', '.join(sorted(strange))}")


def renamed_readings(readings: tuple[Reading, ...], renamed: Callable[[str], str]) -> tuple[Reading, ...]:
    """Readings whose points have other names; the very same where none has."""

    def after(reading: Reading) -> Reading:
        red, black = renamed(reading.red), renamed(reading.black)
        lifted = reading.lifted and renamed(reading.lifted)
        if (red, black, lifted) == (reading.red, reading.black, reading.lifted):
            return reading
        return replaced(reading, red=red, black=black, lifted=lifted)

    found = tuple(after(reading) for reading in readings)
    return readings if all(a is b for a, b in zip(readings, found, strict=True)) else found


def said(job: Job, ref: str) -> str:
    """An id as it is put into a sentence: `RAD-4`, `end a of W1`."""
    if kind_of(ref) == "wire end":
        owner, _, letter = ref.partition(":")
        return f"end {letter} of {owner}"
    return job.shown(ref)


def opening(job: Job, ref: str) -> str:
    """The same at the opening of a sentence."""
    words = said(job, ref)
    return words[0].upper() + words[1:]


def the_part(job: Job, tag: str) -> Part:
    part = job.parts.get(tag)
    if part is None:
        raise EditRefused(f"There is no part {tag}.")
    return part


def the_cavity(job: Job, terminal: str) -> Cavity:
    cavity = job.cavity(terminal) if kind_of(terminal) == "terminal" else None
    if cavity is None:
        raise EditRefused(f"There is no cavity {terminal}.")
    return cavity


def the_connector(job: Job, ref: str) -> Connector:
    connector = job.connector(ref) if kind_of(ref) in ("connector", "terminal") else None
    if connector is None:
        raise EditRefused(f"There is no connector {ref}.")
    return connector


def the_conductor(job: Job, name: str) -> Wire | Conductor:
    """The wire `W3` or the conductor `C1.2`."""
    conductor = job.lookup.conductors.get(name)
    if conductor is None:
        raise EditRefused(f"There is no wire {name}.")
    return conductor
