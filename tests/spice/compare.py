"""Our operating points beside what ngspice makes of decks written from the same job."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from core.circuit.engine import Engine
from core.circuit.operating import OperatingPoint
from core.circuit.positions import Position
from core.job.document import Job
from core.library.library import Library
from core.net.graph import build
from tests.spice.deck import Told, contact
from tests.spice.elements import GROUND, Deck, Emf, Flow, Ohm, Pieced, Volts
from tests.spice.parts import deck_of
from tests.spice.run import Answer, solve

LINEAR, BENT = 1e-9, 1e-6
"""How far apart volts may be, as a share of the largest source's, without and with laws that bend; and amps,
as that share of those volts over the branch's ohms."""
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
    lost: int = 0
    worst: dict[str, float] = field(default_factory=dict)
    wrong: list[str] = field(default_factory=list)
    unsolved: list[str] = field(default_factory=list)

    def note(self, kind: str, error: float) -> None:
        self.worst[kind] = max(self.worst.get(kind, 0.0), error)

    def add(self, other: Result) -> None:
        self.volts += other.volts
        self.amps += other.amps
        self.floating += other.floating
        self.states += other.states
        self.lost += other.lost
        for kind, error in other.worst.items():
            self.note(kind, error)
        self.wrong += other.wrong
        self.unsolved += other.unsolved

    def __str__(self) -> str:
        worst = ", ".join(f"{kind} {error:.1e}" for kind, error in sorted(self.worst.items()))
        return (
            f"{self.volts} volts, {self.amps} amps, {self.floating} floating places and {self.states} states "
            f"compared with ngspice; furthest apart: {worst}; {self.lost} left out, "
            f"{len(self.unsolved)} unsolved by us"
        )


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


def answered(found: Sequence[Case]) -> list[tuple[Pieced, Answer | None]]:
    """Each deck with its laws as the pieces that our volts lie on, and its answer. Where ngspice loses itself
    in a law that is no straight line, its amps are given, and have to agree with the law. Raises NoSpice.
    """
    starts = [hint(case) for case in found]
    decks = [case.deck.pieced(_between(start)) for case, start in zip(found, starts, strict=True)]
    answers = solve(decks, starts)
    lost = [n for n, answer in enumerate(answers) if answer is None]
    for n in lost:
        decks[n] = found[n].deck.pieced(_between(starts[n]), given=True)
    for n, answer in zip(lost, solve([decks[n] for n in lost]), strict=True):
        answers[n] = answer
    return list(zip(decks, answers, strict=True))


def compare_all(found: Sequence[Case]) -> Result:
    """All of them, through few processes. Raises NoSpice."""
    whole = Result()
    for case, (deck, answer) in zip(found, answered(found), strict=True):
        whole.add(compare(case, deck, answer))
    return whole


def climb_all(found: Sequence[Case]) -> Result:
    """All of them, ramped up from nothing, with nothing of ours but the states. Raises NoSpice."""
    whole = Result()
    for case, answer in zip(found, solve([case.deck for case in found]), strict=True):
        if answer is None:
            whole.lost += 1
        else:
            whole.add(compare(case, case.deck.pieced(answer.between), answer, ramped=True))
    return whole


def hint(case: Case) -> dict[str, float]:
    """Our volts by the deck's nodes; those of floating nodes as they stand to each other. Nodes that have no
    name with us, such as that behind a fuse, are taken from their neighbours.
    """
    point = case.point
    found = {GROUND: 0.0}
    for ref, node in case.deck.node_of.items():
        number = point.places.plan.node_of(ref)
        if number is not None:
            found[node] = float(point.solution.island_volts[number])
    for element in case.deck.elements.values():
        less = element.volts if isinstance(element, Emf) else 0.0
        if element.a not in found and element.b in found:
            found[element.a] = found[element.b] + less
        elif element.b not in found and element.a in found:
            found[element.b] = found[element.a] - less
    return found


def _between(volts: Mapping[str, float]) -> Volts:
    return lambda plus, minus: volts.get(plus, 0.0) - volts.get(minus, 0.0)


def compare(case: Case, deck: Pieced, answer: Answer | None, *, ramped: bool = False) -> Result:
    result = Result()
    if case.point.unsolved:
        result.unsolved.append(f"{case.title}: {case.point.unsolved}")
        return result
    if answer is None:
        result.wrong.append(f"{case.title}: ngspice found no answer")
        return result
    one = _Comparison(case, deck, answer, result, ramped=ramped)
    one.places()
    one.flows()
    one.devices()
    one.states()
    one.pieces()
    one.floating()
    return result


