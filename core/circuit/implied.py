"""What each part does, in full: its internals, and what the functions of its other cavities say.

A plug we fit to a plug of the car passes on what the car's cavities are for: its own functions say
nothing where the car's half says something.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from core.circuit.roles import Side, flow_of, side_of
from core.ids import connector_of, local
from core.job.document import Job
from core.job.internals import (
    POINTING_FIELDS,
    TERMINAL_FIELDS,
    Feed,
    GroundPoint,
    Internal,
    LineLevel,
    Link,
    LiveIn,
    Load,
    Output,
    Sense,
    Speaker,
    SpeakerOutput,
    Switch,
    SwitchToGround,
)
from core.job.parts import Cavity, Part
from core.library.library import Library
from core.library.model import Flow, Function

ALWAYS_LIVE = LiveIn(keys=("off", "accessory", "run", "start", "running"))
# An output that the table gives no times is on while the equipment is: common practice.
WHILE_ON = LiveIn(keys=("accessory", "run", "running"))


@dataclass(frozen=True, slots=True)
class Insides:
    """What one part does. Names are those inside the part (`A-4`).

    `internals`: the first `stated` are the part's own, the others follow from its functions. `returns`: the
    terminals by which it reaches ground, bonded inside. `supply`: where its own feed comes in, the steadiest
    first; `wake`: the terminal that turns it on. `speaker_leads`: those no internal speaks for. `switches`:
    those that anything in it depends on.
    """

    internals: tuple[Internal, ...] = ()
    stated: int = 0
    returns: tuple[str, ...] = ()
    supply: str | None = None
    wake: str | None = None
    speaker_leads: tuple[str, ...] = ()
    switches: frozenset[Switch] = frozenset()


@dataclass(frozen=True, slots=True)
class _Meant:
    """A cavity with what it is for."""

    name: str
    cavity: Cavity
    function: Function
    side: Side
    flow: Flow

    @property
    def live(self) -> LiveIn:
        return LiveIn(keys=self.function.live, switch=self.function.switch)


def internals_of(job: Job, library: Library, part: Part) -> tuple[Internal, ...]:
    """Everything one part does: what it states, then what its functions say. Nothing for a removed part."""
    return insides_of(job, library, part).internals


def insides_of(job: Job, library: Library, part: Part) -> Insides:
    """The same, with what the part's other internals lean on."""
    if part.state == "removed":
        return Insides()
    covered = _covered(part.internals)
    meant = tuple(_meant(job, library, part))
    silent = [one for one in meant if one.name not in covered]
    returns = tuple(one.name for one in meant if one.function.cls == "ground" and one.flow == "takes")
    feeds = _own_feeds(part, meant)
    supply, wake = (feeds[0] if feeds else None), _wake(meant)
    there = [one for one in silent if one.cavity.found != "empty"]
    implied: list[Internal] = []
    for one in there:
        implied += _implied(one, supply, wake, job.settings.dim)
    implied += _speakers(there)
    implied += (Link(a=returns[0], b=name) for name in returns[1:])
    return Insides(
        internals=(*part.internals, *implied),
        stated=len(part.internals),
        returns=returns,
        supply=supply,
        wake=wake,
        speaker_leads=tuple(one.name for one in there if one.function.cls == "speaker"),
        switches=frozenset(_switches(part.internals, there)),
    )


def _covered(internals: tuple[Internal, ...]) -> set[str | None]:
    """The terminals that some internal stands between."""
    return {
        value
        for one in internals
        for name in _fields(type(one)).own
        if (value := one.__dict__[name]) is not None
    }


class _Fields(NamedTuple):
    """The fields of a kind that name terminals of its own, and those that say when."""

    own: tuple[str, ...]
    times: tuple[str, ...]


@cache
def _fields(kind: type[Internal]) -> _Fields:
    names = kind.model_fields
    own = TERMINAL_FIELDS - POINTING_FIELDS
    times = ("live", "on", "needed", "closed", "pulled_up")
    return _Fields(tuple(n for n in names if n in own), tuple(n for n in times if n in names))


def _meant(job: Job, library: Library, part: Part) -> Iterator[_Meant]:
    own: Side | None = "car" if part.state == "on the car" else "equipment" if part.internals else None
    for ref, cavity in part.cavities.items():
        function = library.functions.get(cavity.function)
        if function is None or not cavity.filled:
            continue
        side = own or side_of(job, ref)
        if side != "passes" or _speaks_for_the_car(job, ref):
            yield _Meant(local(ref), cavity, function, side, flow_of(cavity, function, side))


