"""The nodal matrix: one pattern for a network, new values for every set of states, factors to solve with."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy.linalg import lapack
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu

from core.circuit.network import Floats, Ints

DENSE_NODES = 100
"""Below it a dense factor is quicker (measured)."""
Solve = Callable[[Floats], Floats]


def summed(places: Ints, values: Floats, count: int) -> Floats:
    """What of the values falls to each of `count` places."""
    return np.asarray(np.bincount(places, values, count), np.float64)


class Pattern:
    """Where the values of stamps belong. Node 0 is the reference: it has no row.

    `rows`, `columns`: the nodes of every value that will come, in that order; many may share a place.
    """

    def __init__(self, nodes: int, rows: Ints, columns: Ints) -> None:
        self.size = size = nodes - 1
        self._dense = size < DENSE_NODES
        self._order: Ints | None = None
        self._matrix: csc_matrix | None = None
        outside = (rows == 0) | (columns == 0)
        diagonal = np.arange(size)
        keys = np.concatenate(((columns - 1) * size + rows - 1, diagonal * (size + 1)))
        keys[: len(rows)][outside] = size * size
        if self._dense:
            self._places, self._slots = keys, size * size
        else:
            places, self._places = np.unique(keys, return_inverse=True)
            self._slots = int(np.searchsorted(places, size * size))
            inner = places[: self._slots]
            self._row = (inner % size).astype(np.int32)
            starts = np.searchsorted(inner, np.arange(size + 1) * size)
            self._start = starts.astype(np.int32)

    def factor(self, values: Floats, pins: Floats) -> Solve | None:
        """The way to volts of all nodes from amps into them. `pins`: siemens to the reference by node.

        None where the matrix has no inverse.
        """
        if not self.size:
            return lambda amps: np.zeros(1)
        given = np.concatenate((values, pins[1:]))
        data = summed(self._places, given, self._slots + 1)
        return self._factor_dense(data) if self._dense else self._factor_sparse(data)

    def _factor_dense(self, data: Floats) -> Solve | None:
        factors, pivots, failed = lapack.dgetrf(
            data[: self._slots].reshape((self.size, self.size), order="F"), overwrite_a=True
        )
        if failed:
            return None

        def solve(amps: Floats) -> Floats:
            volts = np.zeros(self.size + 1)
            volts[1:] = lapack.dgetrs(factors, pivots, amps[1:])[0]
            return volts

        return solve

    def _factor_sparse(self, data: Floats) -> Solve | None:
        order = self._order
        if self._matrix is None:
            indices = (data[: self._slots], self._row, self._start)
            self._matrix = csc_matrix(indices, (self.size, self.size))
        else:
            self._matrix.data = data[: self._slots]
        try:
            factors = splu(
                self._matrix,
                permc_spec="MMD_AT_PLUS_A" if order is None else "NATURAL",
                diag_pivot_thresh=0,
                options={"SymmetricMode": True},
            )
        except RuntimeError:  # exactly singular
            return None
        if order is None:
            self._reorder(factors.perm_c.astype(np.int64))

        def solve(amps: Floats) -> Floats:
            volts = np.zeros(self.size + 1)
            if order is None:
                volts[1:] = factors.solve(amps[1:])
            else:
                volts[order] = factors.solve(amps[order])
            return volts

        return solve

    def _reorder(self, rank: Ints) -> None:
        """Puts the nodes in the order that the first factor found, which costs as much as a factor does."""
        columns = np.repeat(rank, np.diff(self._start))
        rows = rank[self._row]
        turn = np.argsort(columns * self.size + rows)
        moved = np.empty(self._slots + 1, np.int64)
        moved[turn] = np.arange(self._slots)
        moved[self._slots] = self._slots
        self._places = moved[self._places]
        self._row = rows[turn].astype(np.int32)
        self._start = np.concatenate(([0], np.cumsum(np.bincount(columns, minlength=self.size)))).astype(
            np.int32
        )
        self._order = np.argsort(rank) + 1
        self._matrix = None
