"""What conducts, opens and closes, drawn as pieces of a circuit."""

from __future__ import annotations

from core.circuit.network import Diode, Fuse, GatedSwitch, Relay
from core.circuit.sketch import BODY, Pen
from core.job import internals as kinds


def fuse(pen: Pen, name: str, it: kinds.Fuse | kinds.Breaker) -> None:
    a, b, amps = pen.at(it.a), pen.at(it.b), it.amps
    ohms = it.ohms or pen.limits["fuse_volts"] / amps
    pen.add(name, lambda nodes, _: Fuse(name, nodes[a], nodes[b], amps, ohms))


def switch(pen: Pen, name: str, it: kinds.SwitchContact) -> None:
    a, b, closed = pen.at(it.a), pen.at(it.b), it.closed
    ohms = it.ohms or pen.limits["switch_ohms"]
    pen.add(name, lambda nodes, whens: GatedSwitch(name, nodes[a], nodes[b], ohms, None, whens(closed)))


def relay(pen: Pen, name: str, it: kinds.Relay) -> None:
    """A coil for other volts takes the same watts."""
    limits, system = pen.limits, pen.terms.system
    plus, minus, common = pen.at(it.coil_plus), pen.at(it.coil_minus), pen.at(it.common)
    make, rest = pen.maybe(it.make), pen.maybe(it.rest)
    squared = (system / 12) ** 2
    if it.clamp == "resistor":
        pen.row(f"{name} clamp", plus, minus, it.clamp_ohms or limits["clamp_ohms_12v"] * squared)
    coil = it.coil_ohms or limits["coil_ohms_12v"] * squared
    pull_in = it.pull_in_volts or limits["pull_in_share"] * system
    drop_out = it.drop_out_volts or min(limits["drop_out_share"] * system, pull_in)
    clamp = limits["clamp_volts"] if it.clamp == "diode" else None
    pen.add(
        name,
        lambda nodes, _: Relay(
            name,
            nodes[plus],
            nodes[minus],
            coil,
            pull_in,
            drop_out,
            nodes[common],
            None if make is None else nodes[make],
            None if rest is None else nodes[rest],
            limits["switch_ohms"],
            clamp,
        ),
    )


def diode(pen: Pen, name: str, it: kinds.Diode) -> None:
    anode, cathode, drop = pen.at(it.anode), pen.at(it.cathode), it.drop_volts
    ohms = pen.limits["diode_ohms"]
    pen.add(name, lambda nodes, _: Diode(name, nodes[anode], nodes[cathode], drop, ohms))


def resistor(pen: Pen, name: str, it: kinds.Resistor) -> None:
    pen.row(name, pen.at(it.a), pen.at(it.b), it.ohms)


def link(pen: Pen, _: str, it: kinds.Link) -> None:
    pen.joined.append((pen.at(it.a), pen.at(it.b)))


def shield(pen: Pen, name: str, it: kinds.Shield) -> None:
    if it.touches is not None:
        pen.row(name, pen.at(it.a), pen.at(it.touches), it.ohms or pen.limits["shield_ohms"])


def case(pen: Pen, name: str, it: kinds.Case) -> None:
    if it.touches_body:
        pen.row(name, pen.at(it.a), BODY, it.ohms or pen.limits["bolt_ohms"])
