"""What a SPICE deck is made of here: elements between named nodes, and the text that says them.

Volts, amps and ohms throughout; the amps of an element are from `a` to `b`. Every element has a branch of its
own in the deck, so that its amps come out with full digits even where it is a milliohm between two nodes far
above ground. A resistance is therefore a current-controlled voltage source that is controlled by its own
current (volts = ohms x amps): exact where a conductance of 1000 S summed with one of 0.00001 S would round.

Loads are ramped up from nothing to their full draw (`.dc` over RAMP from 0 to 1): each step starts from the
one before, so the balance that is found is the first one coming down from open-circuit volts.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

GROUND = "0"
LEAK_SIEMENS = 1e-15
"""What a law conducts at the least, so that a deck always has an answer."""
RAMP = "v(ramp)"
STEPS_OF_RAMP = 16
# Far below the sloppy defaults; pivots are chosen by ratio alone, since a leak is far below 1e-13.
OPTIONS = ".options reltol=1e-9 vntol=1e-12 abstol=1e-15 gmin=1e-15 pivtol=1e-30 itl1=500 itl2=200"
_AMPS = re.compile(r"i\(@(.+?)@\)")

Between = Callable[[str, str], str]
Volts = Callable[[str, str], float]


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
class Flow:
    """Amps by a law. `text` gives SPICE's expression, and is handed what writes the volts between two nodes;
    an element's amps are written as `i(@NAME@)`. `live` says whether the amps would change if the volts did.
    """

    name: str
    a: str
    b: str
    text: Callable[[Between], str]
    live: Callable[[Volts], bool]


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
    """A whole circuit in one position. `node_of`: ids of the job, `body` and `battery +` to nodes. `held`: the
    states of relays and gates; `fuses`: the rating of those that are whole, in amps.
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

    def tied(self, volts: Volts | None = None) -> frozenset[str]:
        """The nodes with a way to ground: through anything, or through what conducts at these volts."""
        return frozenset(_reached(GROUND, self._near(volts)))

    def _near(self, volts: Volts | None = None) -> dict[str, set[str]]:
        near: dict[str, set[str]] = {GROUND: set()}
        for element in self.elements.values():
            if volts is None or not isinstance(element, Flow) or element.live(volts):
                near.setdefault(element.a, set()).add(element.b)
                near.setdefault(element.b, set()).add(element.a)
        return near

    def islands(self) -> Iterator[str]:
        """One node of everything that hangs together without a way to ground."""
        near = self._near()
        done = _reached(GROUND, near)
        for node in sorted(near):
            if node not in done:
                yield node
                done |= _reached(node, near)


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
        kept = {name: e for name, e in deck.elements.items() if not (isinstance(e, Ohm) and e.a == e.b)}
        for number, node in enumerate(deck.islands()):
            kept[f"pin {number}"] = Ohm(f"pin {number}", node, GROUND, 1.0)
        nodes = sorted({node for e in kept.values() for node in (e.a, e.b)} - {GROUND})
        self.node = {GROUND: "0"} | {name: f"n{number}" for number, name in enumerate(nodes, start=1)}
        self.branch: dict[str, str] = {}
        lines = []
        for number, (name, element) in enumerate(kept.items(), start=1):
            self.branch[name] = f"v{number}" if isinstance(element, Flow) else f"h{number}"
            lines += self._lines(element, number)
        self.swept = not deck.linear
        self.text = "\n".join([deck.title, *map(self._named, lines), "Vramp ramp 0 1", OPTIONS, ".end", ""])

    def _lines(self, element: Element, number: int) -> list[str]:
        a, b = self.node[element.a], self.node[element.b]
        match element:
            case Ohm():
                return [f"H{number} {a} {b} H{number} {element.ohms!r}"]
            case Emf():
                inside = f"m{number} {b} H{number} {element.ohms!r}"
                return [f"V{number} {a} m{number} {element.volts!r}", f"H{number} {inside}"]
            case Flow():
                law = f"{element.text(self._between)} + {LEAK_SIEMENS!r}*v(m{number},{b})"
                return [f"V{number} {a} m{number} 0", f"B{number} m{number} {b} I = {law}"]

    def _between(self, plus: str, minus: str) -> str:
        if GROUND in (plus, minus):
            return f"v({self.node[plus]})" if minus == GROUND else f"(-v({self.node[minus]}))"
        return f"v({self.node[plus]},{self.node[minus]})"

    def _named(self, line: str) -> str:
        return _AMPS.sub(lambda found: f"i({self.branch[found[1]]})", line)
