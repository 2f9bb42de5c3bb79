"""Rule: load below the amplifier's least ohms."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.insides import Inside, insides
from core.checks.mends import take_out
from core.checks.phrases import listed, places
from core.checks.registry import rule
from core.checks.speakers.outputs import Output
from core.job.internals import Speaker, SpeakerOutput
from core.net.graph import Net
from core.units import show_ohms


@rule(
    "load below the amplifier's least ohms",
    "stop",
    under=("two amplifiers on one pair",),
    limits=("speaker_least_share",),
)
def least_ohms(ctx: Context) -> Iterator[Conflict | None]:
    """The speakers on an output are fewer ohms together than it is made for.

    It gives more amps than it stands: it gets hot, shuts down while playing loud, or burns.

    Join the speakers one behind the other, or use an amplifier made for so few ohms.
    """
    speakers: dict[frozenset[Net | None], list[Inside[Speaker]]] = {}
    for speaker in insides(ctx, Speaker):
        nets = frozenset(ctx.graph.net_of(speaker.at(lead)) for lead in (speaker.it.plus, speaker.it.minus))
        speakers.setdefault(nets, []).append(speaker)
    for output in insides(ctx, SpeakerOutput):
        yield None
        least = output.it.least_ohms
        leads = (output.at(output.it.plus), output.at(output.it.minus))
        there = speakers.get(frozenset(map(ctx.graph.net_of, leads)), [])
        if least is None or not there:
            continue
        ohms = 1 / sum(1 / speaker.it.ohms for speaker in there)
        if ohms >= least * ctx.limits["speaker_least_share"]:
            continue
        yield _conflict(ctx, output, there, ohms, least)


def _conflict(
    ctx: Context, output: Output, there: list[Inside[Speaker]], ohms: float, least: float
) -> Conflict:
    leads = tuple(ctx.lead(output.at(lead)) for lead in (output.it.plus, output.it.minus))
    theirs = [ctx.lead(s.at(lead)) for s in there for lead in (s.it.plus, s.it.minus)]
    several = len(there) > 1
    each = listed([show_ohms(speaker.it.ohms) for speaker in there])
    why = f"{len(there)} speakers of {each} are side by side" if several else f"Its speaker is of {each}"
    mends: tuple[Mend, ...] = ()
    ends = tuple(end for lead in theirs[-2:] if (end := ctx.joined_end(lead)) is not None)
    if several and len(ends) == 2:
        mends = (Mend(f"Take {places(ctx.job, ends)} out", partial(take_out, ends=ends)),)
    return Conflict(
        rule=least_ohms.name,
        level="stop",
        message=f"{places(ctx.job, leads)} would drive {show_ohms(ohms)}; {output.part} is made for "
        f"{show_ohms(least)} at the least.",
        why=f"{why}.",
        mend="Join the speakers one behind the other, or use an amplifier made for so few ohms.",
        where=(*leads, *dict.fromkeys(theirs)),
        wires=tuple(sorted({*ctx.graph.conductors(leads[0]), *ctx.graph.conductors(leads[1])})),
        numbers={"ohms": ohms, "least_ohms": least},
        mends=mends,
    )
