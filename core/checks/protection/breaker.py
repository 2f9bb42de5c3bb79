"""Rule: self-resetting breaker on an unattended load."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.phrases import names
from core.checks.registry import rule
from core.job.internals import Breaker


@rule("self-resetting breaker on an unattended load", "look", needs=("levels",))
def resetting_breaker(ctx: Context) -> Iterator[Conflict | None]:
    """A breaker that closes again by itself is live with the key off.

    On a short it opens and closes for hours while nobody is there: the wire is heated again each time, until
    its insulation gives way.

    Fit a fuse, or a breaker that is reset by hand.
    """
    devices = ctx.levels.engine.plan.devices
    for breaker in ctx.elements.fuses:
        yield None
        it = devices[breaker.name][1] if breaker.name in devices else None
        if not isinstance(it, Breaker) or not it.resets:
            continue
        ends = (breaker.a, breaker.b)
        live = [p for p in ctx.positions if p.key == "off" and any(ctx.levels.live(ref, p) for ref in ends)]
        if live:
            yield Conflict(
                rule=resetting_breaker.name,
                level="look",
                message=f"{breaker.part} closes again by itself, and is live with the key off: in a short it "
                "would heat the wire again and again.",
                why="Nobody is there to see or smell it.",
                mend="Fit a fuse, or a breaker that is reset by hand.",
                where=(ctx.lead(breaker.a), ctx.lead(breaker.b)),
                positions=names(live),
                numbers={"breaker_amps": it.amps},
            )
