"""What parts make of their own supply, and what turns it on, as elements of a deck."""

from __future__ import annotations

import math

from core.circuit.positions import DEAD_FRACTION, LIVE_FRACTION
from core.job import internals as kinds
from core.job.internals import LiveIn
from core.job.parts import Part
from tests.spice import laws
from tests.spice.deck import LEAST_SOURCE_OHMS, Builder, usual_volts
from tests.spice.elements import Emf, Flow, Held
from tests.spice.tables import limits


class Outputs(Builder):
    """Adds switched outputs, amplifier channels and converters."""

    def flow(self, *flows: Flow) -> None:
        for flow in flows:
            self.add(flow)

    def on(self, name: str, gate: tuple[str, str, float] | None, times: LiveIn | None = None) -> bool:
        """Whether it is on: by its times, and as told where a terminal turns it on, against a reference."""
        if gate is None:
            return self.live(times)
        terminal, reference, threshold = gate
        on = name in self.told.on
        least, most = (threshold * DEAD_FRACTION / LIVE_FRACTION, math.inf) if on else (-math.inf, threshold)
        self.deck.held.append(Held(name, terminal, reference, least, most))
        return on and self.live(times)

    def gate(self, part: Part, on_by: str | None, reference: str) -> tuple[str, str, float] | None:
        """What turns something on, against what, and from how many volts: as an input there says."""
        if on_by is None:
            return None
        threshold = LIVE_FRACTION * self.system
        for internal in part.internals:
            if isinstance(internal, kinds.Sense) and internal.terminal == on_by and internal.threshold_volts:
                threshold = internal.threshold_volts
        return self.at(part, on_by), reference, threshold

    def output(self, name: str, part: Part, output: kinds.Output) -> None:
        """The supply passed on or held at volts; without a supply, a source of its own."""
        supply, lead = self.supply(part, output.fed_from), self.at(part, output.terminal)
        reference = self.reference(part, output.reference)
        ohms = output.ohms or limits()["output_ohms"]
        on = self.on(name, self.gate(part, output.on_by, reference), output.live)
        if supply is None or (output.volts is not None and output.volts <= 0):
            volts = usual_volts(self.job, self.position, {}) if output.volts is None else output.volts
            if on:
                self.own_source(name, lead, reference, volts, ohms, gated=output.on_by is not None)
        elif not on:
            pass
        elif output.volts is None:
            self.ohm(name, supply, lead, ohms)
        else:
            most = output.amps or limits()["output_amps"]
            between = supply, lead, reference
            self.flow(*laws.Converter(name, *between, ohms, output.volts, limit_amps=most).flows())

    def own_source(
        self, name: str, lead: str, reference: str, volts: float, ohms: float, *, gated: bool
    ) -> None:
        """What an output gives that has no supply; behind a switch where something turns it on."""
        if not gated:
            self.add(Emf(name, lead, reference, volts, max(ohms, LEAST_SOURCE_OHMS)))
            return
        inside = f"{name} source"
        self.add(Emf(inside, inside, reference, volts, LEAST_SOURCE_OHMS))
        self.ohm(name, inside, lead, ohms)

    def low_side(self, name: str, part: Part, output: kinds.LowSideOutput) -> None:
        reference = self.at(part, output.reference)
        if self.on(name, self.gate(part, output.on_by, reference), output.live):
            ohms = output.ohms or limits()["output_ohms"]
            self.ohm(name, self.at(part, output.terminal), reference, ohms)

    def speaker_output(self, name: str, part: Part, output: kinds.SpeakerOutput) -> None:
        """Bridged: both leads at half the supply. Else minus on ground, plus on nothing but a leak."""
        plus, minus = self.at(part, output.plus), self.at(part, output.minus)
        supply, reference = self.supply(part, output.fed_from), self.reference(part, None)
        ohms = limits()["speaker_output_ohms"]
        if not output.bridged:
            self.ohm(f"{name} -", minus, reference, ohms)
            self.ohm(f"{name} +", plus, reference, limits()["load_off_ohms"])
            return
        wake = output.on_by or (self.wake(part) if output.fed_from is None else None)
        gate = self.gate(part, wake, reference)
        for sign, lead in (("+", plus), ("-", minus)):
            one = f"{name} {sign}"
            if not self.on(one, gate):
                continue
            if supply is None:
                half = usual_volts(self.job, self.position, {}) / 2
                self.own_source(one, lead, reference, half, ohms, gated=gate is not None)
            else:
                self.flow(*laws.Converter(one, supply, lead, reference, ohms, ratio=0.5, sinks=True).flows())

    def converter(self, name: str, part: Part, it: kinds.StepDown | kinds.StepUp) -> None:
        into, out, common = (self.at(part, ref) for ref in (it.input, it.output, it.common))
        ohms = limits()["step_down_ohms"]
        drop, least = 0.0, None
        if isinstance(it, kinds.StepUp):
            least = max(it.accepts.least, laws.LEAST_STEP_UP_VOLTS)
        else:
            drop = limits()["drop_out_volts"] if it.drop_out_volts is None else it.drop_out_volts
            self.flow(laws.diode(f"{name} back", out, into, limits()["body_diode_volts"], ohms))
        made = laws.Converter(
            name,
            into,
            out,
            common,
            ohms,
            it.volts_out,
            drop_out_volts=drop,
            least_volts=least,
            efficiency=self.efficiency(it),
            limit_amps=it.amps or math.inf,
            idle_amps=limits()["step_down_idle_amps"] if it.idle_amps is None else it.idle_amps,
        )
        self.flow(*made.flows())

    def efficiency(self, it: kinds.StepDown | kinds.StepUp) -> float | None:
        """None for a linear one; what steps up cannot be one, whatever it is called."""
        if it.sort == "switching":
            return it.efficiency or limits()["step_down_efficiency"]
        return 1.0 if isinstance(it, kinds.StepUp) else None
