"""Rule: conductor not protected by its fuse."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.loading import Copper
from core.checks.protecting import (
    AMPACITY_LIMITS,
    WRONG_FEEDS,
    can_be_lowered,
    capital,
    contacts,
    coppers_words,
    fuse_words,
    other_gauges,
    other_rating,
    own_fuse,
    path_to,
    too_thin,
)
from core.checks.registry import rule
from core.circuit.fusing import Guard
from core.job.internals import Fuse
from core.units import show_amps

_UNDER = (
    *WRONG_FEEDS,
    "no return",
    "added constant feed without a fuse near its source",
    "wire too thin for this load",
    "amps above what the gauge carries",
    "thin lead in a bundle behind a large fuse",
)
_LIMITS = (*AMPACITY_LIMITS, "boat_fuse_factor", "continuous_share", "fuse_distance_bare_mm")


@rule("conductor not protected by its fuse", "stop", needs=("levels",), under=_UNDER, limits=_LIMITS)
def conductor_unprotected(ctx: Context) -> Iterator[Conflict | None]:
    """A conductor of a loop, there or back, or a contact or holder in it, stands less than its fuse lets
    through for long.

    In a fault it burns before the fuse opens, and what lies beside it in the bundle with it.

    Fit the next smaller fuse that still carries the load, or the next thicker wire.
    """
    by_fuse: dict[str, list[tuple[Copper, Guard]]] = {}
    lowered: dict[str, bool] = {}
    for copper, guard in ctx.loading.unprotected:
        yield None
        if guard.by not in lowered:
            lowered[guard.by] = can_be_lowered(ctx, guard.by)
        # The rest is said as a thin lead behind a large fuse, or as a wire too thin for its load.
        back = ctx.loading.net(copper) in ctx.loading.fusing.ground_nets
        if (lowered[guard.by] or back) and not too_thin(ctx, copper):
            by_fuse.setdefault(guard.by, []).append((copper, guard))
    for found in by_fuse.values():
        yield _conflict(ctx, found)
    yield from _contacts(ctx)
    yield from _holders(ctx)


def _conflict(ctx: Context, found: list[tuple[Copper, Guard]]) -> Conflict:
    worst, guard = found[0]
    some = [copper for copper, _ in found]
    bears = ctx.loading.bears(worst)
    boat = ctx.library.ampacity.amps(worst.gauge or "") * ctx.limits["boat_fuse_factor"]
    path = path_to(ctx, guard, worst.a)
    return Conflict(
        rule=conductor_unprotected.name,
        level="stop",
        message=f"{capital(coppers_words(ctx, some[:3]))} would burn before {fuse_words(guard.by)} of "
        f"{show_amps(guard.amps)} opens.",
        why=f"In a bundle it carries {show_amps(bears)} for good; the law for boats, which counts with a "
        f"wire by itself, would allow {show_amps(boat)}.",
        mend="Fit a smaller fuse that still carries the load, or a thicker wire.",
        where=tuple(copper.ref for copper in some),
        wires=ctx.conductors(path),
        path=path,
        numbers={"fuse_amps": guard.amps, "bears_amps": bears, "load_amps": worst.amps},
        mends=(
            *other_rating(ctx, guard.by, smaller=True),
            *other_gauges(ctx, {copper.ref: g.amps for copper, g in found}),
        ),
    )


def _contacts(ctx: Context) -> Iterator[Conflict]:
    for guard, most, ref in contacts(ctx):
        if guard is None or not guard.by or guard.amps <= most:
            continue
        path = path_to(ctx, guard, ref)
        yield Conflict(
            rule=conductor_unprotected.name,
            level="stop",
            message=f"The contact at {ctx.job.shown(ref)} stands {show_amps(most)}: it would weld or burn "
            f"before {fuse_words(guard.by)} of {show_amps(guard.amps)} opens.",
            why="A fuse that is larger than the contact behind it does not protect it.",
            mend="Fit a smaller fuse that still carries the load, or a stronger relay or switch.",
            where=(ref,),
            wires=ctx.conductors(path),
            path=path,
            numbers={"fuse_amps": guard.amps, "contact_amps": most},
            mends=other_rating(ctx, guard.by, smaller=True),
        )


def _holders(ctx: Context) -> Iterator[Conflict]:
    for fuse in ctx.elements.fuses:
        own = own_fuse(ctx, fuse.name)
        it = own[2] if own else None
        if not isinstance(it, Fuse) or it.holder_amps is None or it.amps <= it.holder_amps:
            continue
        yield Conflict(
            rule=conductor_unprotected.name,
            level="stop",
            message=f"{fuse.part} holds a fuse of {show_amps(it.amps)}; its holder stands "
            f"{show_amps(it.holder_amps)}.",
            why="The holder's springs overheat and lose their hold long before the fuse opens.",
            mend="Fit a smaller fuse, or a holder for this one.",
            where=(fuse.a, fuse.b),
            numbers={"fuse_amps": it.amps, "holder_amps": it.holder_amps},
            mends=other_rating(ctx, fuse.name, smaller=True),
        )
