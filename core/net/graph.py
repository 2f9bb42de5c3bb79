"""One graph of everything that conducts, changed by the difference between two documents.

Nodes are terminals, joints and free wire ends. What a part does inside is no conductor, except a Link.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Container, Iterable, Iterator, Mapping

import networkx as nx

from core.ids import kind_of
from core.job.delta import Delta
from core.job.document import Job
from core.net.pieces import NOTHING, Edge, Owner, Pieces, conductor_owner, mate_owner, node_of, owners, pieces
from core.net.union import labelled

Net = int
"""A label that all nodes of one net share. It means nothing beyond that, and may change with every update."""


_AT_ONCE = 25


class ConductorGraph:
    """The conductors of one job. Owned by whoever runs the checks; never copied."""

    def __init__(self) -> None:
        self._graph: nx.MultiGraph[str] = nx.MultiGraph()
        self._pieces: dict[Owner, Pieces] = {}
        self._job = Job()
        self._net_of: dict[str, Net] = {}
        self._members: dict[Net, set[str]] = {}
        self._next_net = 0

    def fill(self, job: Job) -> Iterator[None]:
        """Take a whole job into an empty graph, some things at a time. Ask only at its end."""
        self._job = job
        waiting = list(owners(job))
        for start in range(0, len(waiting), _AT_ONCE):
            some = {owner: pieces(job, owner) for owner in waiting[start : start + _AT_ONCE]}
            self._pieces |= some
            self._graph.add_nodes_from(node for piece in some.values() for node in piece.nodes)
            self._graph.add_edges_from((e.a, e.b, e, {}) for piece in some.values() for e in piece.edges)
            yield
        self._net_of = labelled(self._graph.nodes, (e for p in self._pieces.values() for e in p.edges))
        for node, net in self._net_of.items():
            self._members.setdefault(net, set()).add(node)
        self._next_net = len(self._net_of)

    def update(self, before: Job, after: Job, delta: Delta) -> None:
        """Take the step from `before` (the job the graph stands at) to `after`."""
        if before is not self._job:
            raise ValueError("the graph stands at another document than the step starts from")
        self._job = after
        self._change(after, _touched(before, after, delta))

    def _change(self, job: Job, touched: Iterable[Owner]) -> None:
        old: dict[Owner, Pieces] = {}
        new: dict[Owner, Pieces] = {}
        for owner in touched:
            was, now = self._pieces.get(owner, NOTHING), pieces(job, owner)
            if was != now:
                old[owner], new[owner] = was, now
        gone = {e for p in old.values() for e in p.edges}
        gone_nodes = {n for p in old.values() for n in p.nodes}
        come = {e for p in new.values() for e in p.edges}
        come_nodes = {n for p in new.values() for n in p.nodes}
        dirty = {n for e in gone ^ come for n in (e.a, e.b)} | (gone_nodes ^ come_nodes)
        for edge in gone - come:
            self._graph.remove_edge(edge.a, edge.b, key=edge)
        self._graph.remove_nodes_from(gone_nodes - come_nodes)
        self._graph.add_nodes_from(come_nodes - gone_nodes)
        for edge in come - gone:
            self._graph.add_edge(edge.a, edge.b, key=edge)
        for owner, now in new.items():
            if now == NOTHING:
                self._pieces.pop(owner, None)
            else:
                self._pieces[owner] = now
        self._relabel(dirty)

    def _relabel(self, dirty: set[str]) -> None:
        affected = {self._net_of[n] for n in dirty if n in self._net_of}
        loose = dirty.union(*(self._members.pop(net) for net in affected))
        for node in loose:
            self._net_of.pop(node, None)
        waiting = {node for node in loose if node in self._graph}
        while waiting:
            component = nx.node_connected_component(self._graph, next(iter(waiting)))
            waiting -= component
            self._members[self._next_net] = component
            for node in component:
                self._net_of[node] = self._next_net
            self._next_net += 1

    @property
    def nets(self) -> Mapping[Net, set[str]]:
        """The nodes of every net, by label."""
        return self._members

    @property
    def nodes(self) -> Mapping[str, Net]:
        """Every node with the label of its net."""
        return self._net_of

    @property
    def by_owner(self) -> Mapping[Owner, Pieces]:
        """What each thing of the job adds: its nodes, and its conductors as edges."""
        return self._pieces

    @property
    def edges(self) -> set[tuple[frozenset[str], str, str]]:
        """Every conductor as (its two nodes, id, kind)."""
        return {(frozenset((e.a, e.b)), e.key, e.kind) for p in self._pieces.values() for e in p.edges}

    def node_of(self, ref: str) -> str | None:
        """The node that an id stands at: a terminal, a joint, or a wire's end; None where there is none."""
        node = node_of(self._job, ref) if kind_of(ref) == "wire end" else ref
        return node if node in self._net_of else None

    def net_of(self, ref: str) -> Net | None:
        """The net of a terminal, joint or wire end; None where there is no such thing."""
        net = self._net_of.get(ref)
        if net is None and ":" in ref:
            net = self._net_of.get(node_of(self._job, ref))
        return net

    def members(self, ref: str) -> set[str]:
        """Every node that conducts to `ref`, itself included."""
        net = self.net_of(ref)
        return set() if net is None else self._members[net]

    def conductors(self, ref: str) -> tuple[str, ...]:
        """The ids of wires and conductors in the net of `ref`, sorted."""
        found = {
            edge.key
            for node in self.members(ref)
            for _, _, edge in self._graph.edges(node, keys=True)
            if edge.kind == "wire"
        }
        return tuple(sorted(found))

    def beyond(self, joint: str, end: str) -> set[str]:
        """The nodes that an end leads to from the joint it stands in, without passing that joint."""
        name, colon, _ = end.partition(":")
        first = (
            {end}
            if not colon
            else {
                edge.b if edge.a == joint else edge.a
                for _, _, edge in self._graph.edges(joint, keys=True)
                if edge.key == name
            }
        )
        found, queue = first - {joint}, deque(first - {joint})
        while queue:
            for node in self._graph[queue.popleft()]:
                if node != joint and node not in found:
                    found.add(node)
                    queue.append(node)
        return found

    def reaches(
        self, start: str, goals: Container[str], shut: Container[str], without: Container[str] = ()
    ) -> bool:
        """Whether conductors lead from a node to one of `goals` past none of the nodes `shut`, and by none of
        the wires `without`.
        """
        found, queue = {start}, deque([start])
        while queue:
            here = queue.popleft()
            if here in goals:
                return True
            for there, edges in self._graph[here].items():
                if there in found or there in shut or all(edge.key in without for edge in edges):
                    continue
                found.add(there)
                queue.append(there)
        return False

    def path(self, a: str, b: str) -> tuple[str, ...]:
        """Ids from `a` to `b` along conductors, wires among them. Empty where none leads there."""
        start, goal = self.node_of(a), self.node_of(b)
        if start is None or goal is None or self._net_of[start] != self._net_of[goal]:
            return ()
        if start == goal:
            return (start,)
        before: dict[str, tuple[str, Edge]] = {}
        queue = deque([start])
        while goal not in before and queue:
            here = queue.popleft()
            for edge in sorted(key for _, _, key in self._graph.edges(here, keys=True)):
                there = edge.b if edge.a == here else edge.a
                if there != start and there not in before:
                    before[there] = (here, edge)
                    queue.append(there)
        ids = [goal]
        while ids[-1] != start:
            here, edge = before[ids[-1]]
            ids += [edge.key, here] if edge.kind == "wire" else [here]
        return tuple(reversed(ids))


def build(job: Job) -> ConductorGraph:
    """The graph of a job from scratch."""
    graph = ConductorGraph()
    for _ in graph.fill(job):
        pass
    return graph


def _touched(before: Job, after: Job, delta: Delta) -> set[Owner]:
    found: set[Owner] = set()
    for collection in ("parts", "mates", "wires", "cables", "joints"):
        found.update((collection, name) for name in delta.touched(collection))
    for job in (before, after):
        joints = [job.joints[name] for name in delta.touched("joints") if name in job.joints]
        found.update(conductor_owner(end) for joint in joints for end in joint.ends if ":" in end)
        parts = [job.parts[tag] for tag in delta.touched("parts") if tag in job.parts]
        plugs = [f"{part.id}.{connector.name}" for part in parts for connector in part.connectors]
        mates = (mate_owner(job, ref) for ref in (*plugs, *delta.touched("finishes")) if ":" not in ref)
        found.update(mate for mate in mates if mate is not None)
    return found
