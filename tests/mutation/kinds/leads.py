"""Leads that go nowhere, and the buttons' own ground."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core import edits as ed
from core.ids import kind_of
from core.job import internals as kinds
from core.job.document import Job
from tests.mutation.facts import Facts, joints_of
from tests.mutation.made import Expected, Mutation, exactly, joined_end, lead_of, moved, places


def missing_cap(facts: Facts) -> Iterator[Mutation]:
    """Stop if ever live or a speaker lead; else Look. Left open; where it must be Stop, also for a reason."""
    for end, finish in facts.job.finishes.items():
        if finish.kind != "capped" or kind_of(end) != "terminal":
            continue
        live = _ever_live(facts, end)
        expected = exactly("stop", live) if live else exactly("look", "never live")
        yield Mutation("missing cap", f"{end} open", (end,), expected, partial(ed.clear_finish, ends=[end]))
        if live:
            yield Mutation("missing cap", f"{end} left", (end,), expected, partial(_left, end=end))


def _left(job: Job, end: str) -> Job:
    return ed.leave(ed.clear_finish(job, [end]), [end], "not needed on this job")


def _ever_live(facts: Facts, end: str) -> str:
    if facts.feeds(end):
        return "live"
    if facts.cls(end) == "speaker":
        return "a speaker lead"
    gives = facts.cls(end) in ("feed", "output") and facts.flow(end) == "gives"
    return "live" if gives else ""


def ladder_reference_to_body(facts: Facts) -> Iterator[Mutation]:
    """Look."""
    job = facts.job
    ground = next((joint for joint in job.joints if facts.grounded(joint)), None)
    references = [
        f"{tag}.{one.reference}"
        for tag, one in facts.insides
        if isinstance(one, kinds.ButtonLadder | kinds.LadderReader)
    ]
    for ref in dict.fromkeys(references):
        end = joined_end(job, lead_of(job, ref))
        if end is None or ground is None or facts.grounded(ref):
            continue
        joint = job.lookup.joint_of[end]
        yield Mutation(
            "ladder reference to body",
            f"{end} on {ground}",
            tuple(dict.fromkeys((*places(job, (end,)), ref, ground))),
            Expected("look", "stop", "against the body"),
            partial(_to, end=end, joint=ground),
        )
        yield Mutation(
            "ladder reference to body",
            f"{joint} of {ref} with {ground}",
            (*joints_of(facts, facts.net_of(ref)), ground, ref),
            Expected("look", "look", "against the body"),
            partial(ed.join, a=joint, b=ground),
        )


def _to(job: Job, end: str, joint: str) -> Job:
    return moved(job, end, joint)
