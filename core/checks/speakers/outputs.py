"""Which amplifier outputs stand on one net: what several rules about speakers start from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from core.checks.context import Context
from core.checks.insides import Inside, insides
from core.circuit.roles import is_pigtail
from core.job.internals import Speaker, SpeakerOutput
from core.net.graph import Net

Output = Inside[SpeakerOutput]


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two outputs whose leads meet: the terminals of each, in the order of the nets they meet on."""

    one: Output
    other: Output
    ones: tuple[str, ...]
    others: tuple[str, ...]


def meetings(ctx: Context) -> Iterator[Meeting | None]:
    """Every two outputs of which leads meet on a net that leads to more than unused leads of their part.

    The minus leads of single-ended outputs are on ground all, and may meet.
    """
    by_net: dict[Net, list[tuple[Output, str]]] = {}
    for output in insides(ctx, SpeakerOutput):
        yield None
        leads = (output.it.plus, output.it.minus) if output.it.bridged else (output.it.plus,)
        for lead in map(output.at, leads):
            net = ctx.graph.net_of(lead)
            if net is not None:
                by_net.setdefault(net, []).append((output, lead))
    found: dict[tuple[str, str], tuple[Output, Output, list[str], list[str]]] = {}
    for there in by_net.values():
        if len({output.name for output, _ in there}) < 2 or unused_alone(ctx, there[0][1]):
            continue
        first, lead = there[0]
        for output, other in there[1:]:
            if output.name == first.name:
                continue
            _, _, ones, others = found.setdefault((first.name, output.name), (first, output, [], []))
            ones.append(lead)
            others.append(other)
    for one, other_output, ones, others in found.values():
        yield Meeting(one, other_output, tuple(ones), tuple(others))


@dataclass(frozen=True, slots=True)
class Between:
    """A speaker whose one lead is on one output, and whose other lead is on another.

    `leads`: the output's lead at its plus, and that at its minus.
    """

    speaker: Inside[Speaker]
    one: Output
    other: Output
    leads: tuple[str, str]


def between(ctx: Context) -> Iterator[Between | None]:
    """Every speaker that stands between two bridged outputs."""
    by_net: dict[Net | None, list[tuple[Output, str]]] = {}
    for output in insides(ctx, SpeakerOutput):
        yield None
        for lead in (output.it.plus, output.it.minus) if output.it.bridged else ():
            by_net.setdefault(ctx.graph.net_of(output.at(lead)), []).append((output, output.at(lead)))
    for speaker in insides(ctx, Speaker):
        yield None
        nets = [ctx.graph.net_of(speaker.at(lead)) for lead in (speaker.it.plus, speaker.it.minus)]
        at_plus, at_minus = (by_net.get(net, []) for net in nets)
        if not at_plus or not at_minus or {o.name for o, _ in at_plus} & {o.name for o, _ in at_minus}:
            continue
        (one, plus), (other, minus) = at_plus[0], at_minus[0]
        yield Between(speaker, one, other, (plus, minus))


def unused_alone(ctx: Context, ref: str) -> bool:
    """Whether a net is of nothing but outputs of one part: unused leads that were put together."""
    speaking = [one for one in ctx.terminals(ref) if not is_pigtail(ctx.job, one)]
    if len({ctx.cavity(one).function for one in speaking}) < 2:
        return False
    return len({one.partition(".")[0] for one in speaking}) == 1 and all(
        ctx.flow(one) == "gives" and ctx.side(one) == "equipment" for one in speaking
    )
