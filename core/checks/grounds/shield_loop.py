"""Rule: shield joins two ground points."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from core.checks.context import Context
from core.checks.finding import Conflict, Mend
from core.checks.insides import Inside, insides
from core.checks.mends import take_out_and_cap
from core.checks.phrases import places
from core.checks.registry import rule
from core.job.internals import Shield
from core.job.wiring import Conductor
from core.net.graph import Net
from core.units import show_amps

LEAST_AMPS = 0.001
"""Less is not worth saying."""


@rule(
    "shield joins two ground points",
    "look",
    needs=("levels",),
    under=("no return", "feed shorted to ground"),
    over=("functions that do not belong together",),
)
def shield_loop(ctx: Context) -> Iterator[Conflict | None]:
    """A shield is on ground at both of its ends, at two different points.

    Part of the car's amps goes through it, for it lies beside the body. That is heard as whine.

    Leave it joined at one end, and cap it at the other.
    """
    by_net: dict[Net, list[Inside[Shield]]] = {}
    for shield in insides(ctx, Shield):
        net = ctx.graph.net_of(shield.at(shield.it.a))
        if net is not None and shield.it.touches is not None:
            by_net.setdefault(net, []).append(shield)
    for net, shields in by_net.items():
        yield None
        grounded: dict[Net, Inside[Shield] | None] = {}
        if any(ctx.levels.returns(shields[0].at(shields[0].it.a), p) for p in ctx.positions):
            grounded[net] = None
        for shield in shields:
            touched = shield.at(shield.it.touches or "")
            there = ctx.graph.net_of(touched)
            if there is not None and any(ctx.levels.returns(touched, p) for p in ctx.positions):
                grounded.setdefault(there, shield)
        if len(grounded) > 1:
            yield _conflict(ctx, [one for one in grounded.values() if one is not None])
    yield from _cables(ctx)


def _conflict(ctx: Context, shields: list[Inside[Shield]]) -> Conflict:
    leads = [ctx.lead(shield.at(shield.it.a)) for shield in shields]
    amps, position = max(
        (
            (abs(ctx.levels.point(p).device_amps(shield.name) or 0.0), p.name)
            for shield in shields
            for p in ctx.positions
        ),
    )
    grounds = [ctx.lead(shield.at(shield.it.touches or "")) for shield in shields]
    joined = [lead for lead in leads if lead in ctx.job.lookup.joint_of]
    mends = tuple(
        Mend(f"Take {ctx.job.shown(lead)} out and cap it", partial(take_out_and_cap, end=lead))
        for lead in joined[-1:]
    )
    return Conflict(
        rule=shield_loop.name,
        level="look",
        message=f"The shield at {places(ctx.job, leads)} joins two grounds{_flows(amps, position)}.",
        why=f"It touches {places(ctx.job, grounds)}, which come to ground at different points.",
        mend="Leave it joined at one end, and cap it at the other.",
        where=tuple(dict.fromkeys((*leads, *grounds))),
        wires=ctx.graph.conductors(leads[0]),
        positions=(position,),
        numbers={"amps": amps},
        mends=mends,
    )


def _flows(amps: float, position: str) -> str:
    return f": {show_amps(amps)} would flow in it in {position}" if amps >= LEAST_AMPS else ""


def _cables(ctx: Context) -> Iterator[Conflict | None]:
    """The screen of a cable whose two ends reach ground each by a way of its own."""
    points = {s.terminal for s in ctx.elements.sources if s.kind == "ground" and s.reliable}
    for name, core in ctx.job.lookup.conductors.items():
        if not isinstance(core, Conductor) or not core.shield:
            continue
        yield None
        nodes = [ctx.graph.node_of(f"{name}:{letter}") for letter in "ab"]
        a, b = nodes
        if a is None or b is None or ctx.graph.reaches(a, {b}, (), {name}):
            continue
        if not all(ctx.graph.reaches(node, points, (), {name}) for node in (a, b)):
            continue
        amps, position = max((abs(ctx.levels.point(p).amps(name) or 0.0), p.name) for p in ctx.positions)
        ends = [end for end in (f"{name}:b", f"{name}:a") if end in ctx.job.lookup.joint_of]
        yield Conflict(
            rule=shield_loop.name,
            level="look",
            message=f"The shield {name} joins two grounds{_flows(amps, position)}.",
            why=f"It is on ground at {ctx.job.shown(a)} and at {ctx.job.shown(b)}.",
            mend="Leave it joined at one end, and cap it at the other.",
            where=(a, b),
            wires=(name,),
            positions=(position,),
            numbers={"amps": amps},
            mends=tuple(
                Mend(f"Take {ctx.job.shown(end)} out and cap it", partial(take_out_and_cap, end=end))
                for end in ends[:1]
            ),
        )