def _speaks_for_the_car(job: Job, ref: str) -> bool:
    other = job.lookup.meets.get(ref)
    met = job.cavity(other) if other else None
    return bool(other and met and not met.function and job.in_contact(ref) and job.in_contact(other))


def _own_feeds(part: Part, meant: tuple[_Meant, ...]) -> list[str]:
    """The terminals that feed a part: those live with the key off first, then by the functions' order."""
    taking = [one for one in meant if one.function.cls == "feed" and one.flow == "takes"]
    taking.sort(key=_steadiness)
    loads = [internal.plus for internal in part.internals if isinstance(internal, Load)]
    return list(dict.fromkeys((*(one.name for one in taking), *loads)))


def _steadiness(one: _Meant) -> int:
    if one.function.switch is not None or not one.function.live:
        return 2
    return 0 if "off" in one.function.live else 1


def _wake(meant: tuple[_Meant, ...]) -> str | None:
    """The terminal that turns a part on: its accessory or ignition lead, else its turn-on."""
    taking = [one for one in meant if one.flow == "takes"]
    feeds = (one.name for one in taking if one.function.cls == "feed" and _steadiness(one) == 1)
    turn_ons = (one.name for one in taking if one.function.cls == "output")
    return next(iter((*feeds, *turn_ons)), None)


def _implied(one: _Meant, supply: str | None, wake: str | None, dim: float | None) -> Iterator[Internal]:
    function, cavity, name = one.function, one.cavity, one.name
    match function.cls, one.flow:
        case "feed", "gives" if function.live:
            own = supply if one.side == "equipment" else None
            if function.volts_class == "varying" and dim is not None:
                yield Feed(terminal=name, live=one.live, manner="pulsed", duty=dim, fed_from=own)
            else:
                yield Feed(terminal=name, live=one.live, volts=cavity.volts, fed_from=own)
        case "output", "gives":
            if function.live:
                yield Output(terminal=name, live=one.live, volts=cavity.volts)
            else:
                times = ALWAYS_LIVE if wake else WHILE_ON
                yield Output(terminal=name, live=times, volts=cavity.volts, on_by=wake)
        case "ground", "ground" | "gives":
            yield GroundPoint(terminal=name)
        case "sense", "gives" if one.side == "car" and _grounds(function):
            closed = LiveIn(keys=ALWAYS_LIVE.keys, switch=function.switch)
            yield SwitchToGround(terminal=name, closed=closed)
        case "feed", "takes":
            needed = one.live if (cavity.needed or function.needed) and function.live else None
            yield Load(plus=name, accepts=cavity.accepts, needed=needed)
        case "sense" | "output", "takes":
            # What the car joins to ground is looked for by an input that holds its lead up.
            low = _grounds(function)
            yield Sense(terminal=name, accepts=cavity.accepts, active="low" if low else "high")
        case _:
            pass


def _grounds(function: Function) -> bool:
    """Whether the car's side of it is a switch to ground, such as the parking brake's."""
    return function.cls == "sense" and function.switch is not None and not function.live


def _speakers(there: list[_Meant]) -> Iterator[Internal]:
    """Pairs of plus and minus of one channel: in one connector where there are several of them."""
    leads = [one for one in there if one.function.cls == "speaker" and one.flow in ("gives", "takes")]
    for plus in leads:
        if plus.function.polarity != "+":
            continue
        role = (plus.function.channel, "-", plus.flow)
        others = [o for o in leads if (o.function.channel, o.function.polarity, o.flow) == role]
        others.sort(key=lambda other: connector_of(other.name) != connector_of(plus.name))
        if not others:
            continue
        minus = others[0]
        leads.remove(minus)
        if plus.flow == "gives":
            yield SpeakerOutput(plus=plus.name, minus=minus.name)
        elif plus.side == "car":
            yield Speaker(plus=plus.name, minus=minus.name)
        else:
            # An input at speaker level: its ohms are not stated.
            yield LineLevel(terminal=plus.name, reference=minus.name)


def _switches(stated: tuple[Internal, ...], there: list[_Meant]) -> Iterator[Switch]:
    for internal in stated:
        for name in _fields(type(internal)).times:
            live: LiveIn | None = internal.__dict__[name]
            if live is not None:
                yield from live.switches
    for one in there:
        if one.function.switch is not None:
            yield one.function.switch
