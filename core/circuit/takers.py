"""What is fed, and what only looks or carries a signal, drawn as pieces of a circuit."""

from __future__ import annotations

from typing import Literal

from core.circuit.implied import ALWAYS_LIVE
from core.circuit.network import Lamp, Load
from core.circuit.positions import DEAD_FRACTION, button_switch
from core.circuit.sketch import LEAST_OHMS, KeyVolts, Pen
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
    accepts = it.accepts or pen.accepts(it.plus)
    # Below what counts as dead nothing works: it draws like a resistor there at the latest.
    usual = accepts.least if accepts and accepts.least > 0 else DEAD_FRACTION * system
    least = it.least_volts or usual
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
        pen.source(f"{name} pull-up", terminal, reference, volts, held_by)


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
    terminal, reference = pen.at(it.terminal), pen.at(it.reference)
    pen.source(name, terminal, reference, it.pull_up_volts, it.pull_up_ohms)


def data_pair(pen: Pen, name: str, it: kinds.DataPair) -> None:
    if it.termination_ohms is not None:
        pen.row(name, pen.at(it.high), pen.at(it.low), it.termination_ohms)


def signal(pen: Pen, name: str, it: kinds.Video | kinds.LineLevel | kinds.Antenna) -> None:
    """Only its termination conducts."""
    if it.termination_ohms is not None:
        pen.row(name, pen.at(it.terminal), pen.reference(it.reference), it.termination_ohms)
