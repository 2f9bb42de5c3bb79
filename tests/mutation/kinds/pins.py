"""Pins: two exchanged, a face read from the wrong side, a speaker turned round."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import combinations

from core import edits as ed
from core.ids import split_terminal, terminal
from core.job import internals as kinds
from core.job.document import Job
from core.job.parts import Connector
from tests.mutation.expect import GRAVE, role, swapped, symmetrical
from tests.mutation.facts import Facts
from tests.mutation.made import Expected, Mutation, exactly, joined_end, lead_of, places, unseen


def swap_two_pins(facts: Facts) -> Iterator[Mutation]:
    """Two leads of one connector in each other's cavity, whatever is joined to them."""
    for connector in _connectors(facts):
        for first, second in combinations(connector, 2):
            if frozenset((first, second)) in _speaker_pairs(facts):
                continue
            yield Mutation(
                "swap two pins",
                f"{first} with {second}",
                places(facts.job, (first, second)),
                swapped(facts, first, second),
                partial(ed.swap_pins, terminal_1=first, terminal_2=second),
            )


def reversed_speaker(facts: Facts) -> Iterator[Mutation]:
    """Look."""
    for pair in _speaker_pairs(facts):
        first, second = sorted(pair)
        if any(joined_end(facts.job, ref) is None for ref in pair):
            continue
        yield Mutation(
            "reversed speaker",
            f"{first} with {second}",
            places(facts.job, (first, second)),
            exactly("look", "plus and minus of one speaker"),
            partial(ed.swap_pins, terminal_1=first, terminal_2=second),
        )


def mirror_a_face(facts: Facts) -> Iterator[Mutation]:
    """Stop if a feed or ground moves; else Look."""
    for part in facts.job.parts.values():
        for connector in part.connectors:
            moving = _mirrored(facts.job, part.id, connector)
            changing = [pair for pair in moving if not _same(facts, *pair)]
            if not moving:
                continue
            grave = [ref for pair in changing for ref in pair if role_of(facts, ref) & {"feed", "ground"}]
            expected = (
                exactly("stop", f"{grave[0]} moves") if grave else Expected("look", "stop", "signals move")
            )
            if not changing:
                expected = unseen("every pin meets one that is for the same")
            yield Mutation(
                "mirror a face",
                f"{part.id}.{connector.name}",
                places(facts.job, [ref for pair in moving for ref in pair]),
                expected,
                partial(_swap_all, pairs=moving),
            )


def role_of(facts: Facts, ref: str) -> frozenset[str]:
    """What is at a pin; nothing where there is no lead."""
    cavity = facts.terminals.get(ref)
    there = cavity is not None and cavity.filled and ref in facts.net
    return (role(facts, ref) | facts.carries(ref)) & GRAVE if there else frozenset()


def _same(facts: Facts, first: str, second: str) -> bool:
    there = [ref in facts.net and facts.terminals[ref].filled for ref in (first, second)]
    return all(there) and (facts.net_of(first) == facts.net_of(second) or symmetrical(facts, first, second))


def _swap_all(job: Job, pairs: list[tuple[str, str]]) -> Job:
    for first, second in pairs:
        job = ed.swap_pins(job, first, second)
    return job


def _mirrored(job: Job, tag: str, connector: Connector) -> list[tuple[str, str]]:
    """The pins of a face that hold copper of ours, each with the one in the mirror."""
    face = connector.face
    if face is None or job.parts[tag].state == "on the car":
        return []
    found = []
    for row in face.grid:
        for pin, other in zip(row[: face.columns // 2], reversed(row), strict=False):
            if pin is None or other is None or {pin, other} - connector.by_pin.keys():
                continue
            pair = (terminal(tag, connector.name, pin), terminal(tag, connector.name, other))
            if any(_has_copper(job, ref) for ref in pair):
                found.append(pair)
    return found


def _has_copper(job: Job, ref: str) -> bool:
    cavity = job.cavity(ref)
    return bool(cavity and cavity.lead) or ref in job.lookup.crimped


def _connectors(facts: Facts) -> Iterator[list[str]]:
    """The pins with copper of ours, connector by connector."""
    by_connector: dict[str, list[str]] = {}
    for ref, cavity in facts.terminals.items():
        if cavity.filled and _has_copper(facts.job, ref):
            name = split_terminal(ref)
            by_connector.setdefault(f"{name.part}.{name.connector}", []).append(ref)
    yield from (refs for refs in by_connector.values() if len(refs) > 1)


def _speaker_pairs(facts: Facts) -> set[frozenset[str]]:
    found = set()
    for tag, one in facts.insides:
        if isinstance(one, kinds.Speaker | kinds.SpeakerOutput):
            pair = (lead_of(facts.job, f"{tag}.{one.plus}"), lead_of(facts.job, f"{tag}.{one.minus}"))
            capped = any(ref in facts.job.finishes for ref in pair)
            if not capped:
                found.add(frozenset(pair))
    return found
