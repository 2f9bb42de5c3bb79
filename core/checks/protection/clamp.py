"""Rule: relay coil without clamp on an electronic output."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.registry import rule
from core.circuit.elements import RelayPart
from core.circuit.positions import Position
from core.edits.internals import set_internal
from core.edits.replacing import replace_part
from core.ids import local
from core.job.internals import LowSideOutput, Relay
from core.job.parts import Part


@rule("relay coil without clamp on an electronic output", "stop", needs=("levels",))
def coil_without_clamp(ctx: Context) -> Iterator[Conflict | None]:
    """A relay's coil has neither diode nor resistor across it.

    When it is switched off the coil gives a pulse of a hundred volts and more. On the output of a receiver or
    an interface that pulse destroys the output; on a switch it wears the contacts and disturbs the rest.

    Fit a relay with a diode or resistor inside, or a diode across the coil, its stripe at plus.
    """
    devices = ctx.levels.engine.plan.devices
    low = {
        ctx.graph.net_of(f"{tag}.{it.terminal}"): f"{tag}.{it.terminal}"
        for tag, it in devices.values()
        if isinstance(it, LowSideOutput)
    }
    for relay in ctx.elements.relays:
        yield None
        it = devices[relay.name][1] if relay.name in devices else None
        if not isinstance(it, Relay) or it.clamp != "none" or _diode_across(ctx, relay):
            continue
        ends = (relay.coil_plus, relay.coil_minus)
        if any(ctx.undecided(ref) for ref in ends) or not all(
            len(ctx.graph.members(ref)) > 1 for ref in ends
        ):
            continue
        output = _output(ctx, relay) or next(
            (low[net] for ref in ends if (net := ctx.graph.net_of(ref)) in low), None
        )
        yield _conflict(ctx, relay, it, output)


def _output(ctx: Context, relay: RelayPart) -> str | None:
    """The output that feeds the coil."""
    for ref in (relay.coil_plus, relay.coil_minus):
        for position in ctx.levels.ever_live(ref):
            for drive in ctx.levels.feeds(ref, position):
                if drive.source.kind == "output":
                    return drive.source.terminal
    return None


def _diode_across(ctx: Context, relay: RelayPart) -> bool:
    """Whether a diode of its own lies across the coil."""
    coil = {ctx.graph.net_of(relay.coil_plus), ctx.graph.net_of(relay.coil_minus)}
    return any({ctx.graph.net_of(d.anode), ctx.graph.net_of(d.cathode)} == coil for d in ctx.elements.diodes)


def _conflict(ctx: Context, relay: RelayPart, it: Relay, output: str | None) -> Conflict:
    coil = ctx.job.shown(ctx.lead(relay.coil_plus))
    if output is not None:
        lead = ctx.lead(output)
        by = f"{ctx.job.shown(lead)} ({ctx.words(lead)}) works it: its pulse would destroy that output."
    else:
        by = "A switch works it: its pulse wears the contact and disturbs the rest."
    return Conflict(
        rule=coil_without_clamp.name,
        level="stop" if output is not None else "look",
        message=f"The coil at {coil} has no clamp. {by}",
        why="A coil that is switched off gives a pulse of a hundred volts and more.",
        mend="Fit a relay with a diode or resistor inside.",
        where=tuple(
            ctx.lead(ref) for ref in (relay.coil_plus, relay.coil_minus, *([output] if output else []))
        ),
        mends=_mends(ctx, relay, it),
    )


def _mends(ctx: Context, relay: RelayPart, it: Relay) -> tuple[Mend, ...]:
    """Another relay of the shelf with the same terminals, else a clamp across this one.

    A diode only where plus of the coil is never below its minus: else it would short the feed.
    """
    upright = all(_upright(ctx, relay, position) for position in ctx.positions)
    here = ctx.job.parts[relay.part]
    names = {local(ref) for ref in here.cavities}
    for entry in ctx.library.parts.values():
        other = _relay(entry.part)
        if other is None or {local(ref) for ref in entry.part.cavities} != names:
            continue
        same = (
            other.coil_plus,
            other.coil_minus,
            other.coil_ohms,
            other.contact_amps,
            other.common,
            other.make,
        )
        mine = (it.coil_plus, it.coil_minus, it.coil_ohms, it.contact_amps, it.common, it.make)
        if same == mine and (other.clamp == "resistor" or (other.clamp == "diode" and upright)):
            part = entry.part.changed(library=entry.name)
            edit = partial(replace_part, tag=relay.part, new_part=part)
            return (Mend(f"Fit {entry.name[:1].lower()}{entry.name[1:]}", edit),)
    index = int(relay.name.rpartition("#")[2])
    clamp = "diode" if upright else "resistor"
    edit = partial(set_internal, tag=relay.part, index=index, clamp=clamp)
    return (Mend(f"Put a {clamp} across the coil of {relay.part}", edit),)


def _relay(part: Part) -> Relay | None:
    found = [it for it in part.internals if isinstance(it, Relay)]
    return found[0] if len(found) == 1 and part.state == "to fit" else None


def _upright(ctx: Context, relay: RelayPart, position: Position) -> bool:
    point = ctx.levels.point(position)
    plus, minus = point.volts(relay.coil_plus), point.volts(relay.coil_minus)
    return plus is None or minus is None or plus >= minus - 0.01
