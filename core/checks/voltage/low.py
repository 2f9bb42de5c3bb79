"""Loads that are fed and get fewer volts than they accept, for the rules that tell why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from core.checks.context import Context
from core.checks.flowing import look_for_shorts
from core.circuit.drives import Drive
from core.circuit.elements import LoadPart
from core.circuit.positions import DEAD_FRACTION, Position
from core.ids import kind_of

MARGIN_VOLTS = 0.05
"""Volts are known to a tenth; less below the limit is no conflict."""


@dataclass(frozen=True, slots=True)
class Low:
    """A load in one position. `open_volts` are those of its source with nothing on it; where the source is
    `pulsed`, both volts are the average. `terminal`: the load's, by which the source comes in.
    """

    load: LoadPart
    position: Position
    volts: float
    open_volts: float
    least_volts: float
    drive: Drive
    terminal: str
    pulsed: bool = False

    @property
    def short_volts(self) -> float:
        return self.least_volts - self.volts


def low_loads(ctx: Context) -> Iterator[Low | None]:
    """Every load that is live, must work then, and gets less than it accepts; None to take breath."""
    yield from look_for_shorts(ctx)
    positions = ctx.sound_positions
    for load in ctx.loads:
        yield None
        accepts = load.accepts
        if accepts is None or any(ctx.undecided(ref) for ref in (load.plus, *load.minus)):
            continue
        for position in positions:
            if load.needed is not None and not position.has(load.needed):
                continue
            found = _low(ctx, load, accepts.least, position)
            if found is not None:
                yield found


def _low(ctx: Context, load: LoadPart, least: float, position: Position) -> Low | None:
    volts = ctx.across(load, position)
    average = _on_average(ctx, load, position)
    lowest = volts if average is None or volts is None else min(volts, average)
    if volts is None or lowest is None or not 0 < lowest < least - MARGIN_VOLTS:
        return None
    # What next to nothing is left of is dead, and has a rule of its own.
    if lowest < DEAD_FRACTION * least:
        return None
    hot = ctx.hot(load)[:1]
    feeds = ctx.levels.feeds(hot[0], position) if hot else ()
    if not feeds:
        return None
    if not all(ctx.levels.returns(ref, position) for ref in ctx.back(load)[:1]):
        return _behind_converter(ctx, load, least, position, volts)
    if volts < least - MARGIN_VOLTS:
        return Low(load, position, volts, abs(feeds[0].volts), least, feeds[0], hot[0])
    point = ctx.levels.engine.point(position)
    source = point.volts(feeds[0].source.terminal)
    given = lowest if source is None else abs(source - point.body_volts)
    return Low(load, position, lowest, given, least, feeds[0], hot[0], pulsed=True)


def _behind_converter(
    ctx: Context, load: LoadPart, least: float, position: Position, volts: float
) -> Low | None:
    """What stands with its minus on the hot side of a car with positive ground, and is fed by a converter."""
    made = (d for d in ctx.levels.feeds(load.plus, position) if d.source.kind == "step-down")
    drive, minus = next(made, None), next(iter(load.minus), None)
    common = ctx.levels.feeds(minus, position) if minus else ()
    if drive is None or not common or volts >= least - MARGIN_VOLTS:
        return None
    return Low(load, position, volts, drive.volts - common[0].volts, least, drive, load.plus)


def _on_average(ctx: Context, load: LoadPart, position: Position) -> float | None:
    """Volts across a load as a meter shows them, where something in the job pulses."""
    point = ctx.levels.engine.point(position)
    plus = point.volts(load.plus)
    if point.full is point or plus is None:
        return None
    minus = next((volts for ref in load.minus if (volts := point.volts(ref)) is not None), point.body_volts)
    return plus - minus


def worst_stretch(ctx: Context, low: Low) -> tuple[str, float]:
    """The wire, lead or contact between source and load, there and back, that loses the most; its volts."""
    point = ctx.levels.point(low.position)
    found: dict[str, float] = {}
    for ref in whole_path(ctx, low):
        drop = point.drop_volts(ref) if kind_of(ref) != "joint" else None
        if drop is not None:
            found[ref] = abs(drop)
    worst = max(found, key=lambda ref: found[ref], default="")
    return worst, found.get(worst, 0.0)


def whole_path(ctx: Context, low: Low) -> tuple[str, ...]:
    """Ids from the source to the load, and from the load to ground."""
    there = ctx.levels.path(low.drive, low.terminal)
    back = ctx.back(low.load)
    ground = ctx.levels.ground(back[0], low.position) if back else None
    home = reversed(ctx.levels.path(ground, back[0])) if ground and back else ()
    return tuple(dict.fromkeys((*there, *home)))
