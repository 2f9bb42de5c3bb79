"""One part as pieces of a circuit, its nodes still by name: what is kept from one assembly to the next."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from core.circuit.implied import Insides
from core.circuit.network import Device, Gate, Source
from core.circuit.positions import DEAD_FRACTION, KEYS, LIVE_FRACTION, Position
from core.job.internals import Internal, LiveIn, Sense, Switch, VoltWindow
from core.job.parts import Part
from core.job.record import Settings
from core.library.limits import Limits

PLUS, MINUS, BODY = "battery +", "battery -", "body"
"""The names of the car's own nodes, as a reading names them."""

LEAST_OHMS = 1e-6
"""What a resistance of nothing is taken for: a wire of no length still is one."""
LEAST_SOURCE_OHMS = 1e-3

Nodes = Mapping[str, int]
Whens = Callable[[LiveIn | None], int]
Maker = Callable[[Nodes, Whens], Device]
KeyVolts = tuple[float, float, float, float, float]


@dataclass(frozen=True, slots=True)
class Row:
    """A plain resistance between two named nodes; `when` None is always."""

    name: str
    a: str
    b: str
    ohms: float
    when: LiveIn | None = None


@dataclass(frozen=True, slots=True)
class Terms:
    """What every part of a job is worked out with."""

    limits: Limits
    settings: Settings

    @property
    def negative(self) -> bool:
        """Whether the battery's minus is on the body."""
        return self.settings.ground == "negative"

    @property
    def hot(self) -> str:
        """The pole that feeds come from."""
        return PLUS if self.negative else MINUS

    @property
    def system(self) -> float:
        return float(self.settings.system_volts)

    @property
    def battery(self) -> KeyVolts:
        """Volts of the car's battery in each position of the key."""
        a, b, c, d, e = (Position(key).battery_volts(self.settings) for key in KEYS)
        return a, b, c, d, e


@dataclass(frozen=True, slots=True)
class Sketch:
    """`nodes` are the part's own inside; `joined` pairs of nodes are one. `fused`: words and amps of the
    vehicle fuses that it shares. `mains`: name, plus and minus of what says it is the car's battery. `full`:
    the volts or the ratio of each pulsed feed while it is on. `airbags`: terminals never to be touched.
    `switches`: those that anything in the part depends on.
    """

    nodes: tuple[str, ...]
    joined: tuple[tuple[str, str], ...]
    rows: tuple[Row, ...]
    makers: Mapping[str, Maker]
    names: Mapping[str, Internal]
    fused: tuple[tuple[str, float | None], ...]
    mains: tuple[tuple[str, str, str], ...]
    full: Mapping[str, tuple[float | None, float | None]]
    airbags: tuple[str, ...] = ()
    switches: frozenset[Switch] = frozenset()


class Pen:
    """Draws one part. Functions of the kinds add to it."""

    def __init__(self, part: Part, insides: Insides, terms: Terms) -> None:
        self.part = part
        self.insides = insides
        self.terms = terms
        self.limits = terms.limits
        self.nodes: list[str] = []
        self.joined: list[tuple[str, str]] = []
        self.rows: list[Row] = []
        self.makers: dict[str, Maker] = {}
        self.fused: list[tuple[str, float | None]] = []
        self.mains: list[tuple[str, str, str]] = []
        self.full: dict[str, tuple[float | None, float | None]] = {}

    def done(self, names: Mapping[str, Internal]) -> Sketch:
        return Sketch(
            tuple(self.nodes),
            tuple(self.joined),
            tuple(self.rows),
            self.makers,
            names,
            tuple(self.fused),
            tuple(self.mains),
            self.full,
            tuple(ref for ref, cavity in self.part.cavities.items() if cavity.airbag),
            self.insides.switches,
        )

    def at(self, name: str) -> str:
        """A local terminal's node."""
        return f"{self.part.id}.{name}"

    def maybe(self, name: str | None) -> str | None:
        return None if name is None else self.at(name)

    def accepts(self, name: str) -> VoltWindow | None:
        """What a local terminal's cavity says it accepts."""
        return self.part.cavities[self.at(name)].accepts

    def node(self, name: str) -> str:
        """A new node inside the part."""
        self.nodes.append(name)
        return name

    def supply(self, name: str | None) -> str | None:
        """Where something is fed from: as named, else the part's own feed."""
        return self.maybe(name or self.insides.supply)

    def reference(self, name: str | None) -> str:
        """What the electronics of a part count from: as named, else the bonded returns, else the car's
        pole on that side.
        """
        found = self.maybe(name or next(iter(self.insides.returns), None))
        return found or (BODY if self.terms.negative else MINUS)

    def poles(self, plus: str, minus: str | None) -> tuple[str, str]:
        """Plus and minus of what is fed. By the body where the part has no way back."""
        low = self.maybe(minus or next(iter(self.insides.returns), None))
        high = self.at(plus)
        if low is not None:
            return high, low
        return (high, BODY) if self.terms.negative else (BODY, high)

    def row(self, name: str, a: str, b: str, ohms: float, when: LiveIn | None = None) -> None:
        self.rows.append(Row(name, a, b, max(ohms, LEAST_OHMS), when))

    def add(self, name: str, maker: Maker) -> None:
        self.makers[name] = maker

    def source(
        self,
        name: str,
        plus: str,
        minus: str,
        volts: float | KeyVolts,
        ohms: float,
        when: LiveIn | None = None,
    ) -> None:
        """A source of steady volts, or of volts by key; below 0 V it stands on its head."""
        by_key = volts if isinstance(volts, tuple) else (volts,) * 5
        if by_key[0] < 0:
            plus, minus = minus, plus
            a, b, c, d, e = (-value for value in by_key)
            by_key = (a, b, c, d, e)
        least = max(ohms, LEAST_SOURCE_OHMS)
        self.add(
            name, lambda nodes, whens: Source(name, nodes[plus], nodes[minus], by_key, least, whens(when))
        )

    def gate(self, nodes: Nodes, on_by: str | None, reference: str) -> Gate | None:
        """On while the terminal is live: by its own threshold, else by the system's volts."""
        if on_by is None:
            return None
        on = self._thresholds.get(on_by, LIVE_FRACTION * self.terms.system)
        return Gate(nodes[on_by], nodes[reference], on, on * DEAD_FRACTION / LIVE_FRACTION)

    @property
    def _thresholds(self) -> Mapping[str, float]:
        """What the part's inputs tell on from off at: a part of 12 V behind a step-down of a 24 V car."""
        senses = (i for i in self.part.internals if isinstance(i, Sense))
        return {self.at(s.terminal): s.threshold_volts for s in senses if s.threshold_volts}
