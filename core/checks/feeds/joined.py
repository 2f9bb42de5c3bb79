"""Rule: feeds of different positions joined."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.flowing import amps_along
from core.checks.parting import apart, meeting_point
from core.checks.phrases import names, when
from core.checks.registry import rule
from core.circuit.drives import Drive
from core.circuit.elements import Source
from core.circuit.positions import Position
from core.units import show_amps, show_volts

# Feeds of one battery differ by less; more means another supply, which pushes into the lower one.
SAME_VOLTS_SHARE = 0.05
CHARGES_SHARE = 1.25
"""Up to this share of its own volts, what pushes into a battery charges it (common practice)."""


@rule("feeds of different positions joined", "stop", needs=("levels",), under=("feed shorted to ground",))
def feeds_joined(ctx: Context) -> Iterator[Conflict | None]:
    """Two feeds that are live in different positions, or at different volts, are joined.

    The one that is live pushes into the other and into all that hangs on it: the car stays awake, parts run
    that should be off, a fuse carries what it was never chosen for.

    Part the two. Where both must reach one place, a diode in each of them keeps them from feeding each other.
    """
    done: set[frozenset[int | None]] = set()
    working = {s.output for s in ctx.elements.step_downs if ctx.levels.steps_down(s)}
    feeds = [s for s in ctx.elements.drivers() if s.kind == "feed" or s.terminal in working]
    for victim in feeds:
        yield None
        pushing = _pushes_into(ctx, victim)
        if pushing is None:
            continue
        drive, positions = pushing
        nets = frozenset((ctx.graph.net_of(drive.source.terminal), ctx.graph.net_of(victim.terminal)))
        if nets in done:
            continue
        done.add(nets)
        path = ctx.levels.path(drive, victim.terminal)
        point = meeting_point(ctx, path)
        pusher, pushed = ctx.lead(drive.source.terminal), ctx.lead(victim.terminal)
        volts = abs(ctx.levels.drives(victim.terminal, positions[0])[drive.source.terminal].volts)
        amps = max(amps_along(ctx.levels.point(position), path) for position in positions)
        flow = f"; {show_amps(amps)} at the least would flow into it" if amps else ""
        yield Conflict(
            rule=feeds_joined.name,
            level="stop",
            message=f"{ctx.job.shown(pusher)} ({ctx.words(pusher)}) would push {show_volts(volts)} into "
            f"{ctx.job.shown(pushed)} ({ctx.words(pushed)}) {when(positions, ctx.positions)}.",
            why=f"They are joined at {ctx.job.shown(point)}, and are live in different positions "
            f"or at different volts{flow}.",
            mend="Part them, or put a diode in each.",
            where=(pusher, pushed),
            wires=ctx.conductors(path),
            path=path,
            positions=names(positions),
            numbers={"volts": volts, "amps": amps},
            mends=apart(ctx, path, [drive.source.terminal], [victim.terminal]),
        )


def _pushes_into(ctx: Context, victim: Source) -> tuple[Drive, list[Position]] | None:
    """What reaches the victim's terminal while it is dead itself, or lower; and when."""
    found: dict[str, tuple[Drive, list[Position]]] = {}
    for position in ctx.positions:
        drives = ctx.levels.drives(victim.terminal, position)
        if any(d.source.kind == "ground" for d in drives.values()):
            continue
        own = drives.get(victim.terminal)
        for drive in drives.values():
            if drive.source.terminal == victim.terminal or drive.source.kind == "output":
                continue
            if _through_a_step_down(ctx, drive):
                continue
            if own is not None and victim.stores and abs(drive.volts) <= CHARGES_SHARE * abs(own.volts):
                continue
            if own is None or abs(drive.volts) > abs(own.volts) * (1 + SAME_VOLTS_SHARE):
                found.setdefault(drive.source.terminal, (drive, []))[1].append(position)
    return max(found.values(), key=lambda f: (len(f[1]), f[0].source.terminal), default=None)


def _through_a_step_down(ctx: Context, drive: Drive) -> bool:
    """Whether it comes back through a step-down: then what feeds that one's output is the cause."""
    return any((s.output, s.input) in drive.hops for s in ctx.elements.step_downs)
