"""Which nodes and edges each thing of a job adds to the graph of conductors."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Literal, NamedTuple

from core.ids import connector_of, part_of, terminal
from core.job.document import Job
from core.job.internals import Link
from core.job.lookup import conductors_of

EdgeKind = Literal["lead", "wire", "mate", "link"]


class Edge(NamedTuple):
    """Something that conducts between two nodes. `key` is the terminal, wire, mate or part it is drawn as."""

    a: str
    b: str
    key: str
    kind: EdgeKind


class Pieces(NamedTuple):
    nodes: tuple[str, ...] = ()
    edges: tuple[Edge, ...] = ()


NOTHING = Pieces()


def node_of(job: Job, end: str) -> str:
    """The node a wire's or conductor's end stands at: its joint, the cavity it is crimped into, or itself."""
    name, _, letter = end.partition(":")
    conductor = job.lookup.conductors.get(name)
    crimped = None if conductor is None else conductor.a_in if letter == "a" else conductor.b_in
    return crimped or job.lookup.joint_of.get(end, end)


def _wire(job: Job, name: str) -> Pieces:
    ends = [f"{name}:a", f"{name}:b"]
    a, b = (node_of(job, end) for end in ends)
    free = tuple(end for end, node in zip(ends, (a, b), strict=True) if end == node)
    return Pieces(free, (Edge(a, b, name, "wire"),) if a != b else ())


def _cable(job: Job, name: str) -> Pieces:
    cores = [_wire(job, core) for core, _ in conductors_of(job.cables[name])]
    return Pieces(
        tuple(node for core in cores for node in core.nodes),
        tuple(edge for core in cores for edge in core.edges),
    )


def _joint(job: Job, name: str) -> Pieces:
    leads = [end for end in job.joints[name].ends if ":" not in end]
    return Pieces((name,), tuple(Edge(end, name, end, "lead") for end in leads))


def _part(job: Job, name: str) -> Pieces:
    part = job.parts[name]
    links = {
        Edge(f"{name}.{internal.a}", f"{name}.{internal.b}", name, "link")
        for internal in part.internals
        if isinstance(internal, Link) and internal.a != internal.b
    }
    return Pieces(tuple(part.cavities), tuple(sorted(links)))


def _mate(job: Job, name: str) -> Pieces:
    mate = job.mates[name]
    connector = job.connector(mate.a)
    if connector is None:
        return NOTHING
    contacts = []
    for cavity in connector.cavities:
        here = terminal(part_of(mate.a), connector.name, cavity.pin)
        there = job.lookup.meets.get(here)
        if there is not None and job.in_contact(here) and job.in_contact(there):
            contacts.append(Edge(here, there, name, "mate"))
    return Pieces((), tuple(contacts))


_MAKERS: Mapping[str, Callable[[Job, str], Pieces]] = {
    "parts": _part,
    "mates": _mate,
    "wires": _wire,
    "cables": _cable,
    "joints": _joint,
}

Owner = tuple[str, str]
"""A collection of the job and an id in it."""


def owners(job: Job) -> Iterator[Owner]:
    """Everything of a job that may conduct."""
    for collection in _MAKERS:
        for name in getattr(job, collection):
            yield collection, name


def pieces(job: Job, owner: Owner) -> Pieces:
    """What one thing adds to the graph; nothing where the job no longer has it."""
    collection, name = owner
    return _MAKERS[collection](job, name) if name in getattr(job, collection) else NOTHING


def conductor_owner(end: str) -> Owner:
    """The wire or cable that a wire end belongs to."""
    name = end.partition(":")[0]
    return ("cables", name.partition(".")[0]) if name.startswith("C") else ("wires", name)


def mate_owner(job: Job, ref: str) -> Owner | None:
    """The mate that a terminal's or connector's plug is in, if it is in one."""
    mate = job.lookup.mate_of.get(connector_of(ref))
    return ("mates", mate[0]) if mate else None
