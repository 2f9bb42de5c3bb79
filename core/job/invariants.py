"""What is true of every whole job: what one model cannot see, because it is about several.

An edit keeps these; a file that breaks one is refused.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Protocol

from core.job.document import Job
from core.job.lookup import conductors_of
from core.job.wiring import Conductor, Wire


class _Numbered(Protocol):
    @property
    def id(self) -> str: ...


def check_invariants(job: Job) -> list[str]:
    """One sentence for everything about the job that cannot be; empty where all is well."""
    terminals = {terminal for part in job.parts.values() for terminal in part.cavities}
    conductors: dict[str, Wire | Conductor] = dict(job.wires)
    for cable in job.cables.values():
        conductors.update(conductors_of(cable))
    crimped: dict[str, str] = {}
    free = set(terminals)
    for name, conductor in conductors.items():
        for end, place in ((f"{name}:a", conductor.a_in), (f"{name}:b", conductor.b_in)):
            if place is None:
                free.add(end)
            else:
                crimped[end] = place
    joint_of, wrong = _joints(job, free, crimped)
    return [
        *_names(job),
        *_crimps(crimped, terminals),
        *_mates(job),
        *wrong,
        *_finishes(job, free, crimped, joint_of),
        *_view(job),
    ]


def _names(job: Job) -> Iterator[str]:
    for key, part in job.parts.items():
        if key != part.id:
            yield f"part {key} calls itself {part.id}"
    for collection, letter, counted, things in _numbered(job):
        highest = 0
        for key, thing in things.items():
            if key != thing.id:
                yield f"{key} among the {collection} calls itself {thing.id}"
            if key[0] != letter:
                yield f"{key} stands among the {collection}, whose ids begin with {letter}"
            else:
                highest = max(highest, int(key[1:]))
        if counted < highest:
            yield f"the counter for {collection} says {counted}, but {letter}{highest} is in use"


def _numbered(job: Job) -> Iterator[tuple[str, str, int, Mapping[str, _Numbered]]]:
    counters = job.counters
    yield "joints", "J", counters.get("J", 0), job.joints
    yield "wires", "W", counters.get("W", 0), job.wires
    yield "cables", "C", counters.get("C", 0), job.cables
    yield "mates", "M", counters.get("M", 0), job.mates
    yield "notes", "N", counters.get("N", 0), job.notes


def _crimps(crimped: Mapping[str, str], terminals: set[str]) -> Iterator[str]:
    for end, place in crimped.items():
        if place not in terminals:
            yield f"wire end {end} is crimped into {place}, which does not exist"


def _mates(job: Job) -> Iterator[str]:
    connectors = {f"{tag}.{c.name}" for tag, part in job.parts.items() for c in part.connectors}
    mated: dict[str, str] = {}
    for mate in job.mates.values():
        if mate.a == mate.b:
            yield f"mate {mate.id} plugs {mate.a} into itself"
            continue
        for connector in (mate.a, mate.b):
            if connector not in connectors:
                yield f"mate {mate.id} names connector {connector}, which does not exist"
            elif connector in mated:
                yield f"connector {connector} is plugged in twice, by {mated[connector]} and by {mate.id}"
            mated.setdefault(connector, mate.id)


def _why_not_free(end: str, crimped: Mapping[str, str]) -> str:
    return f"is crimped into {crimped[end]}" if end in crimped else "does not exist"


def _joints(job: Job, free: set[str], crimped: Mapping[str, str]) -> tuple[dict[str, str], list[str]]:
    joint_of: dict[str, str] = {}
    wrong: list[str] = []
    for joint in job.joints.values():
        for end in joint.ends:
            if end not in free:
                wrong.append(f"joint {joint.id} holds {end}, which {_why_not_free(end, crimped)}")
            elif end in joint_of:
                wrong.append(f"{end} stands in two joints, {joint_of[end]} and {joint.id}")
            joint_of.setdefault(end, joint.id)
    return joint_of, wrong


def _finishes(
    job: Job, free: set[str], crimped: Mapping[str, str], joint_of: Mapping[str, str]
) -> Iterator[str]:
    for end, finish in job.finishes.items():
        if end not in free:
            yield f"{end} is marked {finish.kind}, but it {_why_not_free(end, crimped)}"
        elif end in joint_of:
            yield f"{end} is marked {finish.kind}, but it is joined in {joint_of[end]}"


def _view(job: Job) -> Iterator[str]:
    placed: Iterable[Mapping[str, object]] = (
        job.parts,
        job.joints,
        job.notes,
        job.wires,
        job.cables,
        job.mates,
    )
    for ref in job.view.places:
        if not any(ref in things for things in placed):
            yield f"the map has a place for {ref}, which does not exist"
    for ref in job.view.opened:
        if ref not in job.mates:
            yield f"the map shows the mated pair {ref} open, which does not exist"
