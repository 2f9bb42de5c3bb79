"""Rule: functions that do not belong together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from core.checks.context import Context
from core.checks.finding import Conflict, Level
from core.checks.parting import apart, meeting_point, out_of_joint
from core.checks.registry import rule
from core.circuit.roles import is_pigtail
from core.ids import part_of
from core.library.functions import PairVerdict
from core.library.model import Function


@rule(
    "functions that do not belong together",
    "stop",
    under=(
        "feed shorted to ground",
        "feeds of different positions joined",
        "step-down backwards",
        "more volts than the part accepts",
        "reversed polarity",
        "speaker lead grounded",
        "plus and minus exchanged",
        "no return",
        "load dead where it is needed",
    ),
    over=(
        "fuse too small for the load",
        "amps above what the gauge carries",
        "drop above the limit of its class",
        "output overloaded",
    ),
)
def functions_joined(ctx: Context) -> Iterator[Conflict | None]:
    """Leads whose functions do not belong together are joined; the function table says which, and why.

    What happens depends on the two: silence, noise, a part that does nothing, or a burnt output.

    Take the lead that does not belong there out of the joint, or correct its function where it is wrong.
    """
    for net in ctx.graph.nets.values():
        if len(net) < 2:
            continue
        yield None
        terminals = [ref for ref in ctx.terminals(next(iter(net))) if _speaks(ctx, ref)]
        yield from _odd_ones(ctx, terminals)


def _speaks(ctx: Context, ref: str) -> bool:
    """Whether a terminal has a function of its own; a pigtail's is said by the cavity it meets."""
    if ctx.function(ref) is None:
        return False
    met = ctx.job.lookup.meets.get(ref)
    return not (
        is_pigtail(ctx.job, ref) and met is not None and ctx.graph.net_of(met) == ctx.graph.net_of(ref)
    )


def _odd_ones(ctx: Context, terminals: Sequence[str]) -> Iterator[Conflict]:
    """One conflict for each terminal that must go so that the rest belong together: fewest first."""
    by_function: dict[str, list[str]] = {}
    for ref in terminals:
        by_function.setdefault(_id(ctx, ref), []).append(ref)
    bad: dict[tuple[str, str], PairVerdict] = {}
    for a, b in combinations(by_function, 2):
        verdict = _verdict(ctx, by_function[a], by_function[b])
        if verdict.verdict != "fits":
            bad[a, b] = verdict
    while bad:
        odd = max(by_function, key=lambda f: _oddness(ctx, f, by_function, bad))
        against = {pair: verdict for pair, verdict in bad.items() if odd in pair}
        stops = {pair: verdict for pair, verdict in against.items() if verdict.verdict == "stop"} or against
        pair, verdict = next(iter(stops.items()))
        other = pair[0] if pair[1] == odd else pair[1]
        yield _conflict(ctx, by_function[odd], by_function[other][0], verdict)
        bad = {pair: verdict for pair, verdict in bad.items() if odd not in pair}
        del by_function[odd]


def _verdict(ctx: Context, one: Sequence[str], other: Sequence[str]) -> PairVerdict:
    """What the function table says of two functions, made milder where only one side of the two gives."""
    ids = frozenset((_id(ctx, one[0]), _id(ctx, other[0])))
    verdict = ctx.library.pair_fits(_id(ctx, one[0]), _id(ctx, other[0]))
    if ids in _ENDS_OF_ONE and {part_of(ref) for ref in one}.isdisjoint(map(part_of, other)):
        return PairVerdict("fits", "they are of two parts in series")
    if ids & _MADE and _only_takes(ctx, other if _id(ctx, one[0]) in _MADE else one):
        return PairVerdict("fits", "it is fed by the step-down; its volts are checked on their own")
    classes = (ctx.cls(one[0]), ctx.cls(other[0]))
    if ctx.job.settings.ground == "positive" and set(classes) <= {"feed", "ground"}:
        car = ["car" in {ctx.side(ref) for ref in refs} for refs in (one, other)]
        if car[0] != car[1]:
            return _turned_round(classes[0] == classes[1])
    gives = ["gives" in {ctx.flow(ref) for ref in refs} for refs in (one, other)]
    if set(classes) == {"feed", "output"} and all(gives):
        return PairVerdict("stop", "the feed pushes into the output")
    if classes in (("feed", "output"), ("output", "feed")):
        feed, output = (one, other) if classes[0] == "feed" else (other, one)
        if _turned_on_by_the_key(ctx, feed, output):
            return PairVerdict("fits", "the key turns it on")
    if verdict.verdict != "stop":
        return verdict
    if classes == ("speaker", "speaker"):
        return PairVerdict("look", "plus and minus are exchanged") if _one_pair(ctx, one, other) else verdict
    takes = [{ctx.flow(ref) for ref in refs} == {"takes"} for refs in (one, other)]
    if classes == ("feed", "feed") and any(takes):
        return _fed_otherwise(ctx, one, other, takes)
    if classes in (("feed", "ground"), ("ground", "feed")) and any(takes):
        return PairVerdict("stop", "the one is on a feed's side, the other on ground's")
    return verdict


