"""Rule: diode too small or backwards."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.phrases import names, when
from core.checks.registry import rule
from core.circuit.elements import DiodePart
from core.circuit.positions import Position
from core.edits.cavities import swap_pins
from core.edits.replacing import replace_part
from core.job.internals import Diode
from core.units import show_amps

_OVER = (
    "feed shorted to ground",
    "load dead where it is needed",
    "fuse too small for the load",
    "amps above what the gauge carries",
    "wire too thin for this load",
)


@rule("diode too small or backwards", "stop", needs=("levels",), over=_OVER)
def diode_wrong(ctx: Context) -> Iterator[Conflict | None]:
    """A diode carries more amps than it is made for, or it is the wrong way round: it blocks what must flow,
    or lies across a coil so that it shorts what feeds it.

    Too small it burns, and fails as a short or as a break. Backwards, what it feeds stays dead, or a fuse
    opens.

    Fit a larger diode; turn it round, its stripe towards what it feeds, or towards plus across a coil.
    """
    devices = ctx.levels.engine.plan.devices
    takers = _takers(ctx) if ctx.elements.diodes else {}
    coils = [
        (ctx.graph.net_of(relay.coil_plus), ctx.graph.net_of(relay.coil_minus))
        for relay in ctx.elements.relays
    ]
    for diode in ctx.elements.diodes:
        yield None
        nets = ctx.graph.net_of(diode.anode), ctx.graph.net_of(diode.cathode)
        shorting = [p for p in ctx.positions if _shorts(ctx, diode, p)]
        if shorting and (nets in coils or nets[::-1] in coils):
            yield _backwards(
                ctx, diode, shorting, "lies across a coil the wrong way round and shorts its feed"
            )
            continue
        if shorting:
            continue
        fed = ctx.levels.ever_live(diode.cathode)
        if fed and not ctx.levels.ever_live(diode.anode) and nets[0] in takers:
            taker = ctx.lead(takers[nets[0]])
            yield _backwards(
                ctx, diode, list(fed), f"is the wrong way round and keeps {ctx.job.shown(taker)} dead"
            )
            continue
        it = devices[diode.name][1] if diode.name in devices else None
        amps, position = ctx.loading.device_peak(diode.name)
        if isinstance(it, Diode) and it.amps is not None and position is not None and amps > it.amps:
            yield _too_small(ctx, diode, it, amps, position)


def _takers(ctx: Context) -> dict[int | None, str]:
    """By net, something that is to be fed there."""
    refs = [ref for load in ctx.loads for ref in ctx.hot(load)]
    refs += [sense.terminal for sense in ctx.elements.senses]
    refs += [relay.coil_plus for relay in ctx.elements.relays]
    return {ctx.graph.net_of(ref): ref for ref in reversed(refs)}


def _shorts(ctx: Context, diode: DiodePart, position: Position) -> bool:
    return ctx.levels.shorted(diode.anode, position) and ctx.levels.shorted(diode.cathode, position)


def _backwards(ctx: Context, diode: DiodePart, positions: list[Position], what: str) -> Conflict:
    ends = (ctx.lead(diode.cathode), ctx.lead(diode.anode))
    return Conflict(
        rule=diode_wrong.name,
        level="stop",
        message=f"{diode.part} {what} {when(positions, ctx.positions)}.",
        why="A diode conducts from anode to cathode only; the stripe is at the cathode.",
        mend="Turn it round.",
        where=ends,
        positions=names(positions),
        mends=(
            Mend(
                f"Turn {diode.part} round",
                partial(swap_pins, terminal_1=diode.anode, terminal_2=diode.cathode),
            ),
        ),
    )


def _too_small(ctx: Context, diode: DiodePart, it: Diode, amps: float, position: Position) -> Conflict:
    return Conflict(
        rule=diode_wrong.name,
        level="stop",
        message=f"{diode.part} would carry {show_amps(amps)} in {position.name}; it is made for "
        f"{show_amps(it.amps or 0.0)}.",
        why="A diode that is too small burns, and fails as a short or as a break.",
        mend="Fit a larger diode.",
        where=(ctx.lead(diode.anode), ctx.lead(diode.cathode)),
        positions=names([position]),
        numbers={"amps": amps, "most_amps": it.amps or 0.0},
        mends=_larger(ctx, diode, amps),
    )


def _larger(ctx: Context, diode: DiodePart, amps: float) -> tuple[Mend, ...]:
    here = ctx.job.parts[diode.part]
    if len(here.internals) != 1:
        return ()
    for entry in ctx.library.parts.values():
        (it, *more) = entry.part.internals or (None,)
        if isinstance(it, Diode) and not more and it.amps is not None and it.amps >= amps:
            edit = partial(replace_part, tag=diode.part, new_part=entry.part.changed(library=entry.name))
            return (Mend(f"Fit {entry.name[:1].lower()}{entry.name[1:]}", edit),)
    return ()
