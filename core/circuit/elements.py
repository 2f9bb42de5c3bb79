"""What parts do between their terminals, with every terminal named in full."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from core.job.internals import LiveIn, Switch, VoltWindow

SourceKind = Literal["feed", "output", "step-down", "ground"]
ALWAYS = LiveIn(keys=("off", "accessory", "run", "start", "running"))


@dataclass(frozen=True, slots=True)
class Source:
    """Something that drives its terminal. `volts` None means the system's own; `reliable` is for grounds."""

    kind: SourceKind
    terminal: str
    live: LiveIn = ALWAYS
    volts: float | None = None
    reliable: bool = True


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


@dataclass(frozen=True, slots=True)
class FusePart:
    part: str
    a: str
    b: str


@dataclass(frozen=True, slots=True)
class RelayPart:
    part: str
    coil_plus: str
    coil_minus: str
    common: str
    make: str | None
    rest: str | None


@dataclass(frozen=True, slots=True)
class DiodePart:
    part: str
    anode: str
    cathode: str
    drop_volts: float


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
    speakers: tuple[SpeakerLeads, ...] = ()
    switches: frozenset[Switch] = frozenset()

    def drivers(self) -> tuple[Source, ...]:
        """Everything that drives a terminal, ground excepted."""
        made = (Source("step-down", s.output, volts=s.volts_out) for s in self.step_downs)
        return (*(s for s in self.sources if s.kind != "ground"), *made)
