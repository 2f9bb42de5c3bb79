"""Joins: one forgotten, one too many, one made by its colour."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import combinations
from random import Random

from core import edits as ed
from core.ids import kind_of, part_of
from core.job.document import Job
from tests.mutation.expect import dropped, joined, remade, symmetrical
from tests.mutation.facts import Facts
from tests.mutation.made import Mutation, colour_of, decided, exchanged, on, places

MOST_PAIRS = 300
"""Pairs of nets tried in one job; of more, these many are drawn, the same ones every time."""
MOST_COLOURS = 200


def drop_a_join(facts: Facts) -> Iterator[Mutation]:
    """An end out of its joint: left open, and capped as well where what hangs on it is needed."""
    yield from _drops(facts, grounds=False)


def drop_a_ground(facts: Facts) -> Iterator[Mutation]:
    """The same on the nets of ground."""
    yield from _drops(facts, grounds=True)


def _drops(facts: Facts, grounds: bool) -> Iterator[Mutation]:
    kind = "drop a ground" if grounds else "drop a join"
    for joint in facts.job.joints.values():
        if facts.grounded(joint.id) != grounds:
            continue
        # Of a joint of two it is one and the same which is taken out.
        for end in joint.ends[: 1 if len(joint.ends) == 2 else None]:
            after = ed.unjoin(facts.job, end)
            expected = dropped(facts, Facts(after, facts.library))
            place = (*on(facts.job, end), *places(facts.job, joint.ends if len(joint.ends) == 2 else ()))
            yield Mutation(
                kind,
                f"{end} out of {joint.id}, open",
                tuple(dict.fromkeys(place)),
                expected,
                partial(ed.unjoin, end=end),
            )
            if expected.level == "stop":
                yield Mutation(
                    kind, f"{end} out of {joint.id}, capped", place, expected, partial(_drop_and_cap, end=end)
                )


def _drop_and_cap(job: Job, end: str) -> Job:
    return decided(job, ed.unjoin(job, end))


def join_two_nets(facts: Facts) -> Iterator[Mutation]:
    """Every two nets that hands can reach, up to a number of them."""
    for a, b in sampled(list(combinations(_reached(facts), 2)), MOST_PAIRS):
        yield Mutation(
            "join two nets",
            f"{a} with {b}",
            (*on(facts.job, a), *on(facts.job, b)),
            joined(facts, a, b),
            partial(ed.join, a=a, b=b),
        )


def pairs_of_nets(facts: Facts) -> int:
    """How many pairs there are, before any are left out."""
    number = len(_reached(facts))
    return number * (number - 1) // 2


def sampled(found: list[tuple[str, str]], most: int) -> list[tuple[str, str]]:
    return found if len(found) <= most else sorted(Random(most).sample(found, most))


def _reached(facts: Facts) -> list[str]:
    """One joint for each net; a capped lead where a net has none."""
    by_net: dict[int, str] = {}
    capped = [end for end, finish in facts.job.finishes.items() if finish.kind == "capped"]
    for ref in (*facts.job.joints, *capped):
        by_net.setdefault(facts.net_of(ref), ref)
    return list(by_net.values())


def colour_only_join(facts: Facts) -> Iterator[Mutation]:
    """Two leads of one colour, each joined where the other belongs."""
    job = facts.job
    ends = [end for joint in job.joints.values() for end in joint.ends if colour_of(job, end)]
    pairs = [
        (a, b)
        for a, b in combinations(sorted(ends), 2)
        if colour_of(job, a) == colour_of(job, b)
        and job.lookup.joint_of[a] != job.lookup.joint_of[b]
        and facts.net_of(a) != facts.net_of(b)
        and not _same_thing(facts, a, b)
    ]
    for a, b in sampled(pairs, MOST_COLOURS):
        after = Facts(exchanged(job, a, b), facts.library)
        yield Mutation(
            "colour-only join",
            f"{a} with {b}, both {colour_of(job, a)}",
            places(job, (a, b)),
            remade(facts, after),
            partial(exchanged, first=a, second=b),
        )


def _same_thing(facts: Facts, a: str, b: str) -> bool:
    """The two ends of one wire, or of a part that works either way round."""
    if kind_of(a) == "wire end" or kind_of(b) == "wire end":
        return a.partition(":")[0] == b.partition(":")[0]
    return part_of(a) == part_of(b) and symmetrical(facts, a, b)
