"""Rule: more volts than the part accepts."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.grounding import ground_place, ground_point
from core.checks.mends import step_down_between
from core.checks.parting import out_of_joint
from core.checks.phrases import names, places, window
from core.checks.registry import rule
from core.circuit.elements import LoadPart
from core.circuit.positions import Position
from core.job.internals import StepDown, VoltWindow
from core.units import show_volts

# Volts are known to a tenth; less above the limit is no conflict.
MARGIN_VOLTS = 0.05


@rule(
    "more volts than the part accepts",
    "stop",
    needs=("levels",),
    under=("feed shorted to ground", "step-down backwards", "feeds of different positions joined"),
)
def too_many_volts(ctx: Context) -> Iterator[Conflict | None]:
    """A part would get more volts than it accepts: a 6 V camera on a 12 V feed, whatever lies between.

    It is damaged at once or fails early, and with it often what it is joined to.

    Put a step-down before it, or join it to a feed of the right volts.
    """
    by_net: dict[int | None, list[tuple[LoadPart, float, list[Position]]]] = {}
    senses = (LoadPart(s.part, s.terminal, (), s.accepts) for s in ctx.elements.senses)
    for load in (*ctx.loads, *senses):
        yield None
        accepts = load.accepts
        if accepts is None:
            continue
        seen = {p: volts for p in ctx.positions if (volts := ctx.across(load, p)) is not None}
        over = [p for p, volts in seen.items() if volts > accepts.most + MARGIN_VOLTS]
        if over:
            worst = max(seen[p] for p in over)
            by_net.setdefault(ctx.graph.net_of(load.plus), []).append((load, worst, over))
    for found in by_net.values():
        yield _conflict(ctx, found)


def _conflict(ctx: Context, found: list[tuple[LoadPart, float, list[Position]]]) -> Conflict:
    load, worst, over = max(found, key=lambda f: (f[1] - _window(f[0]).most, f[0].plus))
    accepts = _window(load)
    position = next(p for p in over if ctx.across(load, p) == worst)
    place = ctx.lead(load.plus)
    feeds = ctx.levels.feeds(load.plus, position)
    path = ctx.levels.path(feeds[0], load.plus) if feeds else ()
    also = [ctx.lead(other.plus) for other, _, _ in found if other is not load]
    if feeds:
        source = ctx.lead(feeds[0].source.terminal)
        joint = next((ref for ref in reversed(path) if ref in ctx.job.joints), None)
        by = f" through {joint}" if joint else ""
        why = f"It is fed from {ctx.job.shown(source)} ({ctx.words(source)}){by}."
    else:
        why = "What it is joined to drives it there."
    if also:
        why += f" So would {places(ctx.job, also)}."
    return Conflict(
        rule=too_many_volts.name,
        level="stop",
        message=f"{ctx.job.shown(place)} would see {show_volts(worst)} in {position.name}; "
        f"it accepts {window(accepts)}.",
        why=why,
        mend="Put a step-down before it.",
        where=(place, *also),
        wires=ctx.conductors(path),
        path=path,
        positions=names(over),
        numbers={"volts": worst, "least_volts": accepts.least, "most_volts": accepts.most},
        mends=(*_step_down(ctx, place, accepts, worst), *out_of_joint(ctx, place)),
    )


def _window(load: LoadPart) -> VoltWindow:
    assert load.accepts is not None
    return load.accepts


def _fed_steadily(ctx: Context, place: str) -> bool:
    """Whether a feed of the car is what drives a place: only that can be stepped down."""
    return any(d.source.kind == "feed" for p in ctx.positions for d in ctx.levels.feeds(place, p))


def _step_down(ctx: Context, place: str, accepts: VoltWindow, worst: float) -> tuple[Mend, ...]:
    end = ctx.joined_end(place)
    made = {s.terminal for s in ctx.elements.drivers() if s.kind != "feed"}
    if end is None or not made.isdisjoint(ctx.terminals(place)) or not _fed_steadily(ctx, place):
        return ()
    for entry in ctx.library.parts.values():
        for internal in entry.part.internals:
            if not isinstance(internal, StepDown):
                continue
            if not accepts.least <= internal.volts_out <= accepts.most or internal.accepts.most < worst:
                continue
            edit = partial(
                step_down_between,
                end=end,
                step_down=entry.part.changed(library=entry.name),
                names=(internal.input, internal.output, internal.common),
                to=ground_place(ctx),
                point=ground_point(ctx),
            )
            return (Mend(f"Put in {entry.name[:1].lower()}{entry.name[1:]}", edit),)
    return ()
