"""One mistake, and the hands' moves that the kinds of mistakes share."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from core import edits as ed
from core.checks.finding import LEVELS, Level
from core.ids import kind_of, other_end, owner_of_end
from core.job.document import Job
from tests.mutation.facts import Facts


@dataclass(frozen=True)
class Expected:
    """`level`: what must be said at least. `most`: the gravest that is still right.

    `unseen`: why the document does not show the mistake at all; then nothing is expected.
    """

    level: Level
    most: Level = "stop"
    why: str = ""
    unseen: str = ""

    def met_by(self, level: Level) -> bool:
        return LEVELS.index(level) <= LEVELS.index(self.level)

    def right(self, level: Level) -> bool:
        return self.met_by(level) and LEVELS.index(level) >= LEVELS.index(self.most)


def exactly(level: Level, why: str = "") -> Expected:
    return Expected(level, level, why)


def unseen(why: str) -> Expected:
    return Expected("note", "stop", "", why)


@dataclass(frozen=True)
class Mutation:
    """`what` tells it from all others of its kind in the job; `place` are the ids hands were on."""

    kind: str
    what: str
    place: tuple[str, ...]
    expected: Expected
    edit: Callable[[Job], Job]


Kind = Callable[[Facts], Iterator[Mutation]]


def on(job: Job, end: str) -> tuple[str, ...]:
    """An end with the joint it stands in and the wires in its cavity: what hands touch there."""
    joint = job.lookup.joint_of.get(end)
    crimped = (owner_of_end(wire) for wire in job.lookup.crimped.get(end, ()))
    return (owner_of_end(end), *((joint,) if joint else ()), *crimped)


def places(job: Job, ends: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(ref for end in ends for ref in on(job, end)))


def joined_end(job: Job, ref: str) -> str | None:
    """The end in a joint that stands for a terminal: its lead, or the far end of the wire in its cavity."""
    far = (other_end(end) for end in job.lookup.crimped.get(ref, ()))
    return next((end for end in (ref, *far) if end in job.lookup.joint_of), None)


def lead_of(job: Job, ref: str) -> str:
    """The terminal hands reach a car's cavity by: that of our plug in it."""
    other = job.lookup.meets.get(ref)
    return other if other is not None and job.parts[ref.partition(".")[0]].state == "on the car" else ref


def decided(before: Job, after: Job) -> Job:
    """What the mistake left hanging, capped as if on purpose: one mistake is one."""
    was_open = set(ed.open_ends(before))
    return ed.cap(after, [end for end in ed.open_ends(after) if end not in was_open])


def moved(job: Job, end: str, target: str) -> Job:
    """An end taken out of its joint and put into another; what it leaves alone is capped."""
    return decided(job, ed.join(ed.unjoin(job, end), end, target))


def exchanged(job: Job, first: str, second: str) -> Job:
    """Each of two joined ends put where the other is."""
    one, other = job.lookup.joint_of[first], job.lookup.joint_of[second]
    changed = dict(job.joints)
    for joint, here, there in ((one, first, second), (other, second, first)):
        ends = tuple(there if end == here else end for end in changed[joint].ends)
        changed[joint] = ed.replaced(changed[joint], ends=ends)
    return ed.replaced(job, joints=changed)


def bridged(job: Job, tag: str, pairs: Iterable[tuple[str, str]]) -> Job:
    """A part taken away, and what was joined to each `a` joined to what was joined to its `b`."""
    rest: list[tuple[list[str], list[str]]] = []
    for a, b in pairs:
        sides = []
        for ref in (a, b):
            end = joined_end(job, ref)
            joint = job.lookup.joint_of[end] if end else None
            ends = job.joints[joint].ends if joint else ()
            sides.append([e for e in ends if e != end and not e.startswith(f"{tag}.")])
        rest.append((sides[0], sides[1]))
    after = ed.remove_parts(job, [tag])
    for left, right in rest:
        if (
            left
            and right
            and after.lookup.joint_of.get(left[0], "a") != after.lookup.joint_of.get(right[0], "b")
        ):
            after = ed.join(after, left[0], right[0])
    return decided(job, after)


def with_gauge(job: Job, ref: str, gauge: str) -> Job:
    match kind_of(ref):
        case "terminal":
            return ed.set_lead(job, ref, gauge=gauge)
        case "wire":
            return ed.set_wire(job, ref, gauge=gauge)
        case _:
            return ed.set_conductor(job, ref, gauge=gauge)


def colour_of(job: Job, end: str) -> str | None:
    if kind_of(end) == "wire end":
        return job.lookup.conductors[owner_of_end(end)].colour
    cavity = job.cavity(end)
    return cavity.lead.colour if cavity and cavity.lead else None
