"""Rule: ladder read against the wrong reference."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.mends import ground
from core.checks.phrases import names
from core.checks.registry import rule
from core.checks.signals.ladders import AT_REST, Read, alone_volts, reads, solved_volts
from core.circuit.positions import Position


@rule(
    "ladder read against the wrong reference",
    "look",
    needs=("levels",),
    under=("feed shorted to ground", "no return"),
    over=("functions that do not belong together", "two buttons closer than the reader's tolerance"),
)
def wrong_reference(ctx: Context) -> Iterator[Conflict | None]:
    """The reader of a button ladder does not count from the buttons' own ground: theirs is on the body, or on
    nothing.

    The volts of the buttons move with whatever amps lift one ground against the other. One button works as
    its neighbour, with the lights on or the fan at full; without any reference none works.

    Join the reader's reference to the buttons' own ground, and to nothing else.
    """
    for read in reads(ctx):
        yield None
        if read is None:
            continue
        theirs, mine = read.ladder_reference, read.reference
        nets = [ctx.graph.net_of(ref) for ref in (theirs, mine)]
        if nets[0] == nets[1] or ctx.undecided(theirs) or ctx.undecided(mine):
            continue
        yield _conflict(ctx, read)


def _conflict(ctx: Context, read: Read) -> Conflict:
    position = ctx.positions[-1]
    for each in ctx.positions:
        if each.key == "running":
            position = each
            break
    should, seen = alone_volts(read), solved_volts(ctx, read, position)
    leads = (ctx.lead(read.reference), ctx.lead(read.ladder_reference))
    message, numbers = _moved(read, should, seen, position)
    return Conflict(
        rule=wrong_reference.name,
        level="look",
        message=f"{read.reader.part} counts from {ctx.job.shown(leads[0])}, the buttons from "
        f"{ctx.job.shown(leads[1])}: {message}",
        why="The two are not joined by a lead of their own.",
        mend="Join the reader's reference to the buttons' own ground.",
        where=(*leads, ctx.lead(read.terminal)),
        wires=ctx.graph.conductors(leads[0]),
        positions=names([position]),
        numbers=numbers,
        mends=_together(ctx, read),
    )


def _moved(
    read: Read, should: Mapping[str, float], seen: Mapping[str, float | None], position: Position
) -> tuple[str, dict[str, float]]:
    """How the buttons read: those that fold together first, else the one that moves most."""
    known = {button: volts for button, volts in seen.items() if volts is not None}
    held = {button: volts for button, volts in known.items() if button != AT_REST}
    if not held:
        return "no button can be told.", {}
    least = read.least_volts
    idle = known.get(AT_REST)
    if idle is not None and all(abs(volts - idle) < least for volts in held.values()):
        return "no button would read otherwise than none held.", {"apart_volts": 0.0}
    worst = max(held, key=lambda button: abs(held[button] - should[button]))
    off = held[worst] - should[worst]
    near = min(should, key=lambda button: (abs(should[button] - held[worst]), button))
    reads_as = f", as {near if near == AT_REST else f'“{near}”'} should" if near != worst else ""
    says = (
        f"“{worst}” would read {held[worst]:.2f} V in {position.name} instead of {should[worst]:.2f} V"
        f"{reads_as}."
    )
    return says, {"off_volts": off, "least_volts": least}


def _together(ctx: Context, read: Read) -> tuple[Mend, ...]:
    """The reader's reference out of what it is in, to the ladder's own."""
    end, to = ctx.lead(read.reference), ctx.lead(read.ladder_reference)
    if ctx.undecided(end) or to in ctx.job.finishes or ctx.joined_end(to) == ctx.joined_end(end):
        return ()
    place = ctx.joint_at(to)
    if place is not None and any(ctx.levels.ever_grounded(ref) for ref in ctx.terminals(place)):
        return ()
    label = f"Join {ctx.job.shown(end)} to {ctx.job.shown(to)}"
    return (Mend(label, partial(ground, end=end, to=place or to)),)
