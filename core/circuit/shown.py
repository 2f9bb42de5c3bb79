"""What stands at every place of a job in one position, for showing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from core.circuit.levels import Levels, chattering
from core.circuit.operating import OperatingPoint
from core.circuit.positions import DEAD_FRACTION, Position
from core.circuit.roles import function_of
from core.ids import kind_of, owner_of_end
from core.job.document import Job
from core.library.library import Library
from core.library.model import Function

State = Literal["live", "dead", "ground", "floating", "shorted", "signal", "through"]
"""`dead`: nothing feeds it now; `shorted`: a feed and ground meet; `signal`: electronics make its level;
`through`: no wire feeds it, what is inside parts holds it up."""

_WITH_LEVEL = frozenset({"feed", "ground", "output", "none"})


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands at a place. Volts are against the body; None where none can be told."""

    state: State
    volts: float | None = None


@dataclass(frozen=True, slots=True)
class Shown:
    """One position of one checked document, after any fuse opened. `chattering` are the parts that come to no
    rest in it; `opened` the fuses that open.
    """

    job: Job = field(repr=False)
    position: str
    places: Mapping[str, Standing] = field(repr=False)
    chattering: tuple[str, ...] = ()
    opened: tuple[str, ...] = ()
    point: OperatingPoint | None = field(default=None, repr=False)

    def at(self, ref: str) -> Standing | None:
        """At a terminal, joint, wire, conductor or wire end; None where there is none, or nothing is told."""
        return self.places.get(owner_of_end(ref))

    def amps(self, ref: str) -> float | None:
        """Through a wire, conductor or lead, whichever way they flow; None where none can be told."""
        ref = owner_of_end(ref)
        amps = self.point.amps(ref) if self.point is not None and ref in self.places else None
        return None if amps is None else abs(amps)


def shown(levels: Levels, job: Job, library: Library, position: Position) -> Shown:
    """The answers of levels that were worked out for this very document, for one position.

    Airbag circuits are left out: nobody measures there.
    """
    levels.solve(position)
    point = levels.engine.point(position)
    places: dict[str, Standing] = {}
    if point.chatter or point.unsolved:
        return Shown(job, position.name, places, chattering(point))
    speakers = frozenset(ref for leads in levels.elements.speakers for ref in leads.terminals)
    airbags = {ref for part in job.parts.values() for ref, cavity in part.cavities.items() if cavity.airbag}
    body = point.body_volts
    for nodes in levels.graph.nets.values():
        if not airbags.isdisjoint(nodes):
            continue
        state = _state(levels, point, next(iter(nodes)), position)
        if state in ("floating", "dead", "through") and _carries_signal(job, library, nodes, speakers):
            state = "signal"
        for ref in nodes:
            volts = None if state in ("floating", "shorted") else point.volts(ref)
            places[ref] = Standing(state, None if volts is None else volts - body)
    for ref in job.lookup.conductors:
        node = levels.graph.node_of(f"{ref}:a")
        if node in places:
            places[ref] = places[node]
    return Shown(job, position.name, places, opened=point.opened, point=point)


def _state(levels: Levels, point: OperatingPoint, ref: str, position: Position) -> State:
    if levels.shorted(ref, position) and not point.opened:
        return "shorted"
    if levels.ground(ref, position) is not None and not levels.live(ref, position):
        return "ground"
    volts = point.volts(ref)
    if volts is None:
        return "floating"
    # A fuse that opened takes the volts of a live net away again.
    dead = abs(volts - point.body_volts) < DEAD_FRACTION * levels.engine.job.settings.system_volts
    if levels.live(ref, position) and not (dead and point.opened):
        return "live"
    return "dead" if dead else "through"


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
