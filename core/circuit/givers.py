"""What parts make of their own supply, drawn as pieces of a circuit."""

from __future__ import annotations

from core.circuit.network import GatedSwitch, Regulator
from core.circuit.sketch import KeyVolts, Pen
from core.job import internals as kinds
from core.job.internals import LiveIn


def output(pen: Pen, name: str, it: kinds.Output) -> None:
    """The supply switched through, or its own volts from the supply. Without a supply, a source."""
    limits = pen.limits
    supply, reference = pen.supply(it.fed_from), pen.reference(it.reference)
    ohms = it.ohms or limits["output_ohms"]
    if supply is None or (it.volts is not None and it.volts <= 0):
        volts = pen.terms.battery if it.volts is None else it.volts
        _source(pen, name, (pen.at(it.terminal), reference), volts, ohms, it.live, it.on_by)
    elif it.volts is None:
        _switch(pen, name, (supply, pen.at(it.terminal), reference), ohms, it.live, it.on_by)
    else:
        most = it.amps or limits["output_amps"]
        between = (supply, pen.at(it.terminal), reference)
        _linear(pen, name, between, (it.volts, None), ohms, most, it.live, it.on_by)


def low_side(pen: Pen, name: str, it: kinds.LowSideOutput) -> None:
    terminal, reference = pen.at(it.terminal), pen.at(it.reference)
    ohms = it.ohms or pen.limits["output_ohms"]
    _switch(pen, name, (terminal, reference, reference), ohms, it.live, it.on_by)


def speaker_output(pen: Pen, name: str, it: kinds.SpeakerOutput) -> None:
    """Bridged: both leads at half the supply while the part is on. Single-ended: minus stands on ground, and
    plus, behind its capacitor, on none but its own leak.
    """
    plus, minus = pen.at(it.plus), pen.at(it.minus)
    reference, supply = pen.reference(None), pen.supply(it.fed_from)
    ohms = pen.limits["speaker_output_ohms"]
    if not it.bridged:
        pen.row(f"{name} -", minus, reference, ohms)
        pen.row(f"{name} +", plus, reference, pen.limits["load_off_ohms"])
        return
    on_by = it.on_by or (pen.insides.wake if it.fed_from is None else None)
    a, b, c, d, e = (volts / 2 for volts in pen.terms.battery)
    for sign, lead in (("+", plus), ("-", minus)):
        one = f"{name} {sign}"
        if supply is None:
            _source(pen, one, (lead, reference), (a, b, c, d, e), ohms, None, on_by)
        else:
            _linear(pen, one, (supply, lead, reference), (None, 0.5), ohms, None, None, on_by, sinks=True)


def step_down(pen: Pen, name: str, it: kinds.StepDown) -> None:
    drop = pen.limits["drop_out_volts"] if it.drop_out_volts is None else it.drop_out_volts
    _converter(pen, name, it, drop, 0.0, pen.limits["body_diode_volts"])


def step_up(pen: Pen, name: str, it: kinds.StepUp) -> None:
    _converter(pen, name, it, 0.0, max(it.accepts.least, 0.0), None)


def _converter(
    pen: Pen,
    name: str,
    it: kinds.StepDown | kinds.StepUp,
    drop_out: float,
    least: float,
    back_drop: float | None,
) -> None:
    into, out, common, limits = pen.at(it.input), pen.at(it.output), pen.at(it.common), pen.limits
    switching = it.sort == "switching"
    efficiency = (it.efficiency or limits["step_down_efficiency"]) if switching else 1.0
    idle = limits["step_down_idle_amps"] if it.idle_amps is None else it.idle_amps
    ohms = limits["step_down_ohms"]
    pen.add(
        name,
        lambda nodes, _: Regulator(
            name,
            nodes[into],
            nodes[out],
            nodes[common],
            it.volts_out,
            None,
            ohms,
            switching,
            efficiency,
            idle,
            drop_out,
            least,
            it.amps,
            back_drop_volts=back_drop,
            steps_up=isinstance(it, kinds.StepUp),
        ),
    )


def _switch(
    pen: Pen, name: str, between: tuple[str, str, str], ohms: float, live: LiveIn | None, on_by: str | None
) -> None:
    """Joins the first two nodes; the third is what its gate counts from."""
    a, b, reference = between
    by = pen.maybe(on_by)
    pen.add(
        name,
        lambda nodes, whens: GatedSwitch(
            name, nodes[a], nodes[b], ohms, pen.gate(nodes, by, reference), whens(live)
        ),
    )


def _source(
    pen: Pen,
    name: str,
    between: tuple[str, str],
    volts: float | KeyVolts,
    ohms: float,
    live: LiveIn | None,
    on_by: str | None,
) -> None:
    lead, reference = between
    if on_by is None:
        pen.source(name, lead, reference, volts, ohms, live)
        return
    inside = pen.node(f"{name} source")
    pen.source(f"{name} source", inside, reference, volts, 0.0)
    _switch(pen, name, (inside, lead, reference), ohms, live, on_by)


def _linear(
    pen: Pen,
    name: str,
    between: tuple[str, str, str],
    held: tuple[float | None, float | None],
    ohms: float,
    most_amps: float | None,
    live: LiveIn | None,
    on_by: str | None,
    *,
    sinks: bool = False,
) -> None:
    """Holds the second node above the third, at volts or at a share of the first's."""
    supply, lead, reference = between
    volts, ratio = held
    by = pen.maybe(on_by)
    pen.add(
        name,
        lambda nodes, whens: Regulator(
            name,
            nodes[supply],
            nodes[lead],
            nodes[reference],
            volts,
            ratio,
            ohms,
            switching=False,
            efficiency=1.0,
            idle_amps=0.0,
            drop_out_volts=0.0,
            least_volts=0.0,
            limit_amps=most_amps,
            sinks=sinks,
            gate=pen.gate(nodes, by, reference),
            when=whens(live),
        ),
    )
