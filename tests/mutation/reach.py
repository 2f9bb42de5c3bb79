"""What reaches each net of a document: a plain fixed point, no volts and no positions."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

from core.job import internals as kinds
from core.job.internals import Internal, LiveIn

if TYPE_CHECKING:
    from tests.mutation.facts import Facts


@dataclass(frozen=True)
class Source:
    """A car's feed, a battery, or what a part makes of one; `name` tells one from another."""

    name: str
    live: LiveIn | None


class Reach:
    """Which feeds and grounds get to each net, through fuses, switches, relays, diodes and converters."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self._feeds: dict[int, set[Source]] = {}
        self._grounds: set[int] = set()
        self._low: set[int] = set()
        for ref, source in facts._fed:
            if not self._stands_on_nothing(ref):
                self._feeds.setdefault(facts.net[ref], set()).add(source)
        self._grounds.update(facts.net[ref] for ref in facts.grounds)
        steps = [self._step(tag, one) for tag, one in facts.insides]
        while sum(step() for step in steps):
            pass

    def feeds(self, net: int) -> frozenset[Source]:
        return frozenset(self._feeds.get(net, ()))

    def grounded(self, net: int) -> bool:
        return net in self._grounds

    def returns(self, net: int) -> bool:
        """Grounded, also by an output that pulls to ground."""
        return net in self._grounds or net in self._low

    def _stands_on_nothing(self, ref: str) -> bool:
        """A second battery whose minus is joined to nothing feeds nothing."""
        for tag, one in self.facts.insides:
            if isinstance(one, kinds.Battery) and f"{tag}.{one.plus}" == ref and not one.main:
                minus = self.facts.net[f"{tag}.{one.minus}"]
                return minus not in {self.facts.net[g] for g in self.facts.grounds}
        return False

    def _step(self, tag: str, one: Internal) -> Callable[[], bool]:
        net = lambda name: self.facts.net[f"{tag}.{name}"]  # noqa: E731
        positive = self.facts.job.settings.ground == "positive"

        def nothing() -> bool:
            return False

        match one:
            case kinds.Fuse() | kinds.Breaker() | kinds.SwitchContact():
                return lambda: self._both_ways(net(one.a), net(one.b))
            case kinds.Relay() if one.make:
                make = one.make
                return lambda: (
                    self._works(net(one.coil_plus), net(one.coil_minus))
                    and self._both_ways(net(one.common), net(make))
                )
            case kinds.Diode():
                a, b = (one.cathode, one.anode) if positive else (one.anode, one.cathode)
                return lambda: self._give(net(b), self._feeds.get(net(a), set()))
            case kinds.StepDown() | kinds.StepUp():
                made = Source(f"{tag} {one.output}", None)
                return lambda: (
                    self._works(net(one.input), net(one.common)) and self._give(net(one.output), {made})
                )
            case kinds.Output():
                made = Source(f"{tag} {one.terminal}", one.live)
                wanted = [name for name in (one.fed_from, one.on_by) if name]
                return lambda: (
                    all(self._feeds.get(net(name)) for name in wanted)
                    and self._give(net(one.terminal), {made})
                )
            case kinds.LowSideOutput():
                return lambda: self._pull(net(one.terminal), net(one.reference))
            case _:
                return nothing

    def _works(self, a: int, b: int) -> bool:
        fed = [bool(self._feeds.get(net)) for net in (a, b)]
        back = [self.returns(net) for net in (a, b)]
        return (fed[0] and back[1]) or (fed[1] and back[0])

    def _give(self, net: int, sources: set[Source]) -> bool:
        here = self._feeds.setdefault(net, set())
        before = len(here)
        here |= sources
        return len(here) > before

    def _both_ways(self, a: int, b: int) -> bool:
        changed = self._give(a, self._feeds.get(b, set()))
        changed = self._give(b, self._feeds.get(a, set())) or changed
        for here, there in ((a, b), (b, a)):
            if here in self._grounds and there not in self._grounds:
                self._grounds.add(there)
                changed = True
        return changed

    def _pull(self, net: int, reference: int) -> bool:
        if net in self._low or not self.returns(reference):
            return False
        self._low.add(net)
        return True


def flooded(facts: Facts) -> dict[int, float]:
    """From each feed on, the fuse before it; from each fuse on, no more than its own."""
    found: dict[int, float] = {}

    def raised(net: int, amps: float) -> bool:
        if amps <= found.get(net, 0.0):
            return False
        found[net] = amps
        return True

    for tag, one in facts.insides:
        if isinstance(one, kinds.Feed):
            raised(facts.net[f"{tag}.{one.terminal}"], one.fuse_amps or inf)
        if isinstance(one, kinds.Battery):
            raised(facts.net[f"{tag}.{one.plus}"], inf)
    ways = [
        (facts.net[f"{tag}.{a}"], facts.net[f"{tag}.{b}"], most)
        for tag, one in facts.insides
        for a, b, most in _ways(one)
    ]
    again = True
    while again:
        again = False
        for a, b, most in ways:
            again = raised(b, min(found.get(a, 0.0), most)) or again
    return found


def _ways(one: Internal) -> Iterator[tuple[str, str, float]]:
    """What passes a feed on, in which direction, behind which fuse."""
    match one:
        case kinds.Fuse() | kinds.Breaker():
            yield from ((one.a, one.b, one.amps), (one.b, one.a, one.amps))
        case kinds.SwitchContact():
            yield from ((one.a, one.b, inf), (one.b, one.a, inf))
        case kinds.Relay() if one.make:
            yield from ((one.common, one.make, inf), (one.make, one.common, inf))
        case kinds.Diode():
            yield one.anode, one.cathode, inf
