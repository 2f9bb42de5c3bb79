"""What hangs on something that rests: a part that nothing feeds stands at the volts of its ground.

Where a law is blocked, what lies behind it may be tied to nothing else. No amps say at which volts it stands,
and the way to the balance may have left it anywhere. It comes to where the first load or converter that leads
there is just at rest, which ties it; unless a diode would lead before that: then it floats.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from core.circuit.kernel.regulators import BLOCKED, FREE, THROUGH
from core.circuit.kernel.table import Table
from core.circuit.network import Floats, Ints

if TYPE_CHECKING:
    from core.circuit.kernel.rounds import Round


LEADS_AMPS = 1e-9
"""A converter that is dead ties nothing, unless something drives more than that through it."""


class _Blocked(NamedTuple):
    """Blocked while `high` stands no more than `bound` volts above `low`; `ties`: at rest it does so."""

    high: int
    low: int
    bound: float
    ties: bool
    regulator: int = -1


class _Move(NamedTuple):
    """Islands by their number and how many volts each moves, and the regulator that ties the first, or -1."""

    far: float
    by: dict[int, float]
    regulator: int


def label(table: Table, done: Round) -> Ints:
    """The island of every node, by what ties its ends together in a balance."""
    volts, curves, r = done.balance.volts, table.curves, table.regulators
    ties = done.regions.conduct(volts[curves.a] - volts[curves.b])
    leads = r.sinks | (target(table, done) > 0) | (done.balance.out > LEADS_AMPS)
    drives = done.holding.on & leads & (done.holding.clip > BLOCKED)
    return table.islands.of(np.concatenate((done.on, ties, np.zeros(r.count, np.bool_), drives)))


def target(table: Table, done: Round) -> Floats:
    """What every regulator would hold at its output, above its common."""
    r, holding, volts = table.regulators, done.holding, done.balance.volts
    each = np.arange(r.count)
    found: Floats = r.base[holding.target, each] + r.slope[holding.target, each] * (
        volts[r.input] - volts[r.common]
    )
    return found


def hang(table: Table, done: Round) -> Round:
    """The same balance, with all that hangs where it comes to rest."""
    for _ in range(table.nodes):
        blocked = list(_blocked(table, done))
        if not any(one.ties for one in blocked):
            break
        island = label(table, done)
        move = _move(blocked, island, done.balance.volts)
        if move is None:
            break
        if move.regulator >= 0:
            done.holding.clip = done.holding.clip.copy()
            done.holding.clip[move.regulator] = FREE
        volts = done.balance.volts.copy()
        for number, by in move.by.items():
            volts[island == number] += by
        done = replace(done, balance=replace(done.balance, volts=volts))
    return done


def _blocked(table: Table, done: Round) -> Iterator[_Blocked]:
    """What leads nothing just now: loads, what converters take for themselves, diodes, outputs."""
    curves, regions, volts = table.curves, done.regions, done.balance.volts
    still = regions.there & ~regions.conduct(volts[curves.a] - volts[curves.b])
    ohmic = regions.siemens[2] > 0
    for at in (curves.load_at, curves.idle_at):
        for k in (np.flatnonzero(still[at] & ohmic[at]) + at.start).tolist():
            yield _Blocked(int(curves.a[k]), int(curves.b[k]), 0.0, True)
    loads = curves.load_at
    for k in (np.flatnonzero(still[loads] & (regions.siemens[0, loads] > 0)) + loads.start).tolist():
        yield _Blocked(int(curves.b[k]), int(curves.a[k]), -float(regions.bounds[1, k]), False)
    sources = curves.source_at
    for k in (np.flatnonzero(still[sources]) + sources.start).tolist():
        yield _Blocked(int(curves.b[k]), int(curves.a[k]), -float(regions.bounds[3, k]), True)
    for at in (curves.diode_at, curves.clamp_at, curves.back_at):
        for k in (np.flatnonzero(still[at]) + at.start).tolist():
            yield _Blocked(int(curves.a[k]), int(curves.b[k]), float(regions.bounds[2, k]), False)
    r, held = table.regulators, target(table, done)
    ties = held > 0
    still = done.holding.on & ~r.sinks & ~(ties & (done.holding.clip > BLOCKED))
    for k in np.flatnonzero(still).tolist():
        if done.holding.target[k] == THROUGH and not r.switching[k]:
            # what passes its input less drop-out does not look at its common
            yield _Blocked(int(r.input[k]), int(r.output[k]), -float(r.base[THROUGH, k]), bool(ties[k]), k)
        else:
            yield _Blocked(int(r.common[k]), int(r.output[k]), -float(held[k]), bool(ties[k]), k)


def _move(blocked: list[_Blocked], island: Ints, volts: Floats) -> _Move | None:
    """The shortest move of an island, and of those that it pushes, to where something ties it."""
    apart = [one for one in blocked if island[one.high] != island[one.low]]
    numbers = {int(island[node]) for one in apart if one.ties for node in (one.high, one.low)} - {0}
    moves = [_pushed(apart, island, volts, number, side) for number in sorted(numbers) for side in (-1, 1)]
    return min((move for move in moves if move), key=lambda move: move.far, default=None)


def _pushed(apart: list[_Blocked], island: Ints, volts: Floats, number: int, side: int) -> _Move | None:
    """Down (-1) until what leads in is at rest, up (1) until what leads out is. A diode on the way leads to
    what hangs as well and is pushed along, or to what does not: then nothing ties the island.
    """
    by = {number: 0.0}
    far = 0.0
    while True:
        ways = []
        for one in apart:
            high, low = int(island[one.high]), int(island[one.low])
            inner, outer = (low, high) if side < 0 else (high, low)
            if inner in by and outer not in by:
                room = float(volts[one.low] - volts[one.high]) + one.bound - abs(by[inner])
                ways.append((max(0.0, room), not one.ties, outer, one.regulator))
        if not ways:
            return None
        room, leads, outer, regulator = min(ways)
        far += room
        by = {moved: volts_by + side * room for moved, volts_by in by.items()}
        if not leads:
            return _Move(far, by, regulator)
        if outer == 0:
            return None
        by[outer] = 0.0
