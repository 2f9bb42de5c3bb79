"""Behind which fuse each piece of copper stands."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from core.ids import kind_of
from core.job import internals as kinds
from core.job.document import Job
from core.net.graph import build
from tests.mutation.facts import Facts


def copper(job: Job) -> Iterator[str]:
    """Everything with a gauge: leads by their terminal, wires, conductors of cables."""
    for part in job.parts.values():
        for ref, cavity in part.cavities.items():
            if cavity.lead is not None and cavity.lead.gauge:
                yield ref
    for name, conductor in job.lookup.conductors.items():
        if conductor.gauge:
            yield name


def gauge_of(job: Job, ref: str) -> str:
    lead = None
    if kind_of(ref) == "terminal":
        cavity = job.cavity(ref)
        lead = cavity.lead.gauge if cavity and cavity.lead else None
    else:
        lead = job.lookup.conductors[ref].gauge
    assert lead is not None
    return lead


def protection(facts: Facts) -> dict[str, float]:
    """The largest fuse behind which each lead, wire and conductor stands: on the feeds' side, and on the way
    back by which a load's amps return.
    """
    amps: dict[str, float] = {}
    for ref in copper(facts.job):
        ends = (ref,) if kind_of(ref) == "terminal" else (f"{ref}:a", f"{ref}:b")
        amps[ref] = max(facts.fuses.get(_net(facts, end), 0.0) for end in ends)
    graph = build(facts.job)
    for tag, one in facts.insides:
        if not isinstance(one, kinds.Load | kinds.Lamp):
            continue
        plus, minus = (one.plus, one.minus) if isinstance(one, kinds.Load) else (one.a, one.b)
        fuse = facts.fuse_of(f"{tag}.{plus}")
        if minus is None or not 0 < fuse < inf:
            continue
        ways = [graph.path(f"{tag}.{minus}", ground) for ground in facts.grounds]
        for ref in min((way for way in ways if way), key=len, default=()):
            if ref in amps and amps[ref] < inf:
                amps[ref] = max(amps[ref], fuse)
    return amps


def _net(facts: Facts, end: str) -> int:
    name, colon, letter = end.partition(":")
    if not colon or end in facts.net:
        return facts.net[end]
    conductor = facts.job.lookup.conductors[name]
    crimped = conductor.a_in if letter == "a" else conductor.b_in
    return facts.net[crimped or facts.job.lookup.joint_of[end]]
