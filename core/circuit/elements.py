"""What parts do between their terminals, named in full: the internals as rules ask for them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from core.circuit.implied import ALWAYS_LIVE as ALWAYS
from core.circuit.implied import WHILE_ON, Insides, insides_of
from core.job import internals as kinds
from core.job.document import Job
from core.job.internals import Internal, LiveIn, Switch, VoltWindow
from core.job.parts import Part
from core.library.library import Library

SourceKind = Literal["feed", "output", "step-down", "ground"]


@dataclass(frozen=True, slots=True)
class Source:
    """Something that drives its terminal. `volts` None means the system's own; `reliable` is for grounds.

    `name`, here and below, is that of its device in the solver's answers. A battery `stores`: it is
    charged by more than its own volts.
    """

    kind: SourceKind
    terminal: str
    live: LiveIn = ALWAYS
    volts: float | None = None
    reliable: bool = True
    name: str = ""
    stores: bool = False


@dataclass(frozen=True, slots=True)
class LoadPart:
    """Something fed between `plus` and any of `minus`; none where the job does not say where it returns.

    `strict`: `needed` is the part's own word for every position, not what its function usually asks.
    """

    part: str
    plus: str
    minus: tuple[str, ...] = ()
    accepts: VoltWindow | None = None
    needed: LiveIn | None = None
    strict: bool = False


@dataclass(frozen=True, slots=True)
class SensePart:
    part: str
    terminal: str
    accepts: VoltWindow | None = None


@dataclass(frozen=True, slots=True)
class StepDownPart:
    part: str
    input: str
    output: str
    common: str
    volts_out: float
    accepts: VoltWindow
    name: str


@dataclass(frozen=True, slots=True)
class FusePart:
    part: str
    a: str
    b: str
    name: str


@dataclass(frozen=True, slots=True)
class RelayPart:
    part: str
    coil_plus: str
    coil_minus: str
    common: str
    make: str | None
    rest: str | None
    name: str


@dataclass(frozen=True, slots=True)
class DiodePart:
    part: str
    anode: str
    cathode: str
    drop_volts: float
    name: str


@dataclass(frozen=True, slots=True)
class SwitchPart:
    """A hand switch, or an output that pulls its terminal to a reference."""

    part: str
    a: str
    b: str
    closed: LiveIn
    name: str


@dataclass(frozen=True, slots=True)
class SpeakerLeads:
    """Leads of an amplifier's bridged channel, or of a speaker: none of them may touch ground."""

    part: str
    terminals: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Elements:
    """All that one part, or the whole job, does. `switches` are those that anything in it depends on."""

    sources: tuple[Source, ...] = ()
    loads: tuple[LoadPart, ...] = ()
    senses: tuple[SensePart, ...] = ()
    step_downs: tuple[StepDownPart, ...] = ()
    fuses: tuple[FusePart, ...] = ()
    relays: tuple[RelayPart, ...] = ()
    diodes: tuple[DiodePart, ...] = ()
    contacts: tuple[SwitchPart, ...] = ()
    speakers: tuple[SpeakerLeads, ...] = ()
    switches: frozenset[Switch] = frozenset()

    def drivers(self) -> tuple[Source, ...]:
        """Everything that drives a terminal, ground excepted."""
        made = (Source("step-down", s.output, volts=s.volts_out) for s in self.step_downs)
        return (*(s for s in self.sources if s.kind != "ground"), *made)


def elements_of(job: Job, library: Library, part: Part) -> Elements:
    """Everything one part does, for rules that ask by element. A removed part does nothing."""
    return elements_from(part, insides_of(job, library, part))


def elements_from(part: Part, insides: Insides) -> Elements:
    """The elements of a part whose insides are known."""
    found = _Collector(part, insides)
    for place, internal in enumerate(insides.internals):
        found.take(internal, f"{part.id}#{place}", stated=place < insides.stated)
    found.speakers += (SpeakerLeads(part.id, (found.full(name),)) for name in insides.speaker_leads)
    return Elements(
        tuple(found.sources),
        tuple(found.loads),
        tuple(found.senses),
        tuple(found.step_downs),
        tuple(found.fuses),
        tuple(found.relays),
        tuple(found.diodes),
        tuple(found.contacts),
        tuple(found.speakers),
        insides.switches,
    )


