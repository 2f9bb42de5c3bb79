"""What is fed, and what only looks or carries a signal, drawn as pieces of a circuit."""

from __future__ import annotations

from typing import Literal

from core.circuit.implied import ALWAYS_LIVE
from core.circuit.network import Gate, GatedSwitch, Lamp, Load
from core.circuit.positions import DEAD_FRACTION, LIVE_FRACTION, button_switch
from core.circuit.sketch import LEAST_OHMS, KeyVolts, Nodes, Pen
from core.job import internals as kinds
from core.job.internals import LiveIn

Law = Literal["amps", "ohms", "watts"]


def load(pen: Pen, name: str, it: kinds.Load) -> None:
    """By its law; without one, the ohms of its idle amps or of a load that is off."""
    plus, minus = pen.poles(it.plus, it.minus)
    system = pen.terms.system
    idle = system / it.idle_amps if it.idle_amps else pen.limits["load_off_ohms"]
    stated: tuple[tuple[Law, float | None], ...] = (
        ("amps", it.amps),
        ("ohms", it.ohms),
        ("watts", it.watts),
    )
    found = next(((law, value) for law, value in stated if value is not None), None)
    if found is None:
        pen.row(name, plus, minus, idle)
        return
    law, value = found
    # Below what counts as dead nothing works: it draws like a resistor there at the latest.
    least = _least_volts(pen, it) or DEAD_FRACTION * system
    on_by, on, diode = pen.maybe(it.on_by), it.on, it.reversed == "diode"
    pen.add(
        name,
        lambda nodes, whens: Load(
            name,
            nodes[plus],
            nodes[minus],
            law,
            value,
            least,
            idle,
            diode,
            pen.gate(nodes, on_by, minus),
            whens(on),
        ),
    )


def lamp(pen: Pen, name: str, it: kinds.Lamp) -> None:
    a, b, volts, watts = pen.at(it.a), pen.at(it.b), it.volts, it.watts
    cold = it.cold_ohms or pen.limits["lamp_cold_share"] * volts**2 / watts
    pen.add(name, lambda nodes, _: Lamp(name, nodes[a], nodes[b], volts, watts, cold))


def sense(pen: Pen, name: str, it: kinds.Sense) -> None:
    """Its own ohms to its reference; one that looks for ground holds its lead up besides."""
    terminal, reference = pen.at(it.terminal), pen.reference(it.reference)
    pen.row(name, terminal, reference, it.ohms or pen.limits["sense_ohms"])
    if it.active == "low":
        volts: float | KeyVolts = pen.limits["sense_pull_up_volts"]
        if it.pull_up_volts is not None:
            volts = it.pull_up_volts
        elif it.pull_up_ohms is not None:
            volts = pen.terms.battery
        held_by = it.pull_up_ohms or pen.limits["sense_pull_up_ohms"]
        _pull_up(pen, f"{name} pull-up", it.terminal, reference, volts, held_by)


def speaker(pen: Pen, name: str, it: kinds.Speaker) -> None:
    pen.row(name, pen.at(it.plus), pen.at(it.minus), it.ohms)


def button_ladder(pen: Pen, name: str, it: kinds.ButtonLadder) -> None:
    """A resistance for each button, there while it is held. What is there at rest stays there beside it, so
    that the two together make what the button is said to have.
    """
    signal, reference = pen.at(it.signal), pen.at(it.reference)
    if it.rest_ohms is not None:
        pen.row(name, signal, reference, it.rest_ohms)
    for button, ohms in it.ohms.items():
        beside = ohms
        if it.rest_ohms is not None and ohms < it.rest_ohms:
            beside = ohms * it.rest_ohms / (it.rest_ohms - ohms)
        held = LiveIn(keys=ALWAYS_LIVE.keys, switch=button_switch(button))
        pen.row(f"{name} {button}", signal, reference, max(beside, LEAST_OHMS), held)


def ladder_reader(pen: Pen, name: str, it: kinds.LadderReader) -> None:
    _pull_up(pen, name, it.terminal, pen.at(it.reference), it.pull_up_volts, it.pull_up_ohms)


def _pull_up(
    pen: Pen, name: str, terminal: str, reference: str, volts: float | KeyVolts, ohms: float
) -> None:
    """Holds an input up while its part is awake; always, where the part has no feed of its own."""
    lead, by, times = pen.at(terminal), *_awake(pen, terminal)
    if by is None:
        pen.source(name, lead, reference, volts, ohms, times)
        return
    inside, low = pen.node(f"{name} source"), pen.reference(None)
    pen.source(f"{name} source", inside, reference, volts, 0.0)
    pen.add(
        name,
        lambda nodes, whens: GatedSwitch(
            name, nodes[inside], nodes[lead], ohms, _gate(pen, nodes, by, low), whens(times)
        ),
    )


def _awake(pen: Pen, terminal: str) -> tuple[str | None, LiveIn | None]:
    """What a part's electronics are on by: the lead that wakes it, else its feed; and their times, where the
    load on that feed has some.
    """
    insides = pen.insides
    fed = [i for i in insides.internals if isinstance(i, kinds.Load) and i.plus == insides.supply]
    ways = (insides.wake, *(load.on_by for load in fed), insides.supply)
    by = next((name for name in ways if name not in (None, terminal)), None)
    return by, next((load.on for load in fed if load.on is not None), None)


def _gate(pen: Pen, nodes: Nodes, by: str, reference: str) -> Gate | None:
    """A part for fewer volts than the system's is awake by fewer of them."""
    gate = pen.gate(nodes, pen.at(by), reference)
    loads = (i for i in pen.insides.internals if isinstance(i, kinds.Load) and i.plus == by)
    least = [volts for load in loads if (volts := _least_volts(pen, load)) is not None]
    if gate is None or not least or min(least) >= gate.on_volts:
        return gate
    return Gate(gate.node, gate.reference, min(least), min(least) * DEAD_FRACTION / LIVE_FRACTION)


def _least_volts(pen: Pen, load: kinds.Load) -> float | None:
    """What a load needs at the least to work, where it says so."""
    accepts = load.accepts or pen.accepts(load.plus)
    return load.least_volts or (accepts.least if accepts and accepts.least > 0 else None)


def data_pair(pen: Pen, name: str, it: kinds.DataPair) -> None:
    if it.termination_ohms is not None:
        pen.row(name, pen.at(it.high), pen.at(it.low), it.termination_ohms)


def signal(pen: Pen, name: str, it: kinds.Video | kinds.LineLevel | kinds.Antenna) -> None:
    """Only its termination conducts."""
    if it.termination_ohms is not None:
        pen.row(name, pen.at(it.terminal), pen.reference(it.reference), it.termination_ohms)
