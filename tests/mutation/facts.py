"""What a job declares, worked out without the checker: nets, what reaches them, what is needed.

The walk is a plain fixed point over cavity functions and internals, not the solver: no volts, no positions.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from math import inf

from core.ids import kind_of, part_of
from core.job import internals as kinds
from core.job.document import Job
from core.job.internals import Internal, LiveIn
from core.job.parts import Cavity, Part
from core.library.library import Library
from core.library.model import Flow, Function
from core.net.pieces import Edge, owners, pieces
from core.net.union import labelled
from tests.mutation.reach import Reach, Source, flooded

ALWAYS = LiveIn(keys=("off", "accessory", "run", "start", "running"))
DELICATE = frozenset({"speaker", "output", "data"})
"""What neither a feed nor ground may touch (the table's row "join two nets")."""


@dataclass(frozen=True)
class Bridge:
    """A part's inside between two nets, as `a` and `b` of it; `fuse`: its purpose is to open."""

    a: str
    b: str
    fuse: bool
    tag: str


@dataclass
class Facts:
    """Of one document. Nets are numbers; a terminal, joint or free wire end has one."""

    job: Job
    library: Library
    edges: tuple[Edge, ...] = field(init=False)
    net: dict[str, int] = field(init=False)

    def __post_init__(self) -> None:
        found = [pieces(self.job, owner) for owner in owners(self.job)]
        self.edges = tuple(edge for piece in found for edge in piece.edges)
        self.net = labelled((node for piece in found for node in piece.nodes), self.edges)

    # -- names -------------------------------------------------------------------------------------

    @cached_property
    def terminals(self) -> dict[str, Cavity]:
        return {ref: cavity for part in self.job.parts.values() for ref, cavity in part.cavities.items()}

    @cached_property
    def on_net(self) -> dict[int, list[str]]:
        found: dict[int, list[str]] = {}
        for ref in self.terminals:
            found.setdefault(self.net[ref], []).append(ref)
        return found

    def net_of(self, ref: str) -> int:
        """The net of a terminal, joint or wire end."""
        return self.net[ref] if ref in self.net else self.net[self.job.lookup.joint_of[ref]]

    def part(self, ref: str) -> Part:
        return self.job.parts[part_of(ref)]

    def met(self, ref: str) -> str:
        """The car's cavity that a plug of ours meets; else the terminal itself."""
        other = self.job.lookup.meets.get(ref)
        ours = self.part(ref).state != "on the car" and not self.part(ref).internals
        return other if other is not None and ours and self.part(other).state == "on the car" else ref

    def is_ours(self, ref: str) -> bool:
        """Whether it only passes on what a cavity of the car does."""
        return self.met(ref) != ref

    def function(self, ref: str) -> Function | None:
        met = self.met(ref)
        return self.library.functions.get(self.terminals[met].function or self.terminals[ref].function)

    def cls(self, ref: str) -> str:
        function = self.function(ref)
        return function.cls if function else "none"

    def flow(self, ref: str) -> Flow:
        function, met = self.function(ref), self.met(ref)
        if function is None:
            return "none"
        car = self.part(met).state == "on the car"
        return self.terminals[met].flow or (function.car if car else function.equipment)

    # -- what the parts do -------------------------------------------------------------------------

    @cached_property
    def insides(self) -> list[tuple[str, Internal]]:
        return [
            (part.id, internal)
            for part in self.job.parts.values()
            if part.state != "removed"
            for internal in part.internals
        ]

    def of_kind(self, *wanted: type) -> Iterator[tuple[str, int, Internal]]:
        """Part, place in its list, internal."""
        for part in self.job.parts.values():
            for index, internal in enumerate(part.internals):
                if isinstance(internal, wanted) and part.state != "removed":
                    yield part.id, index, internal

    @cached_property
    def _fed(self) -> list[tuple[str, Source]]:
        """Terminals that a feed comes out of, whatever else is joined."""
        found: list[tuple[str, Source]] = []
        spoken: set[str] = set()
        for tag, internal in self.insides:
            if isinstance(internal, kinds.Feed):
                ref = f"{tag}.{internal.terminal}"
                found.append((ref, Source(ref, internal.live)))
                spoken.add(ref)
            elif isinstance(internal, kinds.Battery):
                ref = f"{tag}.{internal.plus}"
                found.append((ref, Source(ref, ALWAYS)))
        for ref in self.terminals:
            function = self.function(ref)
            gives = function is not None and function.cls == "feed" and self.flow(ref) == "gives"
            if gives and self.part(ref).state == "on the car" and ref not in spoken:
                assert function is not None
                found.append((ref, Source(ref, LiveIn(keys=function.live, switch=function.switch))))
        return found

    @cached_property
    def grounds(self) -> list[str]:
        """Terminals that are a reliable way to the body."""
        stated = {
            f"{tag}.{one.terminal}": one.reliable
            for tag, one in self.insides
            if isinstance(one, kinds.GroundPoint)
        }
        for tag, one in self.insides:
            if isinstance(one, kinds.Battery) and one.main:
                stated[f"{tag}.{one.minus}"] = True
        for ref in self.terminals:
            on_car = self.part(ref).state == "on the car" and ref not in stated
            if on_car and self.cls(ref) == "ground" and self.flow(ref) in ("gives", "ground"):
                stated[ref] = True
        return [ref for ref, reliable in stated.items() if reliable]

    @cached_property
    def bridges(self) -> list[Bridge]:
        """What conducts both ways inside a part while it is closed, relays by their make contact too."""
        found = []
        for tag, one in self.insides:
            match one:
                case kinds.Fuse() | kinds.Breaker():
                    found.append(Bridge(f"{tag}.{one.a}", f"{tag}.{one.b}", True, tag))
                case kinds.SwitchContact():
                    found.append(Bridge(f"{tag}.{one.a}", f"{tag}.{one.b}", False, tag))
                case kinds.Relay() if one.make:
                    found.append(Bridge(f"{tag}.{one.common}", f"{tag}.{one.make}", False, tag))
        return found

    # -- what reaches a net ------------------------------------------------------------------------

    @cached_property
    def reach(self) -> Reach:
        return Reach(self)

    def feeds(self, ref: str) -> frozenset[Source]:
        return self.reach.feeds(self.net_of(ref))

    def grounded(self, ref: str) -> bool:
        return self.reach.grounded(self.net_of(ref))

    def carries(self, ref: str) -> frozenset[str]:
        """What is on the net of a place: `feed`, `ground`, and the classes of functions on it."""
        net = self.net_of(ref)
        found = {self.cls(other) for other in self.on_net.get(net, ())} - {"none", "feed", "ground"}
        if self.reach.feeds(net):
            found.add("feed")
        if self.reach.grounded(net):
            found.add("ground")
        return frozenset(found)

    # -- what is needed ----------------------------------------------------------------------------

    @cached_property
    def needed(self) -> frozenset[str]:
        """Terminals without which something does not work, by the cavity, the function or the load."""
        found = {
            ref
            for ref, cavity in self.terminals.items()
            if not self.is_ours(ref) and cavity.filled and (cavity.needed or self._takes_needed(ref))
        }
        for tag, one in self.insides:
            if isinstance(one, kinds.Load) and one.needed is not None:
                found |= {f"{tag}.{name}" for name in (one.plus, one.minus) if name}
        return frozenset(found)

    def _takes_needed(self, ref: str) -> bool:
        function = self.function(ref)
        return function is not None and function.needed and self.flow(ref) == "takes"

    def needed_keys(self, ref: str) -> LiveIn | None:
        """When what hangs on a terminal must be fed, as its loads or its function say."""
        for tag, one in self.insides:
            if isinstance(one, kinds.Load) and f"{tag}.{one.plus}" == ref and one.needed:
                return one.needed
        function = self.function(ref)
        if function and function.live and (self.terminals[ref].needed or function.needed):
            return LiveIn(keys=function.live, switch=function.switch)
        return None

    def served(self, ref: str) -> frozenset[str]:
        """What a needed terminal has: a feed, a return, a partner of its own class, anything at all."""
        net = self.net_of(ref)
        others = [o for o in self.on_net[net] if part_of(o) != part_of(ref) and not self.is_ours(o)]
        cls = self.cls(ref)
        found = {"joined"} if len(self.on_net[net]) > 1 else set()
        if cls not in ("none", "feed", "ground") and any(self.cls(o) == cls for o in others):
            found.add(f"with {cls}")
        if self.reach.feeds(net):
            found.add("feed")
        if self.reach.returns(net):
            found.add("return")
        return frozenset(found)

    def passes(self, ref: str) -> bool:
        """Whether it is an end of what only passes on, opens or holds back."""
        return ref in self._passing

    @cached_property
    def _passing(self) -> frozenset[str]:
        found: set[str | None] = set()
        for tag, one in self.insides:
            match one:
                case kinds.Fuse() | kinds.Breaker() | kinds.SwitchContact() | kinds.Resistor():
                    found |= {f"{tag}.{one.a}", f"{tag}.{one.b}"}
                case kinds.Diode():
                    found |= {f"{tag}.{one.anode}", f"{tag}.{one.cathode}"}
                case kinds.Relay():
                    found |= {f"{tag}.{name}" for name in (one.common, one.make, one.rest) if name}
        return frozenset(ref for ref in found if ref is not None)

    # -- fuses -------------------------------------------------------------------------------------

    @cached_property
    def fuses(self) -> dict[int, float]:
        """The largest fuse behind which each fed net stands; infinite before the first."""
        return flooded(self)

    def fuse_of(self, ref: str) -> float:
        return self.fuses.get(self.net_of(ref), 0.0)

    def fused(self, ref: str) -> bool:
        return 0 < self.fuse_of(ref) < inf

    def amps(self, ref: str) -> float:
        """What the loads on a net draw, as far as it is stated."""
        net = self.net_of(ref)
        return sum(
            one.amps or 0.0
            for tag, one in self.insides
            if isinstance(one, kinds.Load) and self.net[f"{tag}.{one.plus}"] == net
        )

    @property
    def limited(self) -> frozenset[str]:
        """Inputs that do not stand the system's own volts."""
        system = self.job.settings.system_volts
        found = {
            f"{tag}.{one.plus if isinstance(one, kinds.Load) else one.terminal}"
            for tag, one in self.insides
            if isinstance(one, kinds.Load | kinds.Sense) and one.accepts and one.accepts.most < system
        }
        stated = {r for r, c in self.terminals.items() if c.accepts and c.accepts.most < system}
        return frozenset(found | stated)


def joints_of(facts: Facts, net: int) -> list[str]:
    return [ref for ref, number in facts.net.items() if number == net and kind_of(ref) == "joint"]
