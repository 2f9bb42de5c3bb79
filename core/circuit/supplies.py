"""Batteries, feeds, grounds and the car's switches to ground, drawn as pieces of a circuit."""

from __future__ import annotations

from core.circuit.network import Fuse, GatedSwitch, Regulator
from core.circuit.sketch import BODY, KeyVolts, Pen
from core.job import internals as kinds


def battery(pen: Pen, name: str, it: kinds.Battery) -> None:
    """Volts left out are the settings'. The main one is the car's own."""
    rest, _, _, start, running = pen.terms.battery
    at_rest = it.rest_volts or rest
    volts: KeyVolts = (at_rest, at_rest, at_rest, it.start_volts or start, it.running_volts or running)
    plus, minus = pen.at(it.plus), pen.at(it.minus)
    if it.main:
        pen.mains.append((name, plus, minus))
    pen.source(name, plus, minus, volts, it.ohms or battery_ohms(pen))


def battery_ohms(pen: Pen) -> float:
    return pen.limits["battery_ohms_12v"] * pen.terms.system / 12


def ground_point(pen: Pen, name: str, it: kinds.GroundPoint) -> None:
    pen.row(name, pen.at(it.terminal), BODY, it.ohms or pen.limits["bolt_ohms"])


def switch_to_ground(pen: Pen, name: str, it: kinds.SwitchToGround) -> None:
    """What holds it up while it is open is the hot pole, or a source of its own volts."""
    terminal, limits = pen.at(it.terminal), pen.limits
    ohms = it.ohms or limits["switch_ohms"]
    closed = it.closed
    pen.add(
        name, lambda nodes, whens: GatedSwitch(name, nodes[terminal], nodes[BODY], ohms, None, whens(closed))
    )
    pull_up = f"{name} pull-up"
    if it.pull_up_volts is not None:
        plus, minus = (terminal, BODY) if pen.terms.negative else (BODY, terminal)
        held_by = it.pull_up_ohms or limits["sense_pull_up_ohms"]
        pen.source(pull_up, plus, minus, it.pull_up_volts, held_by, it.pulled_up)
    elif it.pull_up_ohms is not None:
        pen.row(pull_up, pen.terms.hot, terminal, it.pull_up_ohms, it.pulled_up)


def feed(pen: Pen, name: str, it: kinds.Feed) -> None:
    """From the hot pole, another feed or a source of its own, through its fuse and its switch."""
    terminal, limits = pen.at(it.terminal), pen.limits
    ohms = max(it.ohms or limits["feed_ohms"], 1e-3)
    pen.row(f"{name} rest", terminal, BODY, limits["feed_rest_ohms"])
    fused = it.fuse_amps is not None or it.fuse
    if it.volts is not None and it.fed_from is None:
        simple = it.duty is None
        start = terminal if simple and it.fuse_amps is None else pen.node(f"{name} source")
        source = name if simple else f"{name} source"
        plus, minus = (start, BODY) if pen.terms.negative else (BODY, start)
        pen.source(source, plus, minus, it.volts, ohms, it.live)
        if it.fuse_amps is not None:
            start = _fuse(pen, f"{name} fuse", start, terminal if simple else None, it.fuse_amps)
        if simple:
            return
    elif it.fed_from is not None:
        start = pen.at(it.fed_from)
        if it.fuse_amps is not None:
            start = _fuse(pen, f"{name} fuse", start, None, it.fuse_amps)
    elif fused and it.fuse:
        start = f"fuse {it.fuse}"
        pen.fused.append((it.fuse, it.fuse_amps))
    elif it.fuse_amps is not None:
        start = _fuse(pen, f"{name} fuse", pen.terms.hot, None, it.fuse_amps)
    else:
        start = pen.terms.hot
    _switch(pen, name, it, start, ohms)


def _fuse(pen: Pen, name: str, start: str, end: str | None, amps: float) -> str:
    after = end or pen.node(name)
    ohms = pen.limits["fuse_volts"] / amps
    pen.add(name, lambda nodes, _: Fuse(name, nodes[start], nodes[after], amps, ohms))
    return after


def _switch(pen: Pen, name: str, it: kinds.Feed, start: str, ohms: float) -> None:
    terminal, live = pen.at(it.terminal), it.live
    regulated = it.volts if it.fed_from is not None else None
    if it.duty is None and regulated is None:
        pen.add(
            name,
            lambda nodes, whens: GatedSwitch(name, nodes[start], nodes[terminal], ohms, None, whens(live)),
        )
        return
    duty = it.duty or 1.0
    if pen.terms.negative or regulated is not None:
        pulled_from, common, ratio, full = start, BODY, duty, 1.0
    else:
        # With plus on the body a pulsed feed joins its lead to minus for a share of the time.
        pulled_from, common, ratio, full = BODY, start, 1 - duty, 0.0
    if it.duty is not None:
        pen.full[name] = (regulated, None if regulated is not None else full)
    volts_out = None if regulated is None else regulated * duty
    pen.add(
        name,
        lambda nodes, whens: Regulator(
            name,
            nodes[pulled_from],
            nodes[terminal],
            nodes[common],
            volts_out,
            None if volts_out is not None else ratio,
            ohms,
            switching=it.duty is not None,
            efficiency=1.0,
            idle_amps=0.0,
            drop_out_volts=0.0,
            least_volts=0.0,
            limit_amps=None,
            sinks=common != BODY,
            when=whens(live),
        ),
    )
