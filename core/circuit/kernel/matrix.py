"""The nodal matrix: one pattern for a network, new values for every set of states, factors to solve with."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy.linalg import lapack
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu

from core.circuit.kernel.eliminate import Elimination
from core.circuit.network import Floats, Ints

DENSE_NODES = 100
"""Below it a dense factor is quicker (measured)."""
Solve = Callable[[Floats], Floats]


def summed(places: Ints, values: Floats, count: int) -> Floats:
    """What of the values falls to each of `count` places."""
    return np.asarray(np.bincount(places, values, count), np.float64)


class Pattern:
    """Where the values of stamps belong. Node 0 is the reference: it has no row.

    `rows`, `columns`: the nodes of every value that will come, in that order; many may share a place, and
    with (a, b) there is (b, a).
    """

    def __init__(self, nodes: int, rows: Ints, columns: Ints) -> None:
        self.size = size = nodes - 1
        self._dense = size < DENSE_NODES
        self._factors = 0
        self._elimination: Elimination | None = None
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
            self._row, self._column = inner % size, inner // size

    def factor(self, values: Floats, pins: Floats) -> Solve | None:
        """The way to volts of all nodes from amps into them. `pins`: siemens to the reference by node.

        None where the matrix has no inverse.
        """
        if not self.size:
            return lambda amps: np.zeros(1)
        given = np.concatenate((values, pins[1:]))
        data = summed(self._places, given, self._slots + 1)[: self._slots]
        if self._dense:
            return _around(self._factor_dense(data))
        return _around(self._factor_apart(data) or self._factor_sparse(data))

    def _factor_dense(self, data: Floats) -> Solve | None:
        factors, pivots, failed = lapack.dgetrf(
            data.reshape((self.size, self.size), order="F"), overwrite_a=True
        )
        return None if failed else lambda amps: np.asarray(lapack.dgetrs(factors, pivots, amps)[0])

    def _factor_apart(self, data: Floats) -> Solve | None:
        """None the first time: one factor does not pay for the order of many."""
        self._factors += 1
        if self._factors == 1:
            return None
        if self._elimination is None:
            self._elimination = Elimination(self.size, self._row, self._column)
        return self._elimination.factor(data)

    def _factor_sparse(self, data: Floats) -> Solve | None:
        matrix = csc_matrix((data, (self._row, self._column)), (self.size, self.size))
        try:
            factors = splu(
                matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0, options={"SymmetricMode": True}
            )
        except RuntimeError:  # exactly singular
            return None
        return lambda amps: np.asarray(factors.solve(amps))


def _around(solve: Solve | None) -> Solve | None:
    """The same with the reference."""
    if solve is None:
        return None
    return lambda amps: np.concatenate((_ZERO, solve(amps[1:])))


_ZERO = np.zeros(1)
