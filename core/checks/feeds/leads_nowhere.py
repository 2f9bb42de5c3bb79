"""Rule: part in the line that leads nowhere."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.insides import insides
from core.checks.mends import take_out_and_cap
from core.checks.phrases import places
from core.checks.registry import rule
from core.ids import part_of
from core.job.internals import Breaker, Diode, Fuse, Link, Relay, Resistor, SwitchContact

_PASSING = (Breaker, Diode, Fuse, Link, Relay, Resistor, SwitchContact)
"""A part of nothing else is there to pass something on."""


@rule(
    "part in the line that leads nowhere",
    "stop",
    under=("load dead where it is needed", "no return", "lead whose mate is empty or blocked"),
)
def leads_nowhere(ctx: Context) -> Iterator[Conflict | None]:
    """A fuse, diode, switch, resistor or relay contact is joined on one side, and on the other to nothing.

    Whatever was to be fed through it gets nothing, or gets it by another way that has no such part in it.

    Join its other side too, or take the part out.
    """
    done: set[str] = set()
    for part, ends, others in _in_line(ctx):
        yield None
        if not all(isinstance(internal, _PASSING) for internal in ctx.job.parts[part].internals):
            continue
        near = [end for end in ends if _reaches(ctx, end)]
        far = [end for end in others if _reaches(ctx, end)]
        if bool(near) == bool(far):
            continue
        lost = others if near else ends
        if part in done or any(ctx.undecided(end) for end in (*ends, *others)):
            continue
        done.add(part)
        held = near or far
        first = ctx.lead(lost[0])
        finish = ctx.job.finishes.get(first)
        why = f"Its lead is {finish.kind}." if finish else "Nothing is joined to it."
        yield Conflict(
            rule=leads_nowhere.name,
            level="stop",
            message=f"{places(ctx.job, [ctx.lead(end) for end in lost])} leads nowhere, while "
            f"{places(ctx.job, [ctx.lead(end) for end in held])} is joined: nothing passes through {part}.",
            why=why,
            mend="Join its other side too, or take the part out.",
            where=tuple(dict.fromkeys(ctx.lead(end) for end in (*lost, *held))),
            mends=_mends(ctx, [ctx.lead(end) for end in held]),
        )


def _mends(ctx: Context, held: list[str]) -> tuple[Mend, ...]:
    """Take the side that is joined out too: then it is a spare part."""
    joined = [lead for lead in held if lead in ctx.job.lookup.joint_of]
    if len(joined) != 1:
        return ()
    label = f"Take {ctx.job.shown(joined[0])} out too, and cap it"
    return (Mend(label, partial(take_out_and_cap, end=joined[0])),)


def _in_line(ctx: Context) -> Iterator[tuple[str, tuple[str, ...], tuple[str, ...]]]:
    """Every part that passes something on, and the terminals on its two sides."""
    elements = ctx.elements
    for fuse in elements.fuses:
        yield fuse.part, (fuse.a,), (fuse.b,)
    for diode in elements.diodes:
        yield diode.part, (diode.anode,), (diode.cathode,)
    for switch in insides(ctx, SwitchContact):
        yield switch.part, (switch.at(switch.it.a),), (switch.at(switch.it.b),)
    for resistor in insides(ctx, Resistor):
        yield resistor.part, (resistor.at(resistor.it.a),), (resistor.at(resistor.it.b),)
    for relay in elements.relays:
        yield relay.part, (relay.common,), tuple(end for end in (relay.make, relay.rest) if end)


def _reaches(ctx: Context, end: str) -> bool:
    """Whether conductors lead from a terminal to another part, or it meets one."""
    own = {part_of(end), part_of(ctx.lead(end))}
    return any(part_of(other) not in own for other in ctx.terminals(end))
