"""What the shapes wear: words, colours and states of cavities and flags, read from the job for painting."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from core.ids import part_of
from core.job.document import Job
from core.layout.shapes import BlockShape, CavityShape, FaceShape, FlagShape
from core.layout.words import colour_at, flag_text
from core.library.library import Library

FlagState = Literal["joined", "open", "capped", "pulled", "left", "bare"]
Level = Literal["stop", "look", "note"]
Glow = Literal["live", "dead", "floating"]


@dataclass(frozen=True, slots=True)
class CavityDress:
    """`first` and `second` are the colours of the cell's halves, the car's first; equal for one."""

    number: str
    first: str | None
    second: str | None
    split: bool
    airbag: bool
    level: Level | None = None


@dataclass(frozen=True, slots=True)
class FlagDress:
    pin: str
    words: str
    letters: str
    state: FlagState
    removed: bool
    level: Level | None = None
    glow: Glow | None = None


@dataclass(frozen=True, slots=True)
class BlockDress:
    """Everything a block shows beside its shape. `plastics` by connector id."""

    plastics: Mapping[str, str] = field(default_factory=dict)
    cavities: Mapping[str, CavityDress] = field(default_factory=dict)
    flags: Mapping[str, FlagDress] = field(default_factory=dict)
    removed: bool = False


def dress(
    block: BlockShape,
    job: Job,
    library: Library,
    open_ends: frozenset[str],
    levels: Mapping[str, Level],
    glow: Mapping[str, Glow],
) -> BlockDress:
    """What one block wears in this job. `levels` is the worst conflict level of each id at fault, `glow` what
    is live, dead or floating in the position shown.
    """
    return BlockDress(
        plastics={face.connector: plastic_of(job, face) for face in block.faces},
        cavities={
            cell.terminal: _cavity(cell, job, levels) for face in block.faces for cell in face.cavities
        },
        flags={flag.terminal: _flag(flag, job, library, open_ends, levels, glow) for flag in block.flags},
        removed=block.part in job.parts and job.parts[block.part].state == "removed",
    )


def glowing(worn: BlockDress, glow: Mapping[str, Glow]) -> BlockDress:
    """The same dress with other flags live or dead: a key is turned more often than a job is changed."""
    flags = {
        terminal: flag if flag.glow == glow.get(terminal) else replace(flag, glow=glow.get(terminal))
        for terminal, flag in worn.flags.items()
    }
    return replace(worn, flags=flags)


def plastic_of(job: Job, face: FaceShape) -> str:
    connector = job.connector(face.connector)
    return connector.face.plastic if connector and connector.face else ""


def worst(one: Level | None, other: Level | None) -> Level | None:
    for level in ("stop", "look", "note"):
        if level in (one, other):
            return level
    return None


def _cavity(cell: CavityShape, job: Job, levels: Mapping[str, Level]) -> CavityDress:
    halves = [ref for ref in (cell.terminal, cell.mate) if ref is not None]
    halves.sort(key=lambda ref: not _is_on_the_car(job, ref))
    known = [(ref, cavity) for ref in halves if (cavity := job.cavity(ref)) is not None]
    colours = [colour for ref, cavity in known if (colour := colour_at(job.lookup, ref, cavity))]
    first, second = (colours[0], colours[-1]) if colours else (None, None)
    level: Level | None = None
    for ref in halves:
        level = worst(level, levels.get(ref))
    airbag = any(cavity.airbag for _, cavity in known)
    return CavityDress(cell.pin, first, second, first != second, airbag, level)


def _is_on_the_car(job: Job, terminal: str) -> bool:
    part = job.parts.get(part_of(terminal))
    return part is not None and part.state == "on the car"


def _flag(
    flag: FlagShape,
    job: Job,
    library: Library,
    open_ends: frozenset[str],
    levels: Mapping[str, Level],
    glow: Mapping[str, Glow],
) -> FlagDress:
    terminal = flag.terminal
    text = flag_text(job, library, terminal)
    part = job.parts.get(part_of(terminal))
    return FlagDress(
        pin=text.pin,
        words=text.words,
        letters=text.colour,
        state=_state(terminal, job, open_ends),
        removed=part is not None and part.state == "removed",
        level=levels.get(terminal),
        glow=glow.get(terminal),
    )


def _state(terminal: str, job: Job, open_ends: frozenset[str]) -> FlagState:
    finish = job.finishes.get(terminal)
    if finish is not None:
        return finish.kind
    if terminal in job.lookup.joint_of or terminal in job.lookup.crimped:
        return "joined"
    return "open" if terminal in open_ends else "bare"
