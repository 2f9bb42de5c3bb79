"""Which nodes hang together, and which of them are not tied to the reference."""

from __future__ import annotations

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import connected_components

from core.circuit.network import Floats, Ints


def islands(nodes: int, a: Ints, b: Ints) -> Ints:
    """The number of every node's island where branches join a and b; 0 is the island of node 0."""
    graph = csr_matrix((np.ones(len(a), np.int8), (a, b)), (nodes, nodes))
    _, found = connected_components(graph, directed=False)
    label: Ints = found.astype(np.int64)
    if label[0]:
        home = label[0]
        label[label == 0], label[label == home] = -1, 0
        label[label == -1] = home
    return label


def pins(label: Ints) -> Floats:
    """One siemens at the first node of every island but that of the reference.

    No amps flow in it, so it changes nothing inside the island.
    """
    found = np.zeros(len(label))
    numbers, first = np.unique(label, return_index=True)
    found[first[numbers > 0]] = 1.0
    return found
