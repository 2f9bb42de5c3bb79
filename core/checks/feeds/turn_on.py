"""Rule: turn-on taken from a dimmed or data-held circuit."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from core.checks.context import Context
from core.checks.finding import Conflict, Level
from core.checks.insides import insides
from core.checks.mends_feeds import to_right_feed
from core.checks.phrases import names, when
from core.checks.registry import rule
from core.circuit.drives import Drive
from core.circuit.positions import Position
from core.job.internals import Feed

_KEYED = frozenset({"accessory", "ignition", "ignition-2"})
_LAMPS = frozenset({"dimmer", "illumination", "illumination-minus", "tail-lamps"})


class _Bad(NamedTuple):
    level: Level
    message: str
    why: str


@rule(
    "turn-on taken from a dimmed or data-held circuit",
    "look",
    needs=("levels",),
    under=(
        "feed shorted to ground",
        "feeds of different positions joined",
        "output fed from outside",
        "needs a feed by data that nothing makes",
    ),
    over=("functions that do not belong together",),
)
def turn_on_dimmed(ctx: Context) -> Iterator[Conflict | None]:
    """What turns a part on is taken from dimmed lamps, or from a feed that the car holds as it likes.

    It comes on with the lights only, flutters with the dimmer, or stays on long after the key is out.

    Take the turn-on from the output that is made for it, or from a feed that follows the key.
    """
    manners = {feed.at(feed.it.terminal): feed.it for feed in insides(ctx, Feed)}
    done: set[int | None] = set()
    for part in ctx.job.parts.values():
        yield None
        if part.state != "to fit":
            continue
        for ref in part.cavities:
            net = ctx.graph.net_of(ref)
            if net in done or not _turns_on(ctx, ref) or ctx.undecided(ref):
                continue
            conflict = _conflict(ctx, ref, manners)
            if conflict is not None:
                done.add(net)
                yield conflict


def _turns_on(ctx: Context, ref: str) -> bool:
    """Whether a terminal of equipment says when its part is on."""
    function = ctx.function(ref)
    if function is None or ctx.flow(ref) != "takes" or ctx.side(ref) != "equipment":
        return False
    return function.cls == "output" or function.id in _KEYED


def _conflict(ctx: Context, ref: str, manners: dict[str, Feed]) -> Conflict | None:
    found: dict[str, tuple[Drive, list[Position]]] = {}
    for position in ctx.positions:
        for drive in ctx.levels.feeds(ref, position):
            found.setdefault(drive.source.terminal, (drive, []))[1].append(position)
    for terminal, (drive, positions) in found.items():
        feed = manners.get(terminal)
        bad = _judged(ctx, ref, terminal, feed, positions) if feed is not None else None
        if bad is None:
            continue
        function = ctx.function(ref)
        assert function is not None
        minutes = feed.after_run_minutes if feed is not None else None
        wanted = [p for p in ctx.positions if p.key in function.live]
        path = ctx.levels.path(drive, ref)
        return Conflict(
            rule=turn_on_dimmed.name,
            level=bad.level,
            message=bad.message,
            why=bad.why,
            mend="Take it from the output made for it, or from a feed that follows the key.",
            where=(ctx.lead(ref),),
            wires=ctx.conductors(path),
            path=path,
            positions=names(positions),
            numbers={"after_run_minutes": minutes} if minutes else {},
            mends=to_right_feed(ctx, ref, wanted) if wanted and bad.level == "look" else (),
        )
    return None


def _judged(ctx: Context, ref: str, source: str, feed: Feed, positions: list[Position]) -> _Bad | None:
    lead = f"{ctx.job.shown(ctx.lead(ref))} ({ctx.words(ref)})"
    given = f"{ctx.job.shown(ctx.lead(source))} ({ctx.words(source)})"
    function = ctx.function(source)
    if feed.manner == "pulsed":
        return _Bad(
            "look",
            f"{lead} would be turned on by a dimmed feed: the part flutters or stays off.",
            f"{given} is pulsed, on for {feed.duty or 1.0:.0%} of the time.",
        )
    if function is not None and function.id in _LAMPS:
        return _Bad(
            "look",
            f"{lead} would be turned on by the lamps: the part is on {when(positions, ctx.positions)} only.",
            f"It is taken from {given}.",
        )
    if feed.manner == "by data":
        return _Bad(
            "look",
            f"{lead} would be on for as long as the car's data hold {given}, whatever the key says.",
            "A module of the car switches that feed as it likes.",
        )
    if feed.manner == "timed":
        minutes = feed.after_run_minutes
        long = f"{minutes:g} minutes" if minutes else "some time"
        return _Bad(
            "note",
            f"{lead} would stay on for {long} after the key is out.",
            f"{given} is held by the car after key-off.",
        )
    return None
