"""States with a memory: relays and gates. All change together, once per round, until none has to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.circuit.kernel.curves import Regions
from core.circuit.kernel.hanging import hang
from core.circuit.kernel.regulators import Holding
from core.circuit.kernel.settle import Balance, Settler
from core.circuit.kernel.solution import Flags, Rest, States
from core.circuit.kernel.table import KEYS, Table
from core.circuit.network import Floats
from core.circuit.positions import Position

MOST_ROUNDS = 200


@dataclass(frozen=True, slots=True)
class Memory:
    """Which relays are pulled and which gates are on, in the order of the table."""

    pulled: Flags
    gates: Flags

    @classmethod
    def of(cls, table: Table, states: States | None) -> Memory:
        """As `states` says; what it does not name is at rest and off."""
        words = states or {}
        pulled = [words.get(relay.name) == "pulled" for relay in table.relays]
        gates = ~table.gates.has
        for k in np.flatnonzero(table.gates.has).tolist():
            gates[k] = not words.get(table.gated[k].name, "off").startswith("off")
        return cls(np.array(pulled, np.bool_), gates)

    @property
    def pattern(self) -> bytes:
        return self.pulled.tobytes() + self.gates.tobytes()


@dataclass(frozen=True, slots=True)
class Round:
    """The last round: its balance and the states it stands for. `chatter`: the members of the circle."""

    memory: Memory
    on: Flags
    regions: Regions
    holding: Holding
    balance: Balance
    chatter: tuple[str, ...]


class Rounds:
    """A table in one position, with some resistors lifted."""

    def __init__(self, table: Table, position: Position, lifted: frozenset[int]) -> None:
        self._table = table
        holds = np.array([*(position.has(live) for live in table.network.conditions), True], np.bool_)
        self._there = holds[table.when]
        if lifted:
            self._there[table.condensed.core_rows(lifted)] = False
        self._gated_there = holds[table.gated_when]
        self._limited_there = holds[table.limited_when]
        key = KEYS.index(position.key)
        self._limited_volts = table.limited_volts[key]
        self._size = max(
            1.0,
            np.abs(table.source_volts[key]).max(initial=0.0),
            np.abs(self._limited_volts).max(initial=0.0),
        )
        self._source_amps = np.zeros(table.straight)
        at = table.source_at
        self._source_amps[at] = np.where(self._there[at], -table.source_volts[key] * table.siemens[at], 0.0)

    def run(self, memory: Memory, closed: Flags, near: Rest | None) -> Round:
        """Rounds until no state changes, or until a pattern comes back. `closed`: by fuse."""
        seen: dict[bytes, int] = {}
        past: list[Memory] = []
        chatter: tuple[str, ...] = ()
        while True:
            seen[memory.pattern] = len(past)
            past.append(memory)
            done = self._solve(memory, closed, near)
            after = self._change(memory, done.balance.volts)
            if after.pattern == memory.pattern or done.balance.why:
                break
            if after.pattern in seen or len(past) == MOST_ROUNDS:
                first = seen.get(after.pattern, MOST_ROUNDS // 2)
                chatter = self._members(past[first:])
                break
            memory, near = after, done.balance.rest
        return Round(done.memory, done.on, done.regions, done.holding, done.balance, chatter)

    def _solve(self, memory: Memory, closed: Flags, near: Rest | None) -> Round:
        table = self._table
        on = self._there.copy()
        on[table.fuse_at] = closed
        on[table.make_at] = memory.pulled[table.making]
        on[table.rest_at] = ~memory.pulled[table.resting]
        gated = memory.gates & self._gated_there
        switches = len(table.switches)
        loads = switches + len(table.curves.loads)
        on[table.switch_at] = gated[:switches]
        regions = Regions(
            table.curves, self._limited_volts, self._limited_there, gated[switches:loads], gated[loads:]
        )
        holding = Holding(table.regulators, gated[loads:])
        balance = Settler(table, on, self._source_amps, self._size, regions, holding).balance(near)
        done = Round(memory, on, regions, holding, balance, ())
        return done if balance.why else hang(table, done)

    def _change(self, memory: Memory, volts: Floats) -> Memory:
        """Every state as these volts would have it."""
        table, gates = self._table, self._table.gates
        coils = table.coil_at
        across = np.abs(volts[table.a[coils]] - volts[table.b[coils]])
        pulled = np.where(memory.pulled, across > table.drop_out, across >= table.pull_in)
        stand = volts[gates.node] - volts[gates.reference]
        on = np.where(memory.gates, stand >= gates.off_volts, stand >= gates.on_volts) | ~gates.has
        return Memory(pulled, on)

    def _members(self, circle: list[Memory]) -> tuple[str, ...]:
        table = self._table
        names = [device.name for device in table.relays] + [device.name for device in table.gated]
        bits = np.array([np.concatenate((memory.pulled, memory.gates)) for memory in circle])
        turned = np.flatnonzero((bits != bits[0]).any(axis=0))
        return tuple(names[k] for k in turned)
