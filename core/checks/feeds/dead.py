"""Rule: load dead where it is needed."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.feeds.needing import dead_in, idle_relays, never_fed, never_turned_on, wired_in
from core.checks.finding import Conflict, Mend
from core.checks.insides import insides
from core.checks.mends_feeds import to_right_feed
from core.checks.phrases import listed, names, when
from core.checks.registry import rule
from core.circuit.elements import LoadPart
from core.circuit.positions import Position
from core.job.internals import LiveIn, Output
from core.net.graph import Net

_Dead = list[tuple[LoadPart, list[Position]]]


@rule(
    "load dead where it is needed",
    "stop",
    needs=("levels",),
    under=(
        "feed shorted to ground",
        "step-down backwards",
        "reversed polarity",
        "no return",
        "lead whose mate is empty or blocked",
        "diode too small or backwards",
    ),
)
def load_dead(ctx: Context) -> Iterator[Conflict | None]:
    """A part gets no feed in a position in which it must work.

    It does nothing there, or forgets what it knew: a receiver without its constant loses stations and clock.

    Join its feed to one that is live in that position, or fetch such a feed from elsewhere in the car.
    """
    by_feed: dict[frozenset[Net | None], _Dead] = {}
    upstream = _Upstream(ctx)
    for load in ctx.elements.loads:
        yield None
        dead = dead_in(ctx, load)
        # What is lost in start alone has a rule of its own.
        if not dead or (load.strict and all(p.key == "start" for p in dead)):
            continue
        if not any(ctx.undecided(ref) for ref in upstream.of(load.plus)):
            by_feed.setdefault(_behind_fuses(ctx, ctx.hot(load)), []).append((load, dead))
    for load in wired_in(ctx):
        yield None
        if never_fed(ctx, load) and not any(ctx.undecided(ref) for ref in upstream.of(load.plus)):
            everywhere = list(ctx.positions)
            by_feed.setdefault(_behind_fuses(ctx, ctx.hot(load)), []).append((load, everywhere))
    for coil in (*idle_relays(ctx), *never_turned_on(ctx)):
        yield None
        if not any(ctx.undecided(ref) for ref in upstream.of(coil.plus)):
            by_feed.setdefault(frozenset({ctx.graph.net_of(coil.plus)}), []).append(
                (coil, list(ctx.positions))
            )
    for found in _by_cause(ctx, by_feed, upstream):
        yield _conflict(ctx, found, upstream)


def _by_cause(
    ctx: Context, by_feed: dict[frozenset[Net | None], _Dead], upstream: _Upstream
) -> Iterator[_Dead]:
    """What is dead behind a step-down, relay or diode goes with what is dead before it."""
    cause: dict[frozenset[Net | None], frozenset[Net | None]] = {}
    on_net = {net: nets for nets in by_feed for net in nets}
    for nets, found in by_feed.items():
        behind = [ctx.graph.net_of(ref) for ref in upstream.of(found[0][0].plus)]
        dead_before = (on_net[net] for net in behind if net in on_net)
        before = next((other for other in dead_before if other != nets), nets)
        cause[nets] = before if cause.get(before, before) != nets else nets
    merged: dict[frozenset[Net | None], _Dead] = {}
    for nets in sorted(by_feed, key=lambda n: cause[n] != n):
        root = nets
        while cause[root] != root:
            root = cause[root]
        merged.setdefault(root, []).extend(by_feed[nets])
    yield from merged.values()


def _behind_fuses(ctx: Context, refs: tuple[str, ...]) -> frozenset[Net | None]:
    """The nets of some terminals, with all that fuses join to them: one feed serves them all."""
    nets = {ctx.graph.net_of(ref) for ref in refs}
    fuses = [(ctx.graph.net_of(fuse.a), ctx.graph.net_of(fuse.b)) for fuse in ctx.elements.fuses]
    while more := {net for pair in fuses if nets.intersection(pair) for net in pair} - nets:
        nets |= more
    return frozenset(nets)


def _conflict(ctx: Context, found: _Dead, upstream: _Upstream) -> Conflict:
    dead = [p for p in ctx.positions if any(p in seen for _, seen in found)]
    leads = list(dict.fromkeys(ctx.lead(load.plus) for load, _ in found))
    shown = listed([f"{ctx.job.shown(lead)} ({ctx.words(lead)})" for lead in leads])
    finish = ctx.job.finishes.get(leads[0])
    why = f"Its lead is {finish.kind}." if finish else "Nothing that is live then reaches it."
    return Conflict(
        rule=load_dead.name,
        level="stop",
        message=f"{shown} would get no feed {when(dead, ctx.positions)}, where it is needed.",
        why=why,
        mend="Join it to a feed that is live in that position.",
        where=tuple(leads),
        wires=ctx.graph.conductors(leads[0]),
        path=upstream.of(leads[0]),
        positions=names(dead),
        mends=_mends(ctx, found) if not finish else (),
    )


def _mends(ctx: Context, found: _Dead) -> tuple[Mend, ...]:
    """A lead on a feed of other times is moved to one of its own times."""
    load, dead = found[0]
    function = ctx.function(load.plus)
    if len(found) > 1 or function is None or not function.live:
        return ()
    # What reaches it, but is pulled down, is no feed of other times.
    if any(ctx.levels.feeds(ref, p) for ref in ctx.hot(load) for p in dead):
        return ()
    live = LiveIn(keys=function.live, switch=function.switch)
    return to_right_feed(ctx, load.plus, [p for p in ctx.positions if p.has(live)])


class _Upstream:
    """The leads of whatever could pass a feed on to a place: where these fail, the load only follows."""

    def __init__(self, ctx: Context) -> None:
        self._ctx = ctx
        elements = ctx.elements
        passing: list[tuple[str, tuple[str, ...]]] = []
        passing += [(s.output, (s.input, s.common)) for s in elements.step_downs]
        passing += [(f.a, (f.b,)) for f in elements.fuses] + [(f.b, (f.a,)) for f in elements.fuses]
        passing += [(diode.cathode, (diode.anode,)) for diode in elements.diodes]
        passing += [(diode.anode, (diode.cathode,)) for diode in elements.diodes]  # one that is backwards
        passing += [(s.a, (s.b,)) for s in elements.contacts] + [(s.b, (s.a,)) for s in elements.contacts]
        fed = {load.part: load.plus for load in reversed(elements.loads)}
        for output in insides(ctx, Output):
            supply = output.at(output.it.fed_from) if output.it.fed_from else fed.get(output.part)
            if supply is not None:
                passing.append((output.at(output.it.terminal), (supply,)))
        for relay in elements.relays:
            contacts = [contact for contact in (relay.make, relay.rest) if contact]
            passing += [(contact, (relay.common, relay.coil_plus, relay.coil_minus)) for contact in contacts]
        self._onto: dict[Net | None, list[tuple[str, tuple[str, ...]]]] = {}
        for out, behind in passing:
            self._onto.setdefault(ctx.graph.net_of(out), []).append((out, behind))

    def of(self, ref: str) -> tuple[str, ...]:
        found: dict[str, None] = {}
        waiting, nets = [ref], set[Net | None]()
        while waiting:
            net = self._ctx.graph.net_of(waiting.pop())
            if net in nets:
                continue
            nets.add(net)
            for out, behind in self._onto.get(net, ()):
                found.update(dict.fromkeys(self._ctx.lead(terminal) for terminal in (out, *behind)))
                waiting += behind
        return tuple(found)
