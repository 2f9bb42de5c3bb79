"""Rule: step-down backwards."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.mends import exchange
from core.checks.phrases import names, when
from core.checks.registry import rule
from core.units import show_volts


@rule("step-down backwards", "stop", needs=("levels",), under=("feed shorted to ground",))
def step_down_backwards(ctx: Context) -> Iterator[Conflict | None]:
    """A step-down is fed at its output.

    It does not step anything down then: it passes the full volts back to its input through its own switch, or
    it burns. Whatever hangs on the other side gets the volts of the feed.

    Turn it round: the feed on its input, the part on its output.
    """
    for step_down in ctx.elements.step_downs:
        yield None
        positions = [p for p in ctx.positions if ctx.levels.fed_backwards(step_down, p)]
        # One that works in some position is the right way round: another feed was joined to its output.
        if not positions or ctx.levels.steps_down(step_down):
            continue
        drive = ctx.levels.fed_backwards(step_down, positions[0])
        assert drive is not None
        path = ctx.levels.path(drive, step_down.output)
        volts = max(abs(d.volts) for p in positions if (d := ctx.levels.fed_backwards(step_down, p)))
        ends = [ctx.joined_end(ref) for ref in (step_down.input, step_down.output)]
        mends: tuple[Mend, ...] = ()
        if ends[0] and ends[1]:
            turn = partial(exchange, first=ends[0], second=ends[1])
            mends = (Mend(f"Turn {step_down.part} round", turn),)
        yield Conflict(
            rule=step_down_backwards.name,
            level="stop",
            message=f"{step_down.part} is the wrong way round: its output "
            f"{ctx.job.shown(step_down.output)} would be fed with {show_volts(volts)} "
            f"{when(positions, ctx.positions)}.",
            why="Fed at its output it steps nothing down: the volts reach the other side, or it burns.",
            mend="Exchange its input and its output.",
            where=(step_down.output, step_down.input),
            wires=ctx.conductors(path),
            path=path,
            positions=names(positions),
            numbers={"volts": volts},
            mends=mends,
        )