_ENDS_OF_ONE = frozenset(
    frozenset(pair)
    for pair in (
        ("fuse-a", "fuse-b"),
        ("coil-plus", "coil-minus"),
        ("anode", "cathode"),
        ("relay-make", "relay-rest"),
        ("step-down-in", "step-down-out"),
        ("step-up-in", "step-up-out"),
        ("battery-plus", "battery-minus"),
    )
)
"""The two ends of one thing: joined, they bypass it; those of two parts are in series."""

_MADE = frozenset({"step-down-out", "step-up-out", "memory-out", "switched-out"})
"""What a converter makes."""


def _turned_on_by_the_key(ctx: Context, feed: Sequence[str], output: Sequence[str]) -> bool:
    """Whether a feed of a key position, and no output, is what turns a part on."""
    function = ctx.function(feed[0])
    keyed = function is not None and "off" not in function.live and function.switch is None
    return keyed and all(ctx.flow(ref) == "takes" for ref in output)


def _only_takes(ctx: Context, refs: Sequence[str]) -> bool:
    """Whether all of these are feeds that something takes."""
    return all(ctx.cls(ref) == "feed" and ctx.flow(ref) == "takes" for ref in refs)


def _turned_round(same: bool) -> PairVerdict:
    """In a car with positive ground equipment has its plus on the body and its minus on the feed."""
    if same:
        return PairVerdict("stop", "in a car with positive ground plus goes to the body, minus to the feed")
    return PairVerdict("fits", "the feeds of the car are negative")


def _fed_otherwise(
    ctx: Context, one: Sequence[str], other: Sequence[str], takes: Sequence[bool]
) -> PairVerdict:
    """A load on another feed: live for longer than it asks is a drain, dead where it asks is worse."""
    first, second = ctx.function(one[0]), ctx.function(other[0])
    assert first is not None
    assert second is not None
    longer = [_covers(first, second) and takes[1], _covers(second, first) and takes[0]]
    if any(longer):
        return PairVerdict("look", "it would be live for longer than it asks for, and drain the battery")
    return PairVerdict("stop", "it would be live in the wrong positions")


def _covers(feed: Function, load: Function) -> bool:
    """Whether a feed is live wherever a load would be fed by its own."""
    return set(feed.live) >= set(load.live) and feed.switch in (None, load.switch)


def _one_pair(ctx: Context, one: Sequence[str], other: Sequence[str]) -> bool:
    """Whether plus and minus of one channel meet, of an amplifier here and a speaker there."""
    flows = [{ctx.flow(ref) for ref in refs} for refs in (one, other)]
    same = {f.channel for ref in (*one, *other) if (f := ctx.function(ref)) is not None}
    return len(same) == 1 and flows in ([{"gives"}, {"takes"}], [{"takes"}, {"gives"}])


def _oddness(
    ctx: Context,
    function: str,
    by_function: dict[str, list[str]],
    bad: dict[tuple[str, str], PairVerdict],
) -> tuple[int, int, int, bool]:
    against = [b if a == function else a for a, b in bad if function in (a, b)]
    stops = sum(function in pair and verdict.verdict == "stop" for pair, verdict in bad.items())
    # The car's own leads are what they are: of two that do not fit, ours is at the wrong place.
    ours = all(ctx.side(ref) != "car" for ref in by_function[function])
    return (sum(len(by_function[f]) for f in against), -len(by_function[function]), stops, ours)


def _id(ctx: Context, ref: str) -> str:
    function = ctx.function(ref)
    assert function is not None
    return function.id


def _conflict(ctx: Context, odd: Sequence[str], other: str, verdict: PairVerdict) -> Conflict:
    level: Level = "stop" if verdict.verdict == "stop" else "look"
    leads = tuple(dict.fromkeys(ctx.lead(ref) for ref in odd))
    against = ctx.lead(other)
    path = ctx.graph.path(leads[0], against)
    what = f"{ctx.job.shown(leads[0])} ({ctx.words(leads[0])})"
    return Conflict(
        rule=functions_joined.name,
        level=level,
        message=f"{what} is joined with {ctx.job.shown(against)} ({ctx.words(against)}): {verdict.reason}.",
        why=f"They meet at {ctx.job.shown(meeting_point(ctx, path))}.",
        mend="Take the lead that does not belong there out of the joint, or correct its function.",
        where=(*leads, against),
        wires=ctx.conductors(path),
        path=path,
        mends=apart(ctx, path, odd, [other]) or out_of_joint(ctx, leads[0]),
    )