class _Comparison:
    def __init__(self, case: Case, deck: Pieced, answer: Answer, result: Result, *, ramped: bool) -> None:
        self.case, self.deck, self.answer, self.result = case, deck, answer, result
        self.point = case.point
        self.ramped = ramped
        self.kind = "straight" if case.deck.linear else "ramped" if ramped else "bent"
        self.share = LINEAR if case.deck.linear else BENT
        sources = [abs(e.volts) for e in self.deck.elements.values() if isinstance(e, Emf)]
        self.scale = max(sources, default=self.case.job.settings.bench.volts)
        self.tied = deck.tied()

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
            theirs = self.answer.volts.get(node) if node in self.tied else None
            if ours is None or theirs is None:
                if self.ramped:  # a law's leak tells on what floats
                    continue
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
            if there is not None and contact(here, there) in self.case.deck.elements:
                self.flow(contact(here, there), f"{here} to {there}", point.contact_amps(here))

    def flow(self, name: str, words: str, ours: float | None) -> None:
        element, theirs = self.case.deck.elements.get(name), self.answer.amps.get(name)
        if ours is None or not isinstance(element, Ohm) or theirs is None:
            if ours is not None and theirs is None and abs(ours) > FLOWS_AMPS:
                self.wrong(f"amps of {words} are {ours!r} with us, and ngspice has no such branch")
            return
        self.result.amps += 1
        self.near("amps", words, ours, theirs, self.scale / element.ohms)

    def devices(self) -> None:
        """Amps of what stands in parts, as the solver counts them by kind."""
        for name, ours in self.point.solution.device_amps.items():
            element = self.case.deck.elements.get(name)
            if isinstance(element, Flow) and element.a == element.b:
                continue  # what goes round within one node is not stated
            theirs, ohms = self._device(name)
            self.result.amps += 1
            self.near("amps", name, ours, theirs, self.scale / ohms)

    def _device(self, name: str) -> tuple[float, float]:
        """Amps that ngspice has for a device, and the ohms to judge them by; none where it is not there."""
        amps, element = self.answer.amps, self.case.deck.elements.get(name)
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
            if held.name in self.point.chatter or not {held.a, held.b} <= self.tied:
                continue
            if not {held.a, held.b} <= self.answer.volts.keys():
                continue
            volts = self._volts(held.a, held.b)
            volts = abs(volts) if held.either else volts
            self.result.states += 1
            if not held.least - slack <= volts < held.most + slack:
                self.wrong(f"{held.name} cannot be as it is at {volts!r} V")

    def pieces(self) -> None:
        """Every law lies on the piece that it was taken for."""
        slack = self.share * self.scale
        for name, piece in self.deck.pieces.items():
            flow = self.case.deck.elements[name]
            if not {flow.a, flow.b} <= self.tied:
                continue
            self.result.states += 1
            if piece.outside(self._volts) > slack:
                self.wrong(f"{name} is {piece.outside(self._volts):.1e} V outside of the piece of its law")
            if piece.amps is not None and not self.ramped:
                law, flows = piece.amps(self._volts), self.answer.amps[name]
                if abs(law - flows) > self.share * max(1.0, abs(law)):
                    self.wrong(f"{name} has {flows!r} A, and {law!r} A by its law")

    def floating(self) -> None:
        """What floats could stand at volts at which nothing conducts that leads there; and nothing ties it at
        rest, unless a diode may lead before.
        """
        if self.ramped:
            return
        lows: dict[str, list[float]] = {}
        highs: dict[str, list[float]] = {}
        leads: dict[str, set[str]] = {}
        home = {node: island for island in self.deck.islands() for node in self.deck.hanging(island)}
        for flow in self.deck.open:
            if not self.deck.pieces[flow.name].would_tie:
                for node in {flow.a, flow.b, flow.from_} & home.keys():
                    leads.setdefault(home[node], set()).add(flow.name)
        for flow in self.deck.open:
            if (flow.a in self.tied) == (flow.b in self.tied):
                continue
            island = home[flow.b if flow.a in self.tied else flow.a]
            if self.deck.pieces[flow.name].would_tie:
                own = flow.name.partition(" ")[0]
                if not leads.get(island, set()) - {f"{own} in", f"{own} back"}:
                    self.wrong(f"{flow.name} ties {flow.a} to {flow.b}, and one of them is said to float")
            elif flow.opens_at > 0 and flow.a in self.tied:
                lows.setdefault(island, []).append(self.answer.volts[flow.a] - flow.opens_at)
            elif flow.opens_at > 0:
                highs.setdefault(island, []).append(self.answer.volts[flow.b] + flow.opens_at)
        for island, low in lows.items():
            self.result.floating += 1
            if max(low) > min(highs.get(island, [max(low)])) + self.share * self.scale:
                self.wrong(f"{island} is said to float, and something leads through it")
