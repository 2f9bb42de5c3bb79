"""What a rule may ask: the job, its conductors and levels, and answers that several rules need."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

from core.checks.loading import Loading
from core.circuit.elements import Elements, LoadPart
from core.circuit.levels import Levels
from core.circuit.positions import Position
from core.circuit.roles import Side, flow_of, function_of, is_pigtail, side_of
from core.ids import in_order, kind_of, natural_key, other_end, part_of
from core.job.document import Job
from core.job.internals import Kind
from core.job.parts import Cavity
from core.library.library import Library
from core.library.limits import Limits
from core.library.model import Flow, Function
from core.net.graph import ConductorGraph, Net

_order = lru_cache(maxsize=100_000)(natural_key)
"""Terminals are put in order at every check; their keys stay the same."""


@dataclass(frozen=True)
class Context:
    """Everything about one check of one document. Made by the checker; rules change nothing in it.

    `final` is set at print, hand-over and on the command line: what is still open is then not decided.
    """

    job: Job
    library: Library
    graph: ConductorGraph
    elements: Elements
    levels: Levels
    open_ends: frozenset[str]
    final: bool
    _functions: dict[str, Function | None] = field(default_factory=dict)
    _terminals: dict[Net, tuple[str, ...]] = field(default_factory=dict)
    _across: dict[tuple[str, tuple[str, ...], Position], float | None] = field(default_factory=dict)

    # -- things and their names --------------------------------------------------------------------

    def cavity(self, ref: str) -> Cavity:
        """The cavity of a terminal that is known to exist."""
        found = self.job.cavity(ref)
        if found is None:
            raise KeyError(ref)
        return found

    def function(self, ref: str) -> Function | None:
        """What a terminal is for; a pigtail's is that of the cavity it meets."""
        if ref not in self._functions:
            self._functions[ref] = function_of(self.job, self.library, ref)
        return self._functions[ref]

    def cls(self, ref: str) -> str:
        """The class of a terminal's function; empty where it has none."""
        function = self.function(ref)
        return function.cls if function else ""

    def side(self, ref: str) -> Side:
        return side_of(self.job, ref)

    def flow(self, ref: str) -> Flow:
        """What its side does with a terminal's function."""
        function = self.function(ref)
        return flow_of(self.cavity(ref), function, self.side(ref)) if function else "none"

    def words(self, ref: str) -> str:
        """A terminal's function as people read it."""
        function = self.function(ref)
        return function.words if function else self.cavity(ref).label or "unknown"

    def needed(self, ref: str) -> bool:
        """Whether the equipment does not work without this terminal's function."""
        function, cavity = self.function(ref), self.cavity(ref)
        takes = function is not None and function.needed and self.flow(ref) == "takes"
        return cavity.needed or takes

    # -- the net of a place ------------------------------------------------------------------------

    def terminals(self, ref: str) -> tuple[str, ...]:
        """The terminals of a place's net, in order."""
        net = self.graph.net_of(ref)
        if net is None:
            return ()
        if net not in self._terminals:
            found = (node for node in self.graph.nets[net] if kind_of(node) == "terminal")
            self._terminals[net] = tuple(sorted(found, key=_order))
        return self._terminals[net]

    def joints(self, ref: str) -> tuple[str, ...]:
        """The joints of a place's net, in order."""
        return tuple(in_order(node for node in self.graph.members(ref) if kind_of(node) == "joint"))

    def lead(self, ref: str) -> str:
        """The terminal by which hands reach another: itself, or that of our plug that touches it."""
        other = self.job.lookup.meets.get(ref)
        if other is None or not is_pigtail(self.job, other):
            return ref
        return other if self.graph.net_of(other) == self.graph.net_of(ref) else ref

    def joint_at(self, ref: str) -> str | None:
        """The joint of a terminal's lead, or of the wire crimped into its cavity."""
        end = self.joined_end(ref)
        return self.job.lookup.joint_of[end] if end else None

    def joined_end(self, ref: str) -> str | None:
        """The end in a joint that stands for it: its lead, or the far end of a wire in its cavity."""
        lead = self.lead(ref)
        far = (other_end(end) for end in self.job.lookup.crimped.get(lead, ()))
        return next((end for end in (lead, *far) if end in self.job.lookup.joint_of), None)

    def joined(self, ref: str) -> bool:
        """Whether anything but the mated plug conducts to a terminal."""
        lead = self.lead(ref)
        return lead in self.job.lookup.joint_of or bool(self.job.lookup.crimped.get(lead))

    # -- what is decided ---------------------------------------------------------------------------

    def undecided(self, ref: str) -> bool:
        """Whether a place is yet to be decided, so that what it lacks is no conflict so far."""
        return self.graph.net_of(ref) in self._waiting or self._untouched(ref)

    def _untouched(self, ref: str) -> bool:
        """Whether a bare terminal was left as it came: nothing joined, crimped, mated or finished."""
        alone = len(self.graph.members(ref)) == 1 and ref not in self.job.finishes
        return alone and not self.final and not self._part_done(ref)

    @cached_property
    def _waiting(self) -> frozenset[int | None]:
        return frozenset(self.graph.net_of(end) for end in self.open_ends if self.waits(end))

    def waits(self, end: str) -> bool:
        """Whether an open end still counts as to decide: not at the end of the job, nor of a done part."""
        return end in self.open_ends and not self.final and not self._part_done(end)

    def _part_done(self, end: str) -> bool:
        if ":" in end:
            return False
        other = self.job.lookup.meets.get(end)
        tags = [part_of(ref) for ref in (end, other) if ref]
        return any(self.job.parts[tag].done for tag in tags)

    # -- what parts do -----------------------------------------------------------------------------

    @cached_property
    def by_kind(self) -> Mapping[type[Kind], Sequence[tuple[str, str, Kind]]]:
        """Part, device name and internal of everything that parts do, their own and what is implied and
        conducts, by its kind.
        """
        found: dict[type[Kind], list[tuple[str, str, Kind]]] = {}
        for tag, part in self.job.parts.items():
            if part.state == "removed":
                continue
            inner: dict[str, Kind] = {f"{tag}#{place}": it for place, it in enumerate(part.internals)}
            for name, implied in self.levels.engine.plan.sketches[tag].names.items():
                inner.setdefault(name.partition(" ")[0], implied)
            for name, it in inner.items():
                found.setdefault(type(it), []).append((tag, name, it))
        return found

    # -- loads -------------------------------------------------------------------------------------

    @cached_property
    def loads(self) -> tuple[LoadPart, ...]:
        """Everything that is fed: loads, and step-downs by their input."""
        step_downs = (LoadPart(s.part, s.input, (s.common,), s.accepts) for s in self.elements.step_downs)
        return (*self.elements.loads, *step_downs)

    @cached_property
    def low_volt_inputs(self) -> frozenset[str]:
        """The inputs, and the leads to them, that do not stand the system's own volts."""
        system = self.job.settings.system_volts
        low = [load.plus for load in self.loads if load.accepts and load.accepts.most < system]
        return frozenset(ref for plus in low for ref in (plus, self.lead(plus)))

    def hot(self, load: LoadPart) -> tuple[str, ...]:
        """The terminals on the side of the feeds: plus, or minus in a car with positive ground."""
        return (load.plus,) if self.job.settings.ground == "negative" else load.minus

    def back(self, load: LoadPart) -> tuple[str, ...]:
        """The terminals on the side of the body."""
        return load.minus if self.job.settings.ground == "negative" else (load.plus,)

    def across(self, load: LoadPart, position: Position) -> float | None:
        """Volts from minus to plus. A minus that floats counts as the body; None where plus floats, and where
        minus is in a short.
        """
        key = load.plus, load.minus, position
        if key not in self._across:
            self._across[key] = self._volts_across(load, position)
        return self._across[key]

    def _volts_across(self, load: LoadPart, position: Position) -> float | None:
        if any(self.levels.shorted(ref, position) for ref in load.minus):
            return None
        plus = self.levels.volts(load.plus, position)
        # A minus that nothing but parts' insides leads to is still to be joined: to what its feed is made
        # against.
        known = [self.levels.volts(ref, position) for ref in load.minus if self.levels.drives(ref, position)]
        minus = next((volts for volts in known if volts is not None), None)
        if minus is None and not self.levels.live(load.plus, position):
            return None
        if plus is None or (minus is None and not plus):
            return None
        return plus - (self._made_against(load.plus, position) if minus is None else minus)

    def _made_against(self, plus: str, position: Position) -> float:
        """Volts of what the feed of a terminal stands on: the common of a converter, else the body."""
        feeds = self.levels.feeds(plus, position)
        made = feeds[0].source.terminal if feeds and feeds[0].source.kind == "step-down" else None
        commons = (s.common for s in self.elements.step_downs if s.output == made)
        return next((self.levels.volts(common, position) or 0.0 for common in commons), 0.0)

    @cached_property
    def feed_places(self) -> Mapping[frozenset[Position], Sequence[str]]:
        """Where the car's feeds can be joined to: their joints or open leads, by when they are live."""
        found: dict[frozenset[Position], dict[str, None]] = {}
        for source in self.elements.sources:
            if source.kind != "feed" or source.stores or source.volts is not None:
                continue
            lead = self.lead(source.terminal)
            place = self.joint_at(source.terminal) or (lead if lead in self.open_ends else None)
            if place is not None and not any(self.levels.shorted(place, p) for p in self.positions):
                live = frozenset(self.levels.ever_live(source.terminal))
                found.setdefault(live, {})[place] = None
        return {live: tuple(places) for live, places in found.items()}

    @cached_property
    def limits(self) -> Limits:
        """The limits tables, with what this job takes otherwise."""
        return self.library.limits.but(self.job.settings.limits)

    @cached_property
    def loading(self) -> Loading:
        """Conductors with their amps, what they carry, and the fuses that stand before them."""
        return Loading(self.job, self.library, self.limits, self.elements, self.levels)

    @property
    def positions(self) -> tuple[Position, ...]:
        return self.levels.positions

    @cached_property
    def sound_positions(self) -> tuple[Position, ...]:
        """Those without a short, and without a feed or ground on a speaker lead: all amps follow from it."""
        leads = {
            self.graph.net_of(ref): ref for speaker in self.elements.speakers for ref in speaker.terminals
        }
        point, drives = self.levels.engine.point, self.levels.drives
        return tuple(
            position
            for position in self.positions
            if not any(drives(ref, position) for ref in leads.values()) and not point(position).full.shorts
        )

    def conductors(self, path: Iterable[str]) -> tuple[str, ...]:
        """The wires and conductors among the ids of a path."""
        return tuple(ref for ref in path if kind_of(ref) in ("wire", "conductor"))
