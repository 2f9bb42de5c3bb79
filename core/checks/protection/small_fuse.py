"""Rule: fuse too small for the load."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.phrases import names
from core.checks.protecting import WRONG_FEEDS, capital, fuse_words, other_rating
from core.checks.registry import rule
from core.circuit.fusing import Guard
from core.circuit.positions import Position
from core.job.internals import Battery, Lamp, Load, StepDown, StepUp
from core.units import show_amps


@rule(
    "fuse too small for the load",
    "stop",
    needs=("levels",),
    under=(*WRONG_FEEDS, "step-down or supply overloaded", "wire too thin for this load"),
    limits=("continuous_share",),
)
def fuse_too_small(ctx: Context) -> Iterator[Conflict | None]:
    """A fuse carries more than four fifths of its rating for long, or more than its rating.

    Above its rating it opens sooner or later, in traffic; near it, it runs hot and ages, its holder with it.

    Fit the next larger fuse that all conductors behind it stand; else share the load between two feeds.
    """
    share = ctx.limits["continuous_share"]
    for name, (amps, terminals) in ctx.loading.fusing.ratings.items():
        yield None
        load, position = ctx.loading.device_peak(name)
        if position is None or load <= amps * share * 1.001:
            continue
        if name in ctx.loading.point(position).opened and not _by_loads(ctx, amps, position, terminals):
            continue
        yield _conflict(ctx, name, amps, load, position, terminals)


def _by_loads(ctx: Context, amps: float, position: Position, terminals: tuple[str, ...]) -> bool:
    """Whether loads open a fuse, or a battery that is charged: not an output that meets another."""
    moment = ctx.loading.point(position).moment
    drawn = 0.0
    for name, (tag, it) in ctx.levels.engine.plan.devices.items():
        match it:
            case Load() | Battery():
                ends = (it.plus, it.minus)
            case Lamp():
                ends = (it.a, it.b)
            case StepDown() | StepUp():
                ends = (it.input, it.common)
            case _:
                continue
        refs = [f"{tag}.{end}" for end in ends if end is not None]
        if any(_passes(ctx.loading.fusing.at(ref), terminals) for ref in refs):
            if isinstance(it, Battery):
                return True
            taken = f"{name} in" if isinstance(it, StepDown | StepUp) else name
            drawn += abs(moment.device_amps(taken) or 0.0)
    return drawn > amps


def _passes(guard: Guard | None, terminals: tuple[str, ...]) -> bool:
    if guard is None:
        return False
    return guard.source in terminals or any(terminals == hop or terminals == hop[::-1] for hop in guard.hops)


def _conflict(
    ctx: Context, name: str, amps: float, load: float, position: Position, terminals: tuple[str, ...]
) -> Conflict:
    opens = load > amps
    words = capital(fuse_words(name))
    would = "would open" if opens else "would run hot"
    leads = tuple(dict.fromkeys(ctx.lead(ref) for ref in terminals))
    least = load / ctx.limits["continuous_share"]
    return Conflict(
        rule=fuse_too_small.name,
        level="stop" if opens else "look",
        message=f"{words} of {show_amps(amps)} {would}: it carries {show_amps(load)} for long "
        f"in {position.name}.",
        why=f"A fuse carries four fifths of its rating for good: this load needs {show_amps(least)} or more.",
        mend="Fit the next larger fuse if all conductors behind it stand it; else feed some of it from "
        "another feed.",
        where=leads,
        positions=names([position]),
        numbers={"fuse_amps": amps, "load_amps": load},
        mends=other_rating(ctx, name, smaller=False),
    )
