"""Which button ladders are read by which inputs: what the rules about buttons start from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from core.checks.context import Context
from core.checks.insides import Inside, insides
from core.circuit.positions import Position, button_switch, ordered
from core.job.internals import ButtonLadder, LadderReader
from core.net.graph import Net

AT_REST = "none held"


@dataclass(frozen=True, slots=True)
class Read:
    """One ladder and the input that reads it, the one on the net of the other."""

    ladder: Inside[ButtonLadder]
    reader: Inside[LadderReader]

    @property
    def terminal(self) -> str:
        return self.reader.at(self.reader.it.terminal)

    @property
    def reference(self) -> str:
        return self.reader.at(self.reader.it.reference)

    @property
    def ladder_reference(self) -> str:
        return self.ladder.at(self.ladder.it.reference)

    @property
    def least_volts(self) -> float:
        """The least difference that the reader can tell."""
        return self.reader.it.tolerance * self.reader.it.pull_up_volts


def reads(ctx: Context) -> Iterator[Read | None]:
    ladders: dict[Net, list[Inside[ButtonLadder]]] = {}
    for ladder in insides(ctx, ButtonLadder):
        net = ctx.graph.net_of(ladder.at(ladder.it.signal))
        if net is not None:
            ladders.setdefault(net, []).append(ladder)
    for reader in insides(ctx, LadderReader):
        yield None
        net = ctx.graph.net_of(reader.at(reader.it.terminal))
        for ladder in ladders.get(net, ()) if net is not None else ():
            yield Read(ladder, reader)


def alone_volts(read: Read) -> Mapping[str, float]:
    """What the reader sees of each button, and of none, where nothing else is on its line."""
    it, ladder = read.reader.it, read.ladder.it
    rest = ladder.rest_ohms

    def volts(ohms: float) -> float:
        return it.pull_up_volts * ohms / (ohms + it.pull_up_ohms)

    seen = {AT_REST: it.pull_up_volts if rest is None else volts(rest)}
    for button, ohms in ladder.ohms.items():
        # What is held stands beside what is there at rest, where it is more than that.
        beside = ohms if rest is None or ohms < rest else ohms * rest / (ohms + rest)
        seen[button] = volts(beside)
    return seen


def solved_volts(ctx: Context, read: Read, position: Position) -> Mapping[str, float | None]:
    """What the reader sees of each button, and of none, in a position as solved."""
    engine = ctx.levels.engine
    found: dict[str, float | None] = {}
    for button in (AT_REST, *read.ladder.it.ohms):
        held = () if button == AT_REST else (button_switch(button),)
        switches = ordered((*position.switches, *held), engine.own_switches)
        point = engine.point(Position(position.key, switches)).full.moment
        volts, reference = point.volts(read.terminal), point.volts(read.reference)
        found[button] = None if volts is None or reference is None else volts - reference
    return found


def closest(volts: Mapping[str, float]) -> tuple[float, str, str]:
    """The two buttons whose volts lie nearest to each other, and how near."""
    by_volts = sorted(volts, key=lambda button: volts[button])
    return min((volts[b] - volts[a], a, b) for a, b in pairwise(by_volts))
