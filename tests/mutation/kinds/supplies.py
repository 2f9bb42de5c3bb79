"""Supplies: step-downs missing, turned round or wrong, and feeds from the wrong position."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core import edits as ed
from core.ids import part_of
from core.job import internals as kinds
from core.job.document import Job
from core.job.internals import LiveIn, StepDown, StepUp, VoltWindow
from tests.mutation.expect import fed_by
from tests.mutation.facts import Facts
from tests.mutation.made import Mutation, bridged, exactly, joined_end, lead_of, moved, places
from tests.mutation.reach import Source

STEP = "missing, reversed, wrong step-down"


def step_downs(facts: Facts) -> Iterator[Mutation]:
    """Stop."""
    expected = exactly("stop", "the table's row says Stop")
    seen: set[str] = set()
    for tag, index, one in _converters(facts):
        ends = [f"{tag}.{name}" for name in (one.input, one.output, one.common)]
        where = places(facts.job, ends)
        if tag not in seen:
            seen.add(tag)
            pairs = [(f"{t}.{c.input}", f"{t}.{c.output}") for t, _, c in _converters(facts) if t == tag]
            yield Mutation(STEP, f"{tag} missing", where, expected, partial(bridged, tag=tag, pairs=pairs))
        yield Mutation(
            STEP,
            f"{tag} turned round: {one.input} with {one.output}",
            where,
            expected,
            partial(ed.swap_pins, terminal_1=ends[0], terminal_2=ends[1]),
        )
        for accepts in _windows(facts, ends[1]):
            for volts in (accepts.most * 1.5, accepts.least * 0.6):
                yield Mutation(
                    STEP,
                    f"{tag} of {volts:g} V at {one.output} for {accepts.least:g} to {accepts.most:g} V",
                    where,
                    expected,
                    partial(ed.set_internal, tag=tag, index=index, volts_out=volts),
                )


def _converters(facts: Facts) -> Iterator[tuple[str, int, StepDown | StepUp]]:
    for tag, index, one in facts.of_kind(StepDown, StepUp):
        assert isinstance(one, StepDown | StepUp)
        yield tag, index, one


def _windows(facts: Facts, output: str) -> list[VoltWindow]:
    """What the loads on an output accept: the narrowest."""
    net = facts.net[output]
    found = [
        one.accepts
        for tag, one in facts.insides
        if isinstance(one, kinds.Load) and one.accepts and facts.net[f"{tag}.{one.plus}"] == net
    ]
    if not found:
        return []
    return [VoltWindow(least=max(w.least for w in found), most=min(w.most for w in found))]


def feed_from_the_wrong_position(facts: Facts) -> Iterator[Mutation]:
    """Each lead that takes a feed, on each other feed of the job."""
    job = facts.job
    feeds = _feed_joints(facts)
    for ref in _takers(facts):
        end = joined_end(job, lead_of(job, ref))
        if end is None:
            continue
        for joint, source in feeds.items():
            if facts.net[joint] == facts.net_of(ref) or source.live is None or source in facts.feeds(ref):
                continue
            yield Mutation(
                "feed from the wrong position",
                f"{end} on {joint} ({source.name})",
                tuple(dict.fromkeys((*places(job, (end,)), ref, joint))),
                fed_by(facts, ref, _needed_keys(facts, ref), joint, source),
                partial(_onto, end=end, joint=joint),
            )


def _onto(job: Job, end: str, joint: str) -> Job:
    return moved(job, end, joint)


def _takers(facts: Facts) -> list[str]:
    """Terminals that take a feed: loads, triggers, step-downs."""
    found = [
        ref
        for ref in facts.terminals
        if facts.cls(ref) == "feed" and facts.flow(ref) == "takes" and not facts.is_ours(ref)
    ]
    found += [f"{tag}.{one.input}" for tag, _, one in _converters(facts)]
    return [ref for ref in dict.fromkeys(found) if facts.feeds(ref)]


def _needed_keys(facts: Facts, ref: str) -> LiveIn | None:
    for tag, _, one in _converters(facts):
        if f"{tag}.{one.input}" == ref:
            net = facts.net[f"{tag}.{one.output}"]
            wanted = [facts.needed_keys(other) for other in facts.on_net[net] if part_of(other) != tag]
            known = [live for live in wanted if live is not None]
            return max(known, key=lambda live: len(live.keys), default=None)
    return facts.needed_keys(ref)


def _feed_joints(facts: Facts) -> dict[str, Source]:
    """The joints at which feeds come out of the car, or out of what makes one of its own."""
    found: dict[str, Source] = {}
    for ref, cavity in facts.terminals.items():
        gives = facts.cls(ref) == "feed" and facts.flow(ref) == "gives" and cavity.filled
        joint = facts.job.lookup.joint_of.get(ref)
        own = (
            [s for s in facts.feeds(ref) if s.name.replace(" ", ".") in (ref, facts.met(ref))]
            if gives
            else []
        )
        if joint and own:
            found[joint] = own[0]
    return found
