"""Rule: leads joined across channels."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.mends import exchange
from core.checks.parting import apart, meeting_point
from core.checks.phrases import places
from core.checks.registry import rule
from core.checks.speakers.outputs import Between, between, meetings


@rule(
    "leads joined across channels",
    "stop",
    needs=("levels",),
    under=("feed shorted to ground", "speaker lead grounded"),
    over=("functions that do not belong together", "plus and minus exchanged"),
)
def across_channels(ctx: Context) -> Iterator[Conflict | None]:
    """Leads of two channels of one amplifier meet on one net, or a speaker stands between two channels.

    Each output drives against the other whenever they play different sounds: both get hot, and shut down or
    burn. A speaker between two channels plays what they differ in.

    Part them: each speaker has two leads of its own.
    """
    for met in meetings(ctx):
        yield None
        if met is None or met.one.part != met.other.part:
            continue
        leads = tuple(dict.fromkeys(map(ctx.lead, (*met.ones, *met.others))))
        path = ctx.graph.path(met.ones[0], met.others[0])
        first, second = leads[0], ctx.lead(met.others[0])
        more = [lead for lead in leads if lead not in (first, second)]
        also = f" (and {places(ctx.job, more)})" if more else ""
        yield Conflict(
            rule=across_channels.name,
            level="stop",
            message=f"{ctx.job.shown(first)} ({ctx.words(first)}) and {ctx.job.shown(second)} "
            f"({ctx.words(second)}){also} are joined: two channels of {met.one.part} would drive into "
            "each other.",
            why=f"They meet at {ctx.job.shown(meeting_point(ctx, path))}.",
            mend="Part them.",
            where=leads,
            wires=ctx.conductors(path),
            path=path,
            mends=apart(ctx, path, met.ones, met.others) if len(met.ones) == 1 else (),
        )
    found: dict[frozenset[str], list[Between]] = {}
    for one in between(ctx):
        yield None
        if one is not None:
            found.setdefault(frozenset((one.one.name, one.other.name)), []).append(one)
    for speakers in found.values():
        yield _between(ctx, speakers)


def _between(ctx: Context, speakers: list[Between]) -> Conflict:
    first = speakers[0]
    leads = [ctx.lead(lead) for one in speakers for lead in one.leads]
    theirs = [
        ctx.lead(one.speaker.at(lead))
        for one in speakers
        for lead in (one.speaker.it.plus, one.speaker.it.minus)
    ]
    shown = [f"{ctx.job.shown(lead)} ({ctx.words(lead)})" for lead in leads[:2]]
    # What stands at its minus changes places with the lead that belongs there.
    ends = (ctx.joined_end(first.leads[1]), ctx.joined_end(_twin(first)))
    mends: tuple[Mend, ...] = ()
    joints = ctx.job.lookup.joint_of
    if ends[0] and ends[1] and joints[ends[0]] != joints[ends[1]]:
        label = f"Exchange {places(ctx.job, [end for end in ends if end])}"
        mends = (Mend(label, partial(exchange, first=ends[0], second=ends[1])),)
    return Conflict(
        rule=across_channels.name,
        level="stop",
        message=f"A speaker stands between {shown[0]} and {shown[1]}: two channels would drive into each "
        "other through it.",
        why=f"{places(ctx.job, dict.fromkeys(theirs))} go to two channels.",
        mend="Join both leads of each speaker to one channel.",
        where=tuple(dict.fromkeys((*leads, *theirs))),
        wires=tuple(sorted({w for lead in leads for w in ctx.graph.conductors(lead)})),
        mends=mends,
    )


def _twin(one: Between) -> str:
    """The other lead of the output that the speaker's plus is on."""
    output = one.one
    plus, minus = output.at(output.it.plus), output.at(output.it.minus)
    return minus if one.leads[0] == plus else plus
