"""Our operating points beside what ngspice makes of decks written from the same job."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from core.circuit.engine import Engine
from core.circuit.operating import OperatingPoint
from core.circuit.positions import Position
from core.job.document import Job
from core.library.library import Library
from core.net.graph import build
from tests.spice.deck import Told, contact
from tests.spice.elements import Deck, Emf, Ohm
from tests.spice.parts import deck_of
from tests.spice.run import Answer, solve

LINEAR, BENT = 1e-9, 1e-6
"""How far apart volts may be, as a share of the largest source's, without and with laws that are not straight;
and amps, as that share of those volts over the branch's ohms."""
LAW_OHMS = 0.01
"""What stands for the ohms of a branch that has a law instead."""
FLOWS_AMPS = 1e-11
"""Below it nothing flows: a law's leak is ten thousand times less."""


@dataclass(frozen=True)
class Case:
    """One operating point of ours with the deck that was written for it."""

    title: str
    job: Job
    point: OperatingPoint
    deck: Deck


@dataclass
class Result:
    """What was compared, and every disagreement as a sentence."""

    volts: int = 0
    amps: int = 0
    floating: int = 0
    states: int = 0
    worst: dict[str, float] = field(default_factory=dict)
    wrong: list[str] = field(default_factory=list)

    def note(self, kind: str, error: float) -> None:
        self.worst[kind] = max(self.worst.get(kind, 0.0), error)

    def add(self, other: Result) -> None:
        self.volts += other.volts
        self.amps += other.amps
        self.floating += other.floating
        self.states += other.states
        for kind, error in other.worst.items():
            self.note(kind, error)
        self.wrong += other.wrong


def cases(
    job: Job, library: Library, positions: Iterable[Position] | None = None, *, bench: bool = False
) -> Iterator[Case]:
    """Every operating point of a job in these positions (the standard set where left out): after fuses have
    opened, at the moment before, and at the full volts of pulsed feeds.
    """
    engine = Engine(job, library, build(job), bench=bench)
    for position in engine.positions if positions is None else positions:
        point = engine.point(position)
        for full, whole in ((False, point), (True, point.full)):
            if full and whole is point:
                continue
            for words, one in (("", whole), (" before a fuse opened", whole.moment)):
                if words and one is whole:
                    continue
                title = f"{job.sheet.title}, {position.name}{' bench' * bench}{' full' * full}{words}"
                deck = deck_of(job, library, position, told(one), bench=bench, full=full)
                yield Case(title, job, one, deck)


def told(point: OperatingPoint) -> Told:
    states = point.solution.states
    return Told(
        on=frozenset(name for name, word in states.items() if word not in ("off", "rest")),
        opened=frozenset(name for name, word in states.items() if word == "open"),
    )


def compare_all(found: Sequence[Case]) -> Result:
    """All of them, through as few processes as may be. Raises NoSpice."""
    whole = Result()
    for case, answer in zip(found, solve([case.deck for case in found]), strict=True):
        whole.add(compare(case, answer))
    return whole


def compare(case: Case, answer: Answer | None) -> Result:
    result = Result()
    if case.point.unsolved:
        result.wrong.append(f"{case.title}: ours says {case.point.unsolved}")
        return result
    if answer is None:
        result.wrong.append(f"{case.title}: ngspice found no answer")
        return result
    one = _Comparison(case, answer, result)
    one.places()
    one.flows()
    one.devices()
    one.states()
    return result


