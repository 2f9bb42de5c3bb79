"""Elements kept from check to check."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator

from core.circuit.elements import Elements, elements_of
from core.ids import part_of
from core.job.document import Job
from core.job.parts import Part
from core.library.library import Library


class ElementCache:
    """Elements by part, worked out again only for parts that changed or were mated otherwise."""

    def __init__(self, library: Library) -> None:
        self._library = library
        self._known: dict[str, tuple[tuple[object, ...], Elements]] = {}

    def of(self, job: Job, part: Part) -> Elements:
        """What a part of this job does."""
        mark = tuple(stamp(job, part))
        known = self._known.get(part.id)
        if (
            known is None
            or len(known[0]) != len(mark)
            or any(a is not b for a, b in zip(known[0], mark, strict=True))
        ):
            known = self._known[part.id] = (mark, elements_of(job, self._library, part))
        return known[1]

    def keep(self, tags: Container[str]) -> None:
        """Forget parts that are no longer there."""
        self._known = {tag: known for tag, known in self._known.items() if tag in tags}


def stamp(job: Job, part: Part) -> Iterator[object]:
    """What decides what a part does: itself, the parts it is mated with, and the finishes between them."""
    yield part
    for connector in part.connectors:
        plug = f"{part.id}.{connector.name}"
        mate = job.lookup.mate_of.get(plug)
        yield job.parts[part_of(mate[1])] if mate else None
        if mate and part.state != "on the car" and job.finishes:
            for cavity in connector.cavities:
                here = f"{plug}-{cavity.pin}"
                yield job.finishes.get(here)
                yield job.finishes.get(job.lookup.meets.get(here) or "")


def whole(parts: Iterable[Elements]) -> Elements:
    """What all parts do together."""
    found = tuple(parts)
    return Elements(
        tuple(x for e in found for x in e.sources),
        tuple(x for e in found for x in e.loads),
        tuple(x for e in found for x in e.senses),
        tuple(x for e in found for x in e.step_downs),
        tuple(x for e in found for x in e.fuses),
        tuple(x for e in found for x in e.relays),
        tuple(x for e in found for x in e.diodes),
        tuple(x for e in found for x in e.contacts),
        tuple(x for e in found for x in e.speakers),
        frozenset().union(*(e.switches for e in found)),
    )
