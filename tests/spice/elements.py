"""What a SPICE deck is made of here: elements between named nodes, and the text that says them.

Volts, amps and ohms throughout; the amps of an element are from `a` to `b`. Every element has a branch of its
own in the deck, so that its amps come out with full digits even where it is a milliohm between two nodes far
above ground. A resistance is therefore a current-controlled voltage source that is controlled by its own
current (volts = ohms x amps): exact where a conductance of 1000 S summed with one of 0.00001 S would round.

A deck is solved in one of two ways. As a whole, its laws with all their bends: sources are ramped up from
nothing first, then what draws is (`.dc` over v(ramp) from 0 to 1 and on to 2). Each step starts from the one
before, so the balance that is found is the first one coming down from open-circuit volts. Or `pieced`: each
law as the piece of it that given volts lie on, with the answer to be looked at whether it lies there too.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

GROUND = "0"
LEAK_SIEMENS = 1e-12
"""Beside every law with bends, so that its deck always has an answer."""
GIVEN, DRAWN = "v(given)", "v(drawn)"
STEP_OF_RAMP, RAMP_ENDS = 0.0625, 2.0
_RAMPS = (
    f"Vramp ramp 0 {RAMP_ENDS!r}",
    "Bgiven given 0 V = min(1,v(ramp))",
    "Bdrawn drawn 0 V = min(1,max(0,v(ramp)-1))",
)
# Far below the sloppy defaults; pivots are chosen by ratio alone, since a leak is far below 1e-13.
OPTIONS = (
    ".options reltol=1e-6 vntol=1e-9 abstol=1e-12 gmin=1e-15 pivrel=0.5 pivtol=1e-30 "
    "itl1=100 itl2=100 gminsteps=0 srcsteps=0"
)
_AMPS = re.compile(r"i\(@(.+?)@\)")

Between = Callable[[str, str], str]
Volts = Callable[[str, str], float]
Text = Callable[[Between], str]


@dataclass(frozen=True, slots=True)
class Ohm:
    """A resistance; of 0 ohm too."""

    name: str
    a: str
    b: str
    ohms: float


@dataclass(frozen=True, slots=True)
class Emf:
    """A source with its plus at `a`, behind ohms. What it gives is negative amps."""

    name: str
    a: str
    b: str
    volts: float
    ohms: float


@dataclass(frozen=True, slots=True)
class Piece:
    """One stretch of a law, without a bend: its `text` for SPICE; by how many volts an answer lies outside of
    it (below 0: inside). `ties`: whether it holds its ends together, be it with no amps at all just now;
    `would_tie`: whether it would, if one of its ends hung on nothing else. `amps`: by the law at some volts,
    where it is no straight line.
    """

    text: Text
    outside: Callable[[Volts], float]
    ties: bool = True
    would_tie: bool = True
    amps: Callable[[Volts], float] | None = None

    @property
    def nothing(self) -> bool:
        return self.text is no_amps


def no_amps(_: Between) -> str:
    return "0"


@dataclass(frozen=True, slots=True)
class Flow:
    """Amps by a law: its whole `text`, and the piece of it that some volts lie on.

    A text is handed what writes the volts between two nodes; an element's amps are written `i(@NAME@)`.
    `opens_at`: the volts below which a diode is open. `from_`: another node that its amps may come from.
    """

    name: str
    a: str
    b: str
    text: Text
    piece: Callable[[Volts], Piece]
    opens_at: float = 0.0
    from_: str = ""


Element = Ohm | Emf | Flow


@dataclass(frozen=True, slots=True)
class Held:
    """A state that the deck was written with: it stands while the volts from `a` to `b` are from `least` to
    below `most`; of `either` way round where a coil does not mind.
    """

    name: str
    a: str
    b: str
    least: float
    most: float
    either: bool = False


@dataclass
class Deck:
    """A whole circuit in one position. `node_of`: ids of the job, `body` and `battery +` to nodes. `held`:
    the states of relays and gates; `fuses`: the rating of those that are whole, in amps.
    """

    title: str
    elements: dict[str, Element] = field(default_factory=dict)
    node_of: dict[str, str] = field(default_factory=dict)
    held: list[Held] = field(default_factory=list)
    fuses: dict[str, float] = field(default_factory=dict)

    def add(self, element: Element) -> None:
        if element.name in self.elements:
            raise ValueError(f"{element.name} stands twice in the deck")
        self.elements[element.name] = element

    @property
    def linear(self) -> bool:
        return not any(isinstance(element, Flow) for element in self.elements.values())

    def near(self) -> dict[str, set[str]]:
        """The nodes next to each node."""
        found: dict[str, set[str]] = {GROUND: set()}
        for element in self.elements.values():
            found.setdefault(element.a, set()).add(element.b)
            found.setdefault(element.b, set()).add(element.a)
        for element in self.loose():
            found.setdefault(element.a, set())
            found.setdefault(element.b, set())
        return found

    def loose(self) -> Iterable[Element]:
        """What stands between nodes and ties none of them."""
        return ()

    def rests_at(self, node: str) -> float:
        """The volts at which to pin an island by one of its nodes."""
        return 0.0

    def tied(self) -> frozenset[str]:
        """The nodes with a way to ground."""
        return frozenset(_reached(GROUND, self.near()))

    def islands(self) -> Iterator[str]:
        """One node of everything that hangs together without a way to ground."""
        near = self.near()
        done = _reached(GROUND, near)
        for node in sorted(near):
            if node not in done:
                yield node
                done |= _reached(node, near)

    def hanging(self, node: str) -> frozenset[str]:
        """Everything that hangs together with a node."""
        return frozenset(_reached(node, self.near()))

    def pieced(self, volts: Volts, *, given: bool = False) -> Pieced:
        """Every law as the piece that these volts lie on; where it is no straight line, `given` as amps."""
        found = Pieced(self.title, node_of=self.node_of, held=self.held, fuses=self.fuses, volts=volts)
        for name, element in self.elements.items():
            if not isinstance(element, Flow):
                found.elements[name] = element
                continue
            piece = found.pieces[name] = element.piece(volts)
            if piece.nothing:
                found.open.append(element)
                continue
            text = piece.text
            if given and piece.amps is not None:
                text = _fixed(piece.amps(volts))
            (found.elements if piece.ties else found.driven)[name] = replace(element, text=text)
        return found


def _fixed(amps: float) -> Text:
    return lambda _: repr(amps)


@dataclass
class Pieced(Deck):
    """A deck without bends. `pieces`: what each law was taken for; `open`: laws on a piece without amps;
    `driven`: those that tie nothing, but have amps.
    """

    volts: Volts = field(kw_only=True)
    pieces: dict[str, Piece] = field(default_factory=dict)
    open: list[Flow] = field(default_factory=list)
    driven: dict[str, Element] = field(default_factory=dict)

    def loose(self) -> Iterable[Element]:
        return (*self.open, *self.driven.values())

    def rests_at(self, node: str) -> float:
        return self.volts(node, GROUND)


def _reached(start: str, near: Mapping[str, set[str]]) -> set[str]:
    found, waiting = {start}, [start]
    while waiting:
        new = near[waiting.pop()] - found
        found |= new
        waiting += new
    return found


class Written:
    """A deck as SPICE text. `node` and `branch` say what a node and an element are called in it.

    What has no way to ground is pinned there at one node of each island: no amps flow in the pin, so all amps
    inside are as they were. A resistance within one node is left out.
    """

    def __init__(self, deck: Deck) -> None:
        self.pieced = isinstance(deck, Pieced)
        elements = deck.elements | deck.driven if isinstance(deck, Pieced) else deck.elements
        kept = {name: e for name, e in elements.items() if not (isinstance(e, Ohm) and e.a == e.b)}
        for number, node in enumerate(deck.islands()):
            kept[f"pin {number}"] = Emf(f"pin {number}", node, GROUND, deck.rests_at(node), 1.0)
        nodes = sorted({node for e in kept.values() for node in (e.a, e.b)} - {GROUND})
        self.node = {GROUND: "0"} | {name: f"n{number}" for number, name in enumerate(nodes, start=1)}
        self.branch: dict[str, str] = {}
        self._inside: dict[str, tuple[str, float]] = {}
        lines = []
        for number, (name, element) in enumerate(kept.items(), start=1):
            self.branch[name] = f"v{number}" if isinstance(element, Flow) else f"h{number}"
            lines += self._lines(element, number)
        self.bent = not (self.pieced or deck.linear)
        self._title, self._body = deck.title, [*map(self._named, lines), *_RAMPS, OPTIONS]

    def text(self, near: Mapping[str, float] | None = None) -> str:
        """The whole deck. `near`: volts of nodes to start from."""
        start = []
        if near is not None:
            volts = {self.node[name]: value for name, value in near.items() if name in self.node}
            volts |= {inner: near.get(name, 0.0) - less for inner, (name, less) in self._inside.items()}
            start = [f".nodeset v({short})={value!r}" for short, value in volts.items() if short != "0"]
        return "\n".join([self._title, *self._body, *start, ".end", ""])

    def _lines(self, element: Element, number: int) -> list[str]:
        a, b, inner = self.node[element.a], self.node[element.b], f"m{number}"
        match element:
            case Ohm():
                return [f"H{number} {a} {b} H{number} {element.ohms!r}"]
            case Emf():
                self._inside[inner] = element.a, element.volts
                return [
                    f"E{number} {a} {inner} given 0 {element.volts!r}",
                    f"H{number} {inner} {b} H{number} {element.ohms!r}",
                ]
            case Flow():
                self._inside[inner] = element.a, 0.0
                law = element.text(self._between)
                if not self.pieced:
                    law += f" + {LEAK_SIEMENS!r}*v({inner},{b})"
                return [f"V{number} {a} {inner} 0", f"B{number} {inner} {b} I = {law}"]

    def _between(self, plus: str, minus: str) -> str:
        if GROUND in (plus, minus):
            return f"v({self.node[plus]})" if minus == GROUND else f"(-v({self.node[minus]}))"
        return f"v({self.node[plus]},{self.node[minus]})"

    def _named(self, line: str) -> str:
        return _AMPS.sub(lambda found: f"i({self.branch[found[1]]})", line)
