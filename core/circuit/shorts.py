"""Shorts: what joins the poles of a source by nothing but wire, and what gives way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from core.circuit.conducting import SMALL_OHMS, Branch, Conducting, shortest, there
from core.circuit.network import Source
from core.circuit.places import Places
from core.circuit.positions import Position


@dataclass(frozen=True, slots=True)
class Short:
    """One loop at the moment of the fault. `path`: ids from the source's plus to its minus. `amps`: those
    that flow until something opens. `opens`: the fuse in the loop that does; where none does, `burns` is the
    conductor with the most amps over what it carries for good.
    """

    source: str
    path: tuple[str, ...]
    amps: float
    opens: str | None
    burns: str | None


def shorts(
    places: Places, conducting: Conducting, position: Position, opened: Sequence[str]
) -> Iterator[Short]:
    """The loops of every source, from the balance before any fuse opened. Loops that share what they draw
    their amps through (a fuse, a feed's switch) are one.
    """
    network = conducting.network
    for source in network.devices:
        if not isinstance(source, Source) or source.ohms > SMALL_OHMS:
            continue
        if not there(source, position, network):
            continue
        if not conducting.joined(source.plus, source.minus):
            continue
        ways = conducting.of(source.plus)
        told: set[Branch] = set()
        while path := shortest(ways, source.plus, source.minus, told):
            neck = next((branch for branch in path if branch.name), path[0])
            told.add(neck)
            opens = next((name for name in opened if any(name == branch.name for branch in path)), None)
            yield Short(
                source.name,
                _ids(places, path, source.plus),
                abs(neck.amps),
                opens,
                None if opens else _burning(places, path),
            )


def _burning(places: Places, path: Sequence[Branch]) -> str | None:
    worst, name = 1.0, None
    for branch in path:
        if branch.row >= 0 and (share := abs(branch.amps) / float(places.bears[branch.row])) > worst:
            worst, name = share, places.names[branch.row][0]
    return name


def _ids(places: Places, path: Sequence[Branch], start: int) -> tuple[str, ...]:
    """What the loop is made of, in order: places, the wires between them, and devices by name."""
    found: list[str] = []
    node = start
    for branch in path:
        onward = branch.a == node
        node = branch.b if onward else branch.a
        if branch.name:
            found.append(branch.name)
        elif branch.row in places.names:
            ref, a, b = places.names[branch.row]
            first, last = (a, b) if onward else (b, a)
            between = () if ref in (a, b) else (ref,)
            found += (first, *between, last)
    return tuple(dict.fromkeys(found))
