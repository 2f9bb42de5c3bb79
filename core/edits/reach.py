"""What is on a net, as far as a glance tells: functions, volts given, volts accepted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Protocol

from core.ids import connector_of, kind_of, other_end, owner_of_end, part_of
from core.job.document import Job
from core.job.internals import Feed, Link, Load, Output, Sense, StepDown, VoltWindow
from core.job.parts import Cavity, Part

# Volt classes of the function table that follow the battery; the others need volts of their own.
_OF_THE_SYSTEM = ("system", "varying")


class FunctionFacts(Protocol):
    """What is asked of a row of the function table."""

    @property
    def words(self) -> str: ...
    @property
    def cls(self) -> str: ...
    @property
    def car(self) -> str: ...
    @property
    def equipment(self) -> str: ...
    @property
    def volts_class(self) -> str: ...


class FunctionTable(Protocol):
    """What is asked of the library."""

    @property
    def functions(self) -> Mapping[str, FunctionFacts]: ...
    def pair_fits(self, a: str, b: str, /) -> tuple[str, str]:
        """`fits`, `look` or `stop`, and why."""


@dataclass
class Net:
    """Each function with the first terminal that has it, and those that a terminal here gives; volts given
    and accepted by terminal."""

    functions: dict[str, str] = field(default_factory=dict)
    giving: set[str] = field(default_factory=set)
    gives: dict[str, float] = field(default_factory=dict)
    accepts: dict[str, VoltWindow] = field(default_factory=dict)
    airbag: str | None = None


class Nets:
    """The nets of one job, each walked when first asked for."""

    def __init__(self, job: Job, table: FunctionTable) -> None:
        self._job = job
        self._table = table
        self._net_of: dict[str, Net] = {}
        self._inside: dict[str, _Inside] = {}

    def net(self, node: str) -> Net:
        """The net of a terminal, wire end or joint that exists."""
        known = self._net_of.get(node)
        if known is not None:
            return known
        net = Net()
        self._net_of[node] = net
        waiting = [node]
        terminals: list[str] = []
        while waiting:
            here = waiting.pop()
            if kind_of(here) == "terminal":
                terminals.append(here)
            for beside in self._beside(here):
                if beside not in self._net_of:
                    self._net_of[beside] = net
                    waiting.append(beside)
        # In order, so that the answer does not depend on the end that the walk began at.
        for terminal in sorted(terminals):
            self._look(net, terminal)
        return net

    def _beside(self, node: str) -> Iterator[str]:
        lookup = self._job.lookup
        kind = kind_of(node)
        if kind == "joint":
            yield from self._job.joints[node].ends
            return
        joint = lookup.joint_of.get(node)
        if joint is not None:
            yield joint
        if kind == "wire end":
            yield other_end(node)
            conductor = lookup.conductors[owner_of_end(node)]
            place = conductor.a_in if node.endswith("a") else conductor.b_in
            if place is not None:
                yield place
            return
        yield from lookup.crimped.get(node, ())
        met = lookup.meets.get(node)
        if met is not None and self._job.in_contact(node) and self._job.in_contact(met):
            yield met
        yield from self._inside_of(node).links.get(node, ())

    def _inside_of(self, terminal: str) -> _Inside:
        tag = part_of(terminal)
        known = self._inside.get(tag)
        if known is None:
            known = self._inside[tag] = _look_inside(self._job.parts[tag], self._job.settings.system_volts)
        return known

    def _look(self, net: Net, terminal: str) -> None:
        part = self._job.parts[part_of(terminal)]
        cavity = part.cavities[terminal]
        if cavity.airbag:
            net.airbag = net.airbag or terminal
        inside = self._inside_of(terminal)
        gives = self._flow(part, cavity) == "gives"
        if cavity.function in self._table.functions:
            net.functions.setdefault(cavity.function, terminal)
            if gives or terminal in inside.gives:
                net.giving.add(cavity.function)
        volts = inside.gives.get(terminal, self._volts(cavity) if gives else None)
        if volts is not None:
            net.gives[terminal] = volts
        window = cavity.accepts or inside.accepts.get(terminal)
        if window is not None:
            net.accepts[terminal] = window

    def _flow(self, part: Part, cavity: Cavity) -> str | None:
        """Whether this side gives or takes: by the cavity's own word, else by the function table."""
        if cavity.flow is not None:
            return cavity.flow
        facts = self._table.functions.get(cavity.function)
        if facts is None:
            return None
        return facts.car if part.state == "on the car" else facts.equipment

    def _volts(self, cavity: Cavity) -> float | None:
        """What a cavity that gives gives, where that is known at a glance."""
        if cavity.volts is not None:
            return cavity.volts
        facts = self._table.functions.get(cavity.function)
        system = facts is not None and facts.cls in ("feed", "output") and facts.volts_class in _OF_THE_SYSTEM
        return float(self._job.settings.system_volts) if system else None


@dataclass
class _Inside:
    """What a part's internals say, by full terminal id."""

    gives: dict[str, float] = field(default_factory=dict)
    accepts: dict[str, VoltWindow] = field(default_factory=dict)
    links: dict[str, list[str]] = field(default_factory=dict)


def _look_inside(part: Part, system_volts: float) -> _Inside:
    found = _Inside()
    for internal in part.internals:
        match internal:
            case Feed() | Output():
                volts = system_volts if internal.volts is None else internal.volts
                found.gives[f"{part.id}.{internal.terminal}"] = float(volts)
            case StepDown():
                found.gives[f"{part.id}.{internal.output}"] = internal.volts_out
                found.accepts[f"{part.id}.{internal.input}"] = internal.accepts
            case Load() | Sense():
                at = internal.plus if isinstance(internal, Load) else internal.terminal
                if internal.accepts is not None:
                    found.accepts[f"{part.id}.{at}"] = internal.accepts
            case Link():
                a, b = f"{part.id}.{internal.a}", f"{part.id}.{internal.b}"
                found.links.setdefault(a, []).append(b)
                found.links.setdefault(b, []).append(a)
            case _:
                pass
    return found


def is_blocked(job: Job, terminal: str) -> bool:
    connector = job.connector(terminal)
    return connector is not None and connector.face is not None and _pin(terminal) in connector.face.blocked


def is_car_plug(job: Job, end: str) -> bool:
    """Whether an end is a cavity of a plug of the car: joining it means cutting into the car."""
    if kind_of(end) != "terminal":
        return False
    part = job.parts[part_of(end)]
    if part.state != "on the car" or part.cavities[end].lead is not None:
        return False
    return part.by_name[connector_of(end).partition(".")[2]].face is not None


def _pin(terminal: str) -> str:
    return terminal.partition("-")[2]
