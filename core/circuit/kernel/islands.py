"""Which nodes hang together, and which of them are not tied to the reference."""

from __future__ import annotations

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import connected_components

from core.circuit.kernel.solution import Flags
from core.circuit.network import Floats, Ints

REMEMBERED = 64
SMALL = 300
"""Up to so many branches plain Python is quicker than building a graph (measured)."""


class Islands:
    """Finds islands of the nodes of some branches, and remembers those found before."""

    def __init__(self, nodes: int, a: Ints, b: Ints) -> None:
        self._nodes, self._a, self._b = nodes, a, b
        self._found: dict[bytes, Ints] = {}

    def of(self, joined: Flags) -> Ints:
        """The number of every node's island where these branches join; 0 is the island of node 0."""
        key = joined.tobytes()
        label = self._found.get(key)
        if label is None:
            if len(self._found) == REMEMBERED:
                self._found.clear()
            label = self._found[key] = islands(self._nodes, self._a[joined], self._b[joined])
        return label


def islands(nodes: int, a: Ints, b: Ints) -> Ints:
    """The number of every node's island where branches join a and b; 0 is the island of node 0."""
    if len(a) <= SMALL:
        return _merged(nodes, a.tolist(), b.tolist())
    graph = csr_matrix((np.ones(len(a), np.int8), (a, b)), (nodes, nodes))
    _, found = connected_components(graph, directed=False)
    label: Ints = found.astype(np.int64)
    home = int(label[0])
    if home:
        at_home = label == home
        label[label == 0] = home
        label[at_home] = 0
    return label


def _merged(nodes: int, a: list[int], b: list[int]) -> Ints:
    """The same by merging; an island is numbered by its lowest node."""
    parent = list(range(nodes))
    for one, two in zip(a, b, strict=True):
        while parent[one] != one:
            parent[one] = one = parent[parent[one]]
        while parent[two] != two:
            parent[two] = two = parent[parent[two]]
        if one < two:
            parent[two] = one
        else:
            parent[one] = two
    for node, above in enumerate(parent):
        parent[node] = parent[above]
    return np.array(parent, np.int64)


def pins(label: Ints) -> Floats:
    """One siemens at the first node of every island but that of the reference.

    No amps flow in it, so it changes nothing inside the island.
    """
    found = np.zeros(len(label))
    numbers, first = np.unique(label, return_index=True)
    found[first[numbers > 0]] = 1.0
    return found
