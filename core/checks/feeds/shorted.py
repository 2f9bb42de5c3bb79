"""Rule: feed shorted to ground."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.flowing import ends_with, worst_short
from core.checks.parting import apart, meeting_point
from core.checks.phrases import listed, names, when
from core.checks.registry import rule
from core.circuit.drives import Drive
from core.circuit.positions import Position
from core.units import show_amps, show_volts


@rule("feed shorted to ground", "stop", needs=("levels",))
def feed_shorted(ctx: Context) -> Iterator[Conflict | None]:
    """A feed, an output or the output of a step-down reaches ground with nothing between that uses the power.

    The wire between them heats until a fuse opens, or until the insulation burns where no fuse is in the way.

    Take the lead that does not belong there out of the joint, cap it, and look up what it is for.
    """
    done: set[str] = set()
    for source in ctx.elements.drivers():
        yield None
        if source.terminal in done:
            continue
        positions = [p for p in ctx.positions if _short(ctx, source.terminal, p)]
        if not positions:
            continue
        met = _short(ctx, source.terminal, positions[0])
        assert met is not None
        feed, ground = met
        path = _whole_path(ctx, feed, ground)
        same = [
            other.terminal
            for other in ctx.elements.drivers()
            if ctx.graph.net_of(other.terminal) == ctx.graph.net_of(source.terminal)
            and any(_short(ctx, other.terminal, p) for p in ctx.positions)
        ]
        done.update(same)
        point = meeting_point(ctx, path)
        leads = [ctx.lead(terminal) for terminal in same]
        to = ctx.lead(ground.source.terminal)
        short = worst_short(ctx, same, positions)
        amps = short.amps if short else _given(ctx, source.terminal, positions)
        end = ends_with(ctx, short) if short else f"it gives all it can, {show_amps(amps)}"
        words = listed([f"{ctx.job.shown(lead)} ({ctx.words(lead)})" for lead in leads])
        yield Conflict(
            rule=feed_shorted.name,
            level="stop",
            message=f"{words} would be shorted to ground {when(positions, ctx.positions)}, "
            f"at {ctx.job.shown(point)}.",
            why=f"It gives {show_volts(abs(feed.volts))} and meets ground from {ctx.job.shown(to)} "
            f"with no load between: {end}.",
            mend="Take the lead that does not belong there out of the joint.",
            where=tuple(dict.fromkeys((*leads, to))),
            wires=ctx.conductors(path),
            path=path,
            positions=names(positions),
            numbers={"feed_volts": abs(feed.volts), "short_amps": amps},
            mends=apart(ctx, path, same, [ground.source.terminal]),
        )


def _short(ctx: Context, terminal: str, position: Position) -> tuple[Drive, Drive] | None:
    """The source's own drive and the ground that reach its terminal together."""
    drives = ctx.levels.drives(terminal, position)
    own = drives.get(terminal)
    ground = ctx.levels.ground(terminal, position)
    return (own, ground) if own is not None and ground is not None else None


def _given(ctx: Context, terminal: str, positions: Sequence[Position]) -> float:
    """The most amps that something with a limit of its own gives into its short."""
    makers = [s.name for s in ctx.elements.step_downs if s.output == terminal]
    makers += [s.name for s in ctx.elements.sources if s.terminal == terminal]
    points = [ctx.levels.point(position) for position in positions]
    return max(abs(point.device_amps(name) or 0.0) for point in points for name in makers)


def _whole_path(ctx: Context, feed: Drive, ground: Drive) -> tuple[str, ...]:
    terminal = feed.source.terminal
    return tuple(reversed(ctx.levels.path(ground, terminal)))
