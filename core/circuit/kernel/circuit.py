"""A network that answers: its operating point in a position, and ohms with the power off."""

from __future__ import annotations

import numpy as np

from core.circuit.kernel.answer import answer
from core.circuit.kernel.resistance import Meter
from core.circuit.kernel.rounds import Memory, Rounds
from core.circuit.kernel.solution import Rest, Solution, Solved, States
from core.circuit.kernel.table import Table
from core.circuit.network import Network
from core.circuit.positions import Position

OPENS, OVERLOADED = 1.35, 1.0
"""Shares of a fuse's rating: above the first it opens, above the second it may."""
EXACT = 1e-9


class Circuit:
    """Prepared once per Network; solve it in as many positions as wanted."""

    def __init__(self, network: Network) -> None:
        self._table = Table(network)
        self._meter: Meter | None = None

    def solve(
        self,
        position: Position,
        start: States | None = None,
        lifted: frozenset[int] = frozenset(),
        near: Rest | None = None,
    ) -> Solved:
        """The operating point. `start`: the states it is reached from; `lifted`: rows of open resistors;
        `near`: where this circuit came to rest in a position much like it: quicker, and no other point.
        """
        table = self._table
        rounds = Rounds(table, position, lifted)
        memory = Memory.of(table, start)
        closed = np.ones(len(table.fuses), np.bool_)
        opened: list[str] = []
        moment: Solution | None = None
        while True:
            done = rounds.run(memory, closed, near)
            shares = np.abs(done.balance.amps[table.fuse_at]) / table.fuse_amps
            blows = bool(len(shares)) and not done.balance.why and shares.max() > OPENS * (1 + EXACT)
            if moment is None or not blows:
                over = [
                    (table.fuses[k].name, float(shares[k]))
                    for k in np.flatnonzero(shares > OVERLOADED * (1 + EXACT))
                ]
                found = answer(table, done, closed, tuple(over), lifted)
                moment = moment or found
            if not blows:
                return Solved(moment, found, tuple(opened), done.balance.rest)
            # of two with the same amps the first, whatever their rounding
            first = int(np.flatnonzero(shares >= shares.max() * (1 - EXACT))[0])
            closed[first] = False
            opened.append(table.fuses[first].name)
            memory, near = done.memory, done.balance.rest

    def ohms(self, a: int, b: int, position: Position, lifted: frozenset[int] = frozenset()) -> float | None:
        """What a meter reads from a to b with the power off; None where it is open."""
        if self._meter is None:
            self._meter = Meter(self._table.network)
        return self._meter.ohms(a, b, position, lifted)
