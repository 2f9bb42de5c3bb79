"""Rule: same colour, different job."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from core import colours
from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.registry import rule
from core.job.parts import Cavity


@rule(
    "same colour, different job",
    "look",
    under=(
        "functions that do not belong together",
        "reversed polarity",
        "feed shorted to ground",
    ),
)
def same_colour(ctx: Context) -> Iterator[Conflict | None]:
    """Two leads of one plug have the same colour and different jobs, and are both loose, or stand exchanged.

    By colour alone nobody can tell them apart, and the wrong one does harm.

    Go by the cavity number, and mark the two leads before they leave the plug.
    """
    for part in ctx.job.parts.values():
        for connector in part.connectors:
            yield None
            by_colour: dict[str, list[str]] = {}
            for cavity in connector.cavities:
                colour = _colour(cavity)
                ref = f"{part.id}.{connector.name}-{cavity.pin}"
                if colour and cavity.filled and ctx.function(ref) is not None:
                    by_colour.setdefault(colour, []).append(ref)
            for colour, refs in by_colour.items():
                for a, b in combinations(refs, 2):
                    if _may_be_mixed_up(ctx, a, b):
                        yield _conflict(ctx, colour, a, b)


def _colour(cavity: Cavity) -> str | None:
    """What the hands see: the lead's colour."""
    return cavity.lead.colour if cavity.lead else None


def _may_be_mixed_up(ctx: Context, a: str, b: str) -> bool:
    one, other = ctx.function(a), ctx.function(b)
    if one is None or other is None or one.id == other.id or one.cls == other.cls != "feed":
        return False
    if ctx.library.pair_fits(one.id, other.id).verdict != "stop":
        return False
    if a in ctx.open_ends and b in ctx.open_ends:
        return not (ctx.waits(a) or ctx.waits(b))
    return _leads_to(ctx, a, other.id) and _leads_to(ctx, b, one.id)


def _leads_to(ctx: Context, ref: str, function: str) -> bool:
    found = [f.id for node in ctx.terminals(ref) if node != ref and (f := ctx.function(node)) is not None]
    own = ctx.function(ref)
    return function in found and (own is None or own.id not in found)


def _conflict(ctx: Context, colour: str, a: str, b: str) -> Conflict:
    loose = a in ctx.open_ends
    return Conflict(
        rule=same_colour.name,
        level="look",
        message=f"{ctx.job.shown(a)} ({ctx.words(a)}) and {ctx.job.shown(b)} ({ctx.words(b)}) are both "
        f"{colours.in_words(colour)}{', and both loose' if loose else ', and stand exchanged'}.",
        why="One in the other's place does harm, and the colour does not tell them apart.",
        mend="Go by the cavity number and mark the two leads.",
        where=(a, b),
    )
