"""Rule: outputs with no speaker or amplifier."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.insides import insides
from core.checks.phrases import places
from core.checks.registry import rule
from core.checks.speakers.outputs import Output, unused_alone
from core.job.internals import SpeakerOutput


@rule(
    "outputs with no speaker or amplifier",
    "look",
    under=(
        "speaker lead grounded",
        "unused leads joined together",
        "lead that is live with no cap",
        "functions that do not belong together",
        "not decided",
    ),
)
def no_speaker(ctx: Context) -> Iterator[Conflict | None]:
    """A part's speaker outputs are joined to leads that come to no speaker and no amplifier, or only one lead
    of a pair does.

    They play nothing. Outputs that nothing needs are no fault, as long as each is capped.

    Join both leads to one speaker, or cap both.
    """
    idle: dict[str, list[Output]] = {}
    for output in insides(ctx, SpeakerOutput):
        yield None
        leads = (output.at(output.it.plus), output.at(output.it.minus))
        taken = [lead for lead in leads if _taken(ctx, lead)]
        if len(taken) == 2:
            continue
        if any(ctx.undecided(lead) for lead in leads) or any(unused_alone(ctx, lead) for lead in leads):
            continue
        if not taken:
            idle.setdefault(output.part, []).append(output)
        elif output.it.bridged:
            yield _half(ctx, *leads, taken[0])
    for part, outputs in idle.items():
        if not _put_away(ctx, outputs):
            yield _idle(ctx, part, outputs)


def _taken(ctx: Context, lead: str) -> bool:
    """Whether a speaker or an input stands at its net; what is on ground is on a speaker's way back too."""
    return any(
        ctx.cls(ref) in ("speaker", "line", "none") and ctx.flow(ref) in ("takes", "none")
        for ref in ctx.terminals(lead)
    )


def _put_away(ctx: Context, outputs: list[Output]) -> bool:
    """Whether nothing leads on from any of them: each was capped or pulled, or has no lead at all."""
    return not any(ctx.joined(o.at(lead)) for o in outputs for lead in (o.it.plus, o.it.minus))


def _half(ctx: Context, plus: str, minus: str, taken: str) -> Conflict:
    loose = minus if taken == plus else plus
    place = ctx.lead(loose)
    return Conflict(
        rule=no_speaker.name,
        level="look",
        message=f"{ctx.job.shown(place)} ({ctx.words(loose)}) leads to no speaker, while "
        f"{ctx.job.shown(ctx.lead(taken))} does: the speaker would be silent.",
        why="A speaker plays between the two leads of its pair.",
        mend="Join both leads to one speaker, or cap both.",
        where=(place, ctx.lead(taken)),
    )


def _idle(ctx: Context, part: str, outputs: list[Output]) -> Conflict:
    refs = [ctx.lead(o.at(lead)) for o in outputs for lead in (o.it.plus, o.it.minus)]
    return Conflict(
        rule=no_speaker.name,
        level="note",
        message=f"{places(ctx.job, refs)} of {part} are joined, and lead to no speaker and no amplifier.",
        why="What they are joined to takes no sound.",
        mend="Join them to a speaker, or cap them.",
        where=tuple(refs),
    )
