"""What each part does, in full: its internals, and what the functions of its other cavities say.

A plug we fit to a plug of the car passes on what the car's cavities are for: its own functions say
nothing where the car's half says something.
"""

from __future__ import annotations

from core.circuit.elements import (
    ALWAYS,
    DiodePart,
    Elements,
    FusePart,
    LoadPart,
    RelayPart,
    SensePart,
    Source,
    SpeakerLeads,
    StepDownPart,
)
from core.circuit.roles import Side, flow_of, side_of
from core.job import internals as kinds
from core.job.document import Job
from core.job.internals import Internal, LiveIn, Switch, terminals_of
from core.job.parts import Cavity, Part
from core.library.library import Library
from core.library.model import Function

# An output that the table gives no times is on while the equipment is: common practice.
_WHILE_ON = LiveIn(keys=("accessory", "run", "running"))


def elements_of(job: Job, library: Library, part: Part) -> Elements:
    """Everything one part does. A removed part does nothing."""
    if part.state == "removed":
        return Elements()
    found = _Collector(part, returns_of(job, library, part))
    covered: set[str] = set()
    for internal in part.internals:
        covered.update(f"{part.id}.{name}" for name in terminals_of(internal))
        found.explicit(internal)
    for ref, cavity in part.cavities.items():
        function = library.functions.get(cavity.function)
        if ref in covered or function is None or not cavity.filled or cavity.found == "empty":
            continue
        side = side_of(job, ref)
        if side == "passes" and not _speaks_for_the_car(job, ref):
            continue
        found.implied(ref, cavity, function, side)
    return found.elements()


def _speaks_for_the_car(job: Job, ref: str) -> bool:
    other = job.lookup.meets.get(ref)
    met = job.cavity(other) if other else None
    return bool(other and met and not met.function and job.in_contact(ref) and job.in_contact(other))


def returns_of(job: Job, library: Library, part: Part) -> tuple[str, ...]:
    """The terminals by which a part's loads reach ground."""
    return tuple(
        ref
        for ref, cavity in part.cavities.items()
        if cavity.filled
        and (function := library.functions.get(cavity.function)) is not None
        and function.cls == "ground"
        and (side := side_of(job, ref)) != "passes"
        and flow_of(cavity, function, side) == "takes"
    )


class _Collector:
    def __init__(self, part: Part, returns: tuple[str, ...]) -> None:
        self.part = part
        self.returns = returns
        self.sources: list[Source] = []
        self.loads: list[LoadPart] = []
        self.senses: list[SensePart] = []
        self.step_downs: list[StepDownPart] = []
        self.fuses: list[FusePart] = []
        self.relays: list[RelayPart] = []
        self.diodes: list[DiodePart] = []
        self.speakers: list[SpeakerLeads] = []
        self.switches: set[Switch] = set()

    def elements(self) -> Elements:
        return Elements(
            tuple(self.sources),
            tuple(self.loads),
            tuple(self.senses),
            tuple(self.step_downs),
            tuple(self.fuses),
            tuple(self.relays),
            tuple(self.diodes),
            tuple(self.speakers),
            frozenset(self.switches),
        )

    def _full(self, name: str) -> str:
        return f"{self.part.id}.{name}"

    def _maybe(self, name: str | None) -> str | None:
        return None if name is None else self._full(name)

    def explicit(self, internal: Internal) -> None:
        full, tag = self._full, self.part.id
        match internal:
            case kinds.Feed():
                self._uses(internal.live)
                self.sources.append(Source("feed", full(internal.terminal), internal.live, internal.volts))
            case kinds.Output():
                self._uses(internal.live)
                self.sources.append(Source("output", full(internal.terminal), internal.live, internal.volts))
            case kinds.GroundPoint():
                self.sources.append(Source("ground", full(internal.terminal), reliable=internal.reliable))
            case kinds.Load():
                minus = self._maybe(internal.minus)
                accepts = internal.accepts or self._accepts(internal.plus)
                returns = (minus,) if minus else self.returns
                needed = internal.needed
                self._uses(needed)
                plus = full(internal.plus)
                self.loads.append(LoadPart(tag, plus, returns, accepts, needed, needed is not None))
            case kinds.Sense():
                accepts = internal.accepts or self._accepts(internal.terminal)
                self.senses.append(SensePart(tag, full(internal.terminal), accepts))
            case kinds.StepDown():
                ends = (full(internal.input), full(internal.output), full(internal.common))
                self.step_downs.append(StepDownPart(tag, *ends, internal.volts_out, internal.accepts))
            case kinds.Fuse():
                self.fuses.append(FusePart(tag, full(internal.a), full(internal.b)))
            case kinds.Relay():
                self.relays.append(
                    RelayPart(
                        tag,
                        full(internal.coil_plus),
                        full(internal.coil_minus),
                        full(internal.common),
                        self._maybe(internal.make),
                        self._maybe(internal.rest),
                    )
                )
            case kinds.Diode():
                ends_of = (full(internal.anode), full(internal.cathode))
                self.diodes.append(DiodePart(tag, *ends_of, internal.drop_volts))
            case kinds.SpeakerOutput():
                if internal.bridged:
                    pair = (full(internal.plus), full(internal.minus))
                    self.speakers.append(SpeakerLeads(tag, pair))
            case kinds.Speaker():
                self.speakers.append(SpeakerLeads(tag, (full(internal.plus), full(internal.minus))))
            case kinds.Link() | kinds.ButtonLadder():
                pass

    def _uses(self, live: LiveIn | None) -> None:
        if live is not None and live.switch is not None:
            self.switches.add(live.switch)

    def _accepts(self, name: str) -> kinds.VoltWindow | None:
        return self.part.cavities[self._full(name)].accepts

    def implied(self, ref: str, cavity: Cavity, function: Function, side: Side) -> None:
        flow = flow_of(cavity, function, side)
        tag = self.part.id
        live = LiveIn(keys=function.live, switch=function.switch)
        self._uses(live)
        match function.cls, flow:
            case "feed", "gives" if function.live:
                self.sources.append(Source("feed", ref, live, cavity.volts))
            case "output", "gives":
                on = live if function.live else _WHILE_ON
                self.sources.append(Source("output", ref, on, cavity.volts))
            case "ground", "ground" | "gives":
                self.sources.append(Source("ground", ref))
            case "sense", "gives" if side == "car" and function.switch and not function.live:
                # A switch to ground, such as the parking brake's: closed while it is on, and no return.
                closed = LiveIn(keys=ALWAYS.keys, switch=function.switch)
                self.sources.append(Source("ground", ref, closed, reliable=False))
            case "feed", "takes":
                needed = live if (cavity.needed or function.needed) and function.live else None
                self.loads.append(LoadPart(tag, ref, self.returns, cavity.accepts, needed))
            case "sense" | "output", "takes":
                self.senses.append(SensePart(tag, ref, cavity.accepts))
            case "speaker", _:
                self.speakers.append(SpeakerLeads(tag, (ref,)))
            case _:
                pass
