"""How conflicts say places, positions and volts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from core.circuit.positions import Position
from core.ids import part_of
from core.job.document import Job
from core.job.internals import VoltWindow
from core.units import show_volts


def listed(words: Sequence[str]) -> str:
    """`A`, `A and B`, `A, B and C`."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def plug_words(job: Job, ref: str) -> str:
    """A connector as people read it: by its part, and by its own name where the part has several."""
    part = job.parts[part_of(ref)]
    return ref if len(part.connectors) > 1 else part.id


def places(job: Job, refs: Iterable[str]) -> str:
    """Terminals, joints and wires as people write them."""
    return listed([job.shown(ref) for ref in refs])


def names(positions: Iterable[Position]) -> tuple[str, ...]:
    return tuple(position.name for position in positions)


def when(positions: Sequence[Position], all_positions: Sequence[Position]) -> str:
    """`in every position`, `in run`, `in run, start and running`.

    `running` speaks for `running+lights` as well.
    """
    if len(positions) == len(all_positions):
        return "in every position"
    bare = {position.key for position in positions if not position.switches}
    told = [p for p in positions if not p.switches or p.key not in bare]
    return "in " + listed(names(told))


def window(accepts: VoltWindow) -> str:
    """`5.5 to 6.5 V`."""
    least = show_volts(accepts.least).removesuffix(" V")
    return f"{least} to {show_volts(accepts.most)}"
