"""By which way a load's amps get back to the battery's ground pole."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.insides import insides
from core.circuit.conducting import SMALL_OHMS
from core.circuit.elements import LoadPart
from core.circuit.positions import Position
from core.job.internals import Resistor
from core.net.graph import Net

NO_RETURNS = ("signal ground", "antenna")
"""The classes of leads that are no way back: screens and the grounds of signals."""


class Ways:
    """The ways back of one check: through conductors, and through what has next to no ohms."""

    def __init__(self, ctx: Context) -> None:
        self._ctx = ctx
        self._through: dict[Net, list[str]] = {}
        for one in insides(ctx, Resistor):
            if one.it.ohms <= SMALL_OHMS:
                ends = (one.at(one.it.a), one.at(one.it.b))
                for here, there in (ends, ends[::-1]):
                    net = ctx.graph.net_of(here)
                    if net is not None:
                        self._through.setdefault(net, []).append(there)
        self._clean: dict[tuple[str, str], bool] = {}

    def stranded(self, load: LoadPart, position: Position) -> bool:
        """Whether a load is fed and has no way back that may carry its amps."""
        ctx = self._ctx
        hot = [ref for ref in ctx.hot(load) if ctx.levels.live(ref, position)]
        if not hot or any(ctx.levels.shorted(ref, position) for ref in hot):
            return False
        back = ctx.back(load)
        return not any(self.leads_back(ref, position) for ref in back) and not _converted(ctx, back)

    def leads_back(self, ref: str, position: Position) -> bool:
        """Whether a way from `ref` to ground may carry a load's amps."""
        return any(self._returns(one, position) for one in self._reached(ref))

    def _reached(self, ref: str) -> Iterator[str]:
        """The terminal, and those that stand beyond resistances of next to nothing."""
        seen, queue = {self._ctx.graph.net_of(ref)}, [ref]
        while queue:
            here = queue.pop()
            yield here
            net = self._ctx.graph.net_of(here)
            for there in self._through.get(net, ()) if net is not None else ():
                beyond = self._ctx.graph.net_of(there)
                if beyond not in seen:
                    seen.add(beyond)
                    queue.append(there)

    def _returns(self, ref: str, position: Position) -> bool:
        drive = self._ctx.levels.drives(ref, position).get("reliable")
        if drive is None:
            return False
        entry = drive.hops[-1][1] if drive.hops else drive.source.terminal
        key = (ref, entry)
        if key not in self._clean:
            self._clean[key] = self._past_no_signal(ref, entry)
        return self._clean[key]

    def _past_no_signal(self, ref: str, entry: str) -> bool:
        """Whether conductors lead from one to the other past no screen and no ground of a signal."""
        own = {ref, self._ctx.lead(ref), entry}
        shut = {one for one in self._ctx.terminals(ref) if self._ctx.cls(one) in NO_RETURNS} - own
        return not shut or self._ctx.graph.reaches(ref, {entry}, shut)


def _converted(ctx: Context, back: tuple[str, ...]) -> bool:
    """Whether a converter's output stands there instead of the body: in a car with positive ground."""
    return any(
        d.source.kind == "step-down" for ref in back for p in ctx.positions for d in ctx.levels.feeds(ref, p)
    )
