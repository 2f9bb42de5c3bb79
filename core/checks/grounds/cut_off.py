"""Rule: cut-off switch bypassed."""

from __future__ import annotations

from collections.abc import Iterator

from core.checks.context import Context
from core.checks.finding import Conflict
from core.checks.insides import Inside, insides
from core.checks.parting import apart
from core.checks.phrases import names, places, when
from core.checks.registry import rule
from core.circuit.conducting import shortest
from core.circuit.positions import Position
from core.ids import kind_of
from core.job.internals import Battery, SwitchContact, terminals_of


@rule("cut-off switch bypassed", "stop", needs=("levels",), under=("feed shorted to ground",))
def cut_off(ctx: Context) -> Iterator[Conflict | None]:
    """With the battery's cut-off switch open, something else still joins its two sides.

    Whoever opens it believes the car is dead. All that is switched on goes by the other way, often a thin
    lead: the starter's amps would burn it.

    Take the way past the switch off, or lead it to the same side.
    """
    switches = [one for one in insides(ctx, SwitchContact) if one.it.closed.unless is not None]
    for switch in switches:
        yield None
        a, b = switch.at(switch.it.a), switch.at(switch.it.b)
        open_in = [p for p in ctx.positions if not p.has(switch.it.closed)]
        if not open_in or not _of_a_battery(ctx, a, b, ctx.positions[0]):
            continue
        joined = [p for p in open_in if _joined(ctx, a, b, p)]
        if joined:
            yield _conflict(ctx, switch, a, b, joined)


def _of_a_battery(ctx: Context, a: str, b: str, position: Position) -> bool:
    """Whether one side of it is a battery's."""
    places_, conducting = ctx.levels.engine.places, ctx.levels.point(position).conducting
    poles = [*places_.poles[:2]]
    for battery in insides(ctx, Battery):
        nodes = (places_.node(battery.at(pole)) for pole in (battery.it.plus, battery.it.minus))
        poles += [node for node in nodes if node is not None]
    sides = [node for ref in (a, b) if (node := places_.node(ref)) is not None]
    return any(conducting.joined(side, pole) for side in sides for pole in poles)


def _joined(ctx: Context, a: str, b: str, position: Position) -> bool:
    nodes = [ctx.levels.engine.places.node(ref) for ref in (a, b)]
    if nodes[0] is None or nodes[1] is None:
        return False
    return ctx.levels.point(position).conducting.joined(nodes[0], nodes[1])


def _conflict(
    ctx: Context, switch: Inside[SwitchContact], a: str, b: str, joined: list[Position]
) -> Conflict:
    path = tuple(_way(ctx, a, b, joined[0]))
    spots = [ref for ref in path if kind_of(ref) == "terminal" and ref not in (a, b)]
    leads = list(dict.fromkeys(map(ctx.lead, spots)))
    by = f" by {places(ctx.job, leads)}" if leads else ""
    direct = ctx.graph.path(a, b)
    return Conflict(
        rule=cut_off.name,
        level="stop",
        message=f"{switch.part} would be open and yet its two sides be joined{by} "
        f"{when(joined, ctx.positions)}.",
        why="What is switched on goes by that way.",
        mend="Take that way off, or lead it to the same side of the switch.",
        where=(switch.at(switch.it.a), *leads),
        wires=ctx.conductors(path),
        path=path,
        positions=names(joined),
        mends=apart(ctx, direct, [a], [b]) if direct else (),
    )


def _way(ctx: Context, a: str, b: str, position: Position) -> Iterator[str]:
    """The ids along the way of least ohms from one side to the other."""
    engine_places, conducting = ctx.levels.engine.places, ctx.levels.point(position).conducting
    start, goal = engine_places.node(a), engine_places.node(b)
    assert start is not None
    assert goal is not None
    seen: set[str] = set()
    devices = ctx.levels.engine.plan.devices
    for branch in shortest(conducting.of(start), start, goal):
        ids: tuple[str, ...] = engine_places.names.get(branch.row, ()) if branch.row >= 0 else ()
        if branch.row >= 0 and not ids:
            name = str(engine_places.plan.names[branch.row])
            known = devices.get(name.partition(" ")[0])
            ids = () if known is None else tuple(f"{known[0]}.{t}" for t in terminals_of(known[1]))
        for ref in ids:
            if ref not in seen:
                seen.add(ref)
                yield ref
