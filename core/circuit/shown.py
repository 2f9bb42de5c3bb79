"""What stands at every place of a job in one position, for showing: asked of the levels alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from core.circuit.levels import Levels
from core.circuit.positions import Position
from core.circuit.roles import function_of
from core.ids import kind_of, owner_of_end
from core.job.document import Job
from core.library.library import Library
from core.library.model import Function

State = Literal["live", "dead", "ground", "floating", "shorted", "signal"]
"""`dead`: fed in another position; `shorted`: a feed and ground meet; `signal`: no DC level is worked out."""

_WITH_LEVEL = frozenset({"feed", "ground", "output", "none"})


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands at a place. Volts are against the body; None where none can be told."""

    state: State
    volts: float | None = None


@dataclass(frozen=True, slots=True)
class Shown:
    """One position of one checked document. `chattering` are the parts that come to no rest in it."""

    job: Job = field(repr=False)
    position: str
    places: Mapping[str, Standing] = field(repr=False)
    chattering: tuple[str, ...] = ()

    def at(self, ref: str) -> Standing | None:
        """At a terminal, joint, wire, conductor or wire end; None where there is none, or nothing is told."""
        return self.places.get(owner_of_end(ref))


def shown(levels: Levels, job: Job, library: Library, position: Position) -> Shown:
    """The answers of levels that were worked out for this very document, for one position.

    Airbag circuits are left out: nobody measures there.
    """
    levels.solve(position)
    chattering = levels.unsettled.get(position.name, ())
    places: dict[str, Standing] = {}
    if chattering:
        return Shown(job, position.name, places, chattering)
    speakers = frozenset(ref for leads in levels.elements.speakers for ref in leads.terminals)
    airbags = {ref for part in job.parts.values() for ref, cavity in part.cavities.items() if cavity.airbag}
    for nodes in levels.graph.nets.values():
        if not airbags.isdisjoint(nodes):
            continue
        standing = _standing(levels, next(iter(nodes)), position)
        if standing.state == "floating" and _carries_signal(job, library, nodes, speakers):
            standing = Standing("signal")
        places.update(dict.fromkeys(nodes, standing))
    for ref in job.lookup.conductors:
        node = levels.graph.node_of(f"{ref}:a")
        if node in places:
            places[ref] = places[node]
    return Shown(job, position.name, places)


def _standing(levels: Levels, ref: str, position: Position) -> Standing:
    volts = levels.volts(ref, position)
    if volts is None:
        if levels.shorted(ref, position):
            return Standing("shorted")
        # What is fed at other times is pulled down by what hangs on it: common practice.
        return Standing("dead", 0.0) if levels.ever_live(ref) else Standing("floating")
    return Standing("live" if levels.live(ref, position) else "ground", volts)


def _carries_signal(job: Job, library: Library, nodes: Iterable[str], speakers: frozenset[str]) -> bool:
    """Whether a net's level is made by electronics, of which these levels know nothing."""
    for ref in nodes:
        if ref in speakers:
            return True
        cavity = job.cavity(ref) if kind_of(ref) == "terminal" else None
        own = library.functions.get(cavity.function) if cavity is not None else None
        if own is None or _has_level(own):
            continue
        # The word of a plug that passes on counts less than that of the car's plug it meets.
        meant = function_of(job, library, ref)
        if meant is not None and not _has_level(meant):
            return True
    return False


def _has_level(function: Function) -> bool:
    # A sense with a switch is a switch to ground: while open, its lead floats.
    return function.cls in _WITH_LEVEL or (function.cls == "sense" and function.switch is not None)
