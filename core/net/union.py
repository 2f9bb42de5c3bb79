"""Net labels from scratch, by union-find."""

from __future__ import annotations

from collections.abc import Iterable

from core.net.pieces import Edge


def labelled(nodes: Iterable[str], edges: Iterable[Edge]) -> dict[str, int]:
    """One number per net for every node. Ends of edges that are not among `nodes` are taken in."""
    parent = {node: node for node in nodes}
    for a, b, _, _ in edges:
        root_a = parent.setdefault(a, a)
        while root_a != (above := parent[root_a]):
            parent[root_a] = root_a = parent[above]
        root_b = parent.setdefault(b, b)
        while root_b != (above := parent[root_b]):
            parent[root_b] = root_b = parent[above]
        parent[root_b] = root_a
    labels: dict[str, int] = {}
    found: dict[str, int] = {}
    for node in parent:
        root = node
        while root != (above := parent[root]):
            parent[root] = root = parent[above]
        found[node] = labels.setdefault(root, len(labels))
    return found