class _Comparison:
    def __init__(self, case: Case, answer: Answer, result: Result) -> None:
        self.case, self.answer, self.result = case, answer, result
        self.point, self.deck = case.point, case.deck
        self.kind = "linear" if self.deck.linear else "bent"
        self.share = LINEAR if self.deck.linear else BENT
        sources = [abs(e.volts) for e in self.deck.elements.values() if isinstance(e, Emf)]
        self.scale = max(sources, default=self.case.job.settings.bench.volts)
        self.floats = frozenset(answer.volts) - self.deck.tied(self._volts)

    def _volts(self, plus: str, minus: str) -> float:
        return self.answer.volts.get(plus, 0.0) - self.answer.volts.get(minus, 0.0)

    def wrong(self, words: str) -> None:
        self.result.wrong.append(f"{self.case.title}: {words}")

    def places(self) -> None:
        """Volts of every place; floating where there is no way to ground."""
        for ref, node in self.deck.node_of.items():
            if self.point.state(ref) is None:  # an airbag's
                continue
            ours = self.point.volts(ref)
            theirs = None if node in self.floats else self.answer.volts.get(node)
            if ours is None or theirs is None:
                self.result.floating += 1
                if (ours is None) != (theirs is None):
                    self.wrong(f"{ref} is {ours} with us and {theirs} with ngspice")
                continue
            self.result.volts += 1
            self.near("volts", ref, ours, theirs, self.scale)

    def near(self, what: str, ref: str, ours: float, theirs: float, scale: float) -> None:
        error = abs(ours - theirs) / scale
        self.result.note(f"{self.kind} {what}", error)
        if not error <= self.share:
            self.wrong(f"{what} of {ref} are {ours!r} with us and {theirs!r} with ngspice, {error:.1e} apart")

    def flows(self) -> None:
        """Amps of every wire, conductor and lead in a joint, and of every mated contact."""
        job, point = self.case.job, self.point
        jointed = [end for joint in job.joints.values() for end in joint.ends if ":" not in end]
        for ref in (*job.lookup.conductors, *jointed):
            self.flow(ref, ref, point.amps(ref))
        for here, there in job.lookup.meets.items():
            if there is not None and contact(here, there) in self.deck.elements:
                self.flow(contact(here, there), f"{here} to {there}", point.contact_amps(here))

    def flow(self, name: str, words: str, ours: float | None) -> None:
        element, theirs = self.deck.elements.get(name), self.answer.amps.get(name)
        if ours is None or not isinstance(element, Ohm) or theirs is None:
            if ours is not None and theirs is None and abs(ours) > FLOWS_AMPS:
                self.wrong(f"amps of {words} are {ours!r} with us, and ngspice has no such branch")
            return
        self.result.amps += 1
        self.near("amps", words, ours, theirs, self.scale / element.ohms)

    def devices(self) -> None:
        """Amps of what stands in parts, as the solver counts them by kind."""
        for name, ours in self.point.solution.device_amps.items():
            theirs, ohms = self._device(name)
            self.result.amps += 1
            self.near("amps", name, ours, theirs, self.scale / ohms)

    def _device(self, name: str) -> tuple[float, float]:
        """Amps that ngspice has for a device, and the ohms to judge them by; none where it is not there."""
        amps, element = self.answer.amps, self.deck.elements.get(name)
        flows = amps.get(name, 0.0)
        ohms = element.ohms if isinstance(element, Ohm | Emf) and element.ohms else LAW_OHMS
        if name == "bench" or (isinstance(element, Emf) and element.volts > 0):
            flows = -flows  # what it gives out of its plus
        flows -= amps.get(f"{name} reversed", 0.0)
        base = name.removesuffix(" in")
        flows -= amps.get(f"{base} back", 0.0)
        if base != name:
            flows += amps.get(f"{base} idle", 0.0)
        return flows, ohms

    def states(self) -> None:
        """The states that were taken over stand at ngspice's volts, and whole fuses at its amps."""
        slack = self.share * self.scale * 10
        for held in self.deck.held:
            if held.name in self.point.chatter or {held.a, held.b} & self.floats:
                continue
            if not {held.a, held.b} <= self.answer.volts.keys():
                continue
            volts = self._volts(held.a, held.b)
            volts = abs(volts) if held.either else volts
            self.result.states += 1
            if not held.least - slack <= volts < held.most + slack:
                self.wrong(f"{held.name} cannot be as it is at {volts!r} V")