class _Collector:
    def __init__(self, part: Part, insides: Insides) -> None:
        self.part = part
        self.returns = tuple(self.full(name) for name in insides.returns)
        self.sources: list[Source] = []
        self.loads: list[LoadPart] = []
        self.senses: list[SensePart] = []
        self.step_downs: list[StepDownPart] = []
        self.fuses: list[FusePart] = []
        self.relays: list[RelayPart] = []
        self.diodes: list[DiodePart] = []
        self.contacts: list[SwitchPart] = []
        self.speakers: list[SpeakerLeads] = []

    def full(self, name: str) -> str:
        return f"{self.part.id}.{name}"

    def _maybe(self, name: str | None) -> str | None:
        return None if name is None else self.full(name)

    def _accepts(self, name: str) -> VoltWindow | None:
        return self.part.cavities[self.full(name)].accepts

    def take(self, internal: Internal, name: str, *, stated: bool) -> None:
        full, tag = self.full, self.part.id
        match internal:
            case kinds.Feed():
                self.sources.append(
                    Source("feed", full(internal.terminal), internal.live, internal.volts, name=name)
                )
            case kinds.Battery():
                volts = internal.rest_volts
                self.sources.append(
                    Source("feed", full(internal.plus), ALWAYS, volts, name=name, stores=True)
                )
                if internal.main:
                    self.sources.append(Source("ground", full(internal.minus)))
            case kinds.Output():
                live = internal.live if stated or not internal.on_by else WHILE_ON
                self.sources.append(
                    Source("output", full(internal.terminal), live, internal.volts, name=name)
                )
            case kinds.GroundPoint():
                self.sources.append(Source("ground", full(internal.terminal), reliable=internal.reliable))
            case kinds.SwitchToGround():
                ground = Source("ground", full(internal.terminal), internal.closed, reliable=False)
                self.sources.append(ground)
            case kinds.Case() if internal.touches_body:
                self.sources.append(Source("ground", full(internal.a), reliable=False))
            case kinds.Load():
                minus = self._maybe(internal.minus)
                accepts = internal.accepts or self._accepts(internal.plus)
                returns = (minus,) if minus else self.returns
                needed = internal.needed
                plus = full(internal.plus)
                strict = stated and needed is not None
                self.loads.append(LoadPart(tag, plus, returns, accepts, needed, strict))
            case kinds.Sense():
                accepts = internal.accepts or self._accepts(internal.terminal)
                self.senses.append(SensePart(tag, full(internal.terminal), accepts))
            case kinds.StepDown() | kinds.StepUp():
                ends = (full(internal.input), full(internal.output), full(internal.common))
                self.step_downs.append(StepDownPart(tag, *ends, internal.volts_out, internal.accepts, name))
            case kinds.Fuse() | kinds.Breaker():
                self.fuses.append(FusePart(tag, full(internal.a), full(internal.b), name))
            case kinds.Relay():
                make, rest = self._maybe(internal.make), self._maybe(internal.rest)
                coil = (full(internal.coil_plus), full(internal.coil_minus))
                self.relays.append(RelayPart(tag, *coil, full(internal.common), make, rest, name))
            case kinds.Diode():
                ends_of = (full(internal.anode), full(internal.cathode))
                self.diodes.append(DiodePart(tag, *ends_of, internal.drop_volts, name))
            case kinds.SwitchContact():
                a, b = full(internal.a), full(internal.b)
                self.contacts.append(SwitchPart(tag, a, b, internal.closed, name))
            case kinds.LowSideOutput():
                a, b = full(internal.reference), full(internal.terminal)
                self.contacts.append(SwitchPart(tag, a, b, internal.live, name))
            case kinds.SpeakerOutput() if stated and internal.bridged:
                self.speakers.append(SpeakerLeads(tag, (full(internal.plus), full(internal.minus))))
            case kinds.Speaker() if stated:
                self.speakers.append(SpeakerLeads(tag, (full(internal.plus), full(internal.minus))))
            case _:
                pass
