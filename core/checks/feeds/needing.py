"""Which loads get no feed where they need one, for the rules that tell why."""

from __future__ import annotations

from core.checks.context import Context
from core.circuit.elements import LoadPart
from core.circuit.positions import Position


def dead_in(ctx: Context, load: LoadPart) -> list[Position]:
    """The positions in which a load is needed and gets no feed; none where that is still to be decided."""
    if load.needed is None or any(ctx.undecided(ref) for ref in ctx.hot(load)):
        return []
    needed = [p for p in ctx.positions if p.has(load.needed)]
    dead = [p for p in needed if not any(ctx.levels.live(ref, p) for ref in ctx.hot(load))]
    # What a function usually asks is met by any feed that is ever live: which one is for the pair table.
    return dead if load.strict or len(dead) == len(needed) else []
