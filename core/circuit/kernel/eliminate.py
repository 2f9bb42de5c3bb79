"""A factor without pivots, many nodes at a time: made for matrices that are nearly trees.

Nodes that do not touch each other are taken out together, those with the fewest neighbours first, level by
level; what is left is small and dense. Where each number belongs is worked out once for a pattern, so that a
factor is a few operations on whole arrays a level. Numpy's and LAPACK's quickness is in the arrays: at eight
hundred nodes it takes a fifth of what SuperLU does (measured).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from scipy.linalg import lapack

from core.circuit.kernel.solution import Flags
from core.circuit.network import Floats, Ints

MOST_CORE = 160
"""More nodes than that are not left to a dense factor."""
ENOUGH = 64
"""So few are left to it at once."""
FEW_NEIGHBOURS, MOST_NEIGHBOURS = 3, 24
"""Up to the first a node is taken out at any time; above the second never."""
PASSES = 3
"""So often a level is searched for more nodes that touch none of those found."""
SCATTER = 2654435761


class _Level(NamedTuple):
    """Nodes `start` to `end` of the order. The numbers that lead to their neighbours lie from `low` and from
    `up` on, as many each way.

    `owner`: whose they are, counted from `start`; `other`: the neighbour, counted from `end`. Products of
    `one` of the low ones and the number at `two` go to the number at `into` that `to` says.
    """

    start: int
    end: int
    low: int
    up: int
    owner: Ints
    other: Ints
    one: Ints
    two: Ints
    to: Ints
    into: Ints


class _Taken(NamedTuple):
    """A level as it is found: by the numbers of the nodes, and by slots in the order they were made."""

    nodes: Ints
    low: Ints
    up: Ints
    owner: Ints
    other: Ints
    one: Ints
    two: Ints
    to: Ints
    into: Ints


class Elimination:
    """The order for one pattern. `rows`, `columns`: its places, each once, (a, b) with (b, a), and every
    diagonal one.
    """

    def __init__(self, size: int, rows: Ints, columns: Ints) -> None:
        self._size = size
        self._given = self._count = len(rows)
        ranked = np.argsort(rows * size + columns)
        off = ranked[rows[ranked] != columns[ranked]]
        # what joins two nodes, both ways, in order; and the slot of each number
        self._tail, self._head, self._slot = rows[off], columns[off], off
        straight = np.flatnonzero(rows == columns)
        self._diagonal = np.empty(size, np.int64)
        self._diagonal[rows[straight]] = straight
        # which of two equals goes first: as if by chance, yet always the same
        self._chance = np.argsort(np.arange(size) * SCATTER % size, kind="stable")
        left = np.ones(size, np.bool_)
        taken: list[_Taken] = []
        remaining = size
        while remaining > ENOUGH and (chosen := self._apart(left)) is not None:
            taken.append(self._take(chosen))
            left &= ~chosen
            remaining -= len(taken[-1].nodes)
        self._useful = remaining <= MOST_CORE
        if self._useful:
            self._lay_out(taken, np.flatnonzero(left))

    def _apart(self, left: Flags) -> Flags | None:
        """Nodes with few neighbours that do not touch each other; None where there are none."""
        size, tail, head = self._size, self._tail, self._head
        degree = np.bincount(tail, minlength=size)
        least = int(degree[left].min())
        if least > MOST_NEIGHBOURS:
            return None
        free = left & (degree <= max(least, FEW_NEIGHBOURS))
        weight = degree * size + self._chance
        chosen = np.zeros(size, np.bool_)
        starts = np.flatnonzero(np.diff(tail, prepend=-1))
        near = np.full(size, size * size)
        for _ in range(PASSES):
            worth = np.where(free, weight, size * size)
            if len(starts):
                near[tail[starts]] = np.minimum.reduceat(worth[head], starts)
            more = free & (worth < near)
            chosen |= more
            free &= ~more
            free[head[more[tail]]] = False
        return chosen

    def _take(self, chosen: Flags) -> _Taken:
        """Takes these nodes out: their neighbours are joined to each other."""
        size, tail, head, slot = self._size, self._tail, self._head, self._slot
        nodes = np.flatnonzero(chosen)
        place = np.empty(size, np.int64)
        place[nodes] = np.arange(len(nodes))
        mine = chosen[tail]
        out = np.flatnonzero(mine)
        owner, other = place[tail[out]], head[out]
        up, low = slot[out], slot[np.argsort(head * size + tail)[out]]
        one, two = _pairs(owner, len(nodes))
        a, b = other[one], other[two]
        goal = a * size + b
        stay = np.flatnonzero(~(mine | chosen[head]))
        keys, first = np.unique(
            np.concatenate((tail[stay] * size + head[stay], goal[a != b])), return_index=True
        )
        fresh = first >= len(stay)
        self._slot = np.empty(len(keys), np.int64)
        self._slot[~fresh] = slot[stay[first[~fresh]]]
        self._slot[fresh] = np.arange(self._count, self._count + np.count_nonzero(fresh))
        self._count += int(np.count_nonzero(fresh))
        self._tail, self._head = np.divmod(keys, size)
        goals = self._diagonal[a]
        goals[a != b] = self._slot[np.searchsorted(keys, goal[a != b])]
        into, to = np.unique(goals, return_inverse=True)
        return _Taken(nodes, low, up, owner, other, one, up[two], to, into)

    def _lay_out(self, taken: list[_Taken], core: Ints) -> None:
        """Puts nodes and numbers in the order they are needed: what belongs together lies together."""
        size = self._size
        self._order = np.concatenate([*(level.nodes for level in taken), core])
        number = np.empty(size, np.int64)
        number[self._order] = np.arange(size)
        sequence = [self._diagonal[self._order]]
        for level in taken:
            sequence += [level.low, level.up]
        turn = np.concatenate((*sequence, self._slot))
        place = np.empty(self._count, np.int64)
        place[turn] = np.arange(self._count)
        self._place = place[: self._given]
        self._levels: list[_Level] = []
        start, at = 0, size
        for nodes, low, _, owner, other, one, two, to, into in taken:
            end, up = start + len(nodes), at + len(low)
            self._levels.append(
                _Level(start, end, at, up, owner, number[other] - end, one, place[two], to, place[into])
            )
            start, at = end, up + len(low)
        self._core = size - start
        row, column = number[self._tail] - start, number[self._head] - start
        inner = np.arange(self._core)
        self._core_at = np.concatenate((inner * (self._core + 1), column * self._core + row))
        self._core_from = np.concatenate((inner + start, np.arange(at, self._count)))

    def factor(self, given: Floats) -> Callable[[Floats], Floats] | None:
        """From the numbers of the pattern, in its order, to a way to solve.

        None where it cannot be done without pivots.
        """
        if not self._useful:
            return None
        levels, size, core = self._levels, self._size, self._core
        data = np.zeros(self._count)
        data[self._place] = given
        pivots = data[:size]
        with np.errstate(all="ignore"):
            for level in levels:
                low = data[level.low : level.up]
                low /= pivots[level.start : level.end][level.owner]
                data[level.into] -= np.bincount(level.to, low[level.one] * data[level.two], len(level.into))
        if not (np.isfinite(data).all() and pivots[: size - core].all()):
            return None
        if core:
            dense = np.zeros(core * core)
            dense[self._core_at] = data[self._core_from]
            factors, turned, failed = lapack.dgetrf(dense.reshape((core, core), order="F"), overwrite_a=True)
            if failed:
                return None

        def solve(amps: Floats) -> Floats:
            volts = amps[self._order]
            for level in levels:
                low = data[level.low : level.up] * volts[level.start : level.end][level.owner]
                rest = volts[level.end :]
                rest -= np.bincount(level.other, low, size - level.end)
            if core:
                volts[size - core :] = lapack.dgetrs(factors, turned, volts[size - core :])[0]
            for level in reversed(levels):
                up = data[level.up : 2 * level.up - level.low] * volts[level.end :][level.other]
                mine = volts[level.start : level.end]
                mine -= np.bincount(level.owner, up, level.end - level.start)
                mine /= pivots[level.start : level.end]
            found = np.empty(size)
            found[self._order] = volts
            return found

        return solve


def _pairs(owner: Ints, count: int) -> tuple[Ints, Ints]:
    """Every two entries of the same one of `count` owners, both ways and with itself; `owner` ascends."""
    sizes = np.bincount(owner, minlength=count)
    starts = np.cumsum(sizes) - sizes
    each = sizes[owner]
    one = np.repeat(np.arange(len(owner)), each)
    begin = np.cumsum(each) - each
    return one, starts[owner][one] + np.arange(len(one)) - begin[one]
