"""What parts do between their terminals, kind by kind, as elements of a deck."""

from __future__ import annotations

import math
import re

from core.circuit.positions import DEAD_FRACTION, LIVE_FRACTION, Position
from core.job import internals as kinds
from core.job.document import Job
from core.job.internals import Internal, LiveIn
from core.job.parts import Part
from core.library.library import Library
from tests.spice import laws
from tests.spice.deck import BODY, LEAST_SOURCE_OHMS, Builder, Told, usual_volts
from tests.spice.elements import Deck, Emf, Flow, Held
from tests.spice.tables import limits

LEAST_LAW_VOLTS = 0.1
BLOCKED_DIODE_VOLTS, BLOCKED_DIODE_OHMS = 0.7, 0.01
"""Of the diode that leads where a load is fed the wrong way round; the ohms are a clamp's too."""


def deck_of(
    job: Job, library: Library, position: Position, told: Told, *, bench: bool = False, full: bool = False
) -> Deck:
    """The whole job in one position. `bench`: on the bench supply; `full`: pulsed feeds at full volts."""
    builder = Parts(job, library, position, told, bench=bench, full=full)
    builder.merge_all()
    builder.wiring()
    builder.car()
    for tag, part in job.parts.items():
        for number, internal in enumerate(builder.internals[tag]):
            builder.internal(f"{tag}#{number}", part, internal)
    return builder.finish()


class Parts(Builder):
    """Adds what stands inside of parts."""

    def internal(self, name: str, part: Part, internal: Internal) -> None:
        match internal:
            case kinds.Battery():
                self.battery(name, part, internal)
            case kinds.Feed():
                self.feed(name, part, internal)
            case kinds.GroundPoint():
                self.ohm(
                    name,
                    self.at(part, internal.terminal),
                    self.node(BODY),
                    internal.ohms or limits()["bolt_ohms"],
                )
            case kinds.SwitchToGround():
                self.switch_to_ground(name, part, internal)
            case kinds.Load():
                self.load(name, part, internal)
            case kinds.Lamp():
                hot = internal.volts**2 / internal.watts
                cold = internal.cold_ohms or hot * limits()["lamp_cold_share"]
                a, b = self.at(part, internal.a), self.at(part, internal.b)
                self.flow(laws.lamp(name, a, b, internal.volts, internal.watts, min(cold, hot)))
            case kinds.Sense():
                self.sense(name, part, internal)
            case kinds.Speaker():
                self.ohm(name, self.at(part, internal.plus), self.at(part, internal.minus), internal.ohms)
            case kinds.Output():
                self.output(name, part, internal)
            case kinds.LowSideOutput():
                self.low_side(name, part, internal)
            case kinds.SpeakerOutput():
                self.speaker_output(name, part, internal)
            case kinds.StepDown() | kinds.StepUp():
                self.converter(name, part, internal)
            case kinds.Relay():
                self.relay(name, part, internal)
            case kinds.Diode():
                ends = self.at(part, internal.anode), self.at(part, internal.cathode)
                self.flow(laws.diode(name, *ends, internal.drop_volts, limits()["diode_ohms"]))
            case _:
                self.passive(name, part, internal)

    def flow(self, *flows: Flow) -> None:
        for flow in flows:
            self.add(flow)

    def passive(self, name: str, part: Part, internal: Internal) -> None:
        match internal:
            case kinds.Fuse() | kinds.Breaker():
                self.fuse(
                    name, self.at(part, internal.a), self.at(part, internal.b), internal.amps, internal.ohms
                )
            case kinds.SwitchContact() if self.live(internal.closed):
                ohms = internal.ohms or limits()["switch_ohms"]
                self.ohm(name, self.at(part, internal.a), self.at(part, internal.b), ohms)
            case kinds.Resistor():
                self.ohm(name, self.at(part, internal.a), self.at(part, internal.b), internal.ohms)
            case kinds.Shield() if internal.touches is not None:
                ohms = internal.ohms or limits()["shield_ohms"]
                self.ohm(name, self.at(part, internal.a), self.at(part, internal.touches), ohms)
            case kinds.Case() if internal.touches_body:
                ohms = internal.ohms or limits()["bolt_ohms"]
                self.ohm(name, self.at(part, internal.a), self.node(BODY), ohms)
            case kinds.ButtonLadder():
                ends = self.at(part, internal.signal), self.at(part, internal.reference)
                rest = internal.rest_ohms
                if rest is not None:
                    self.ohm(name, *ends, rest)
                for button, ohms in internal.ohms.items():
                    if slug(button) in self.position.switches:
                        # What is there at rest stays: both together are what the button is said to have.
                        beside = ohms if rest is None or ohms >= rest else 1 / (1 / ohms - 1 / rest)
                        self.ohm(f"{name} {button}", *ends, beside)
            case kinds.LadderReader():
                reference = self.at(part, internal.reference)
                held = internal.pull_up_volts, internal.pull_up_ohms
                self.pull_up(name, part, internal.terminal, reference, *held)
            case kinds.DataPair() if internal.termination_ohms is not None:
                ends = self.at(part, internal.high), self.at(part, internal.low)
                self.ohm(name, *ends, internal.termination_ohms)
            case kinds.Video() | kinds.LineLevel() | kinds.Antenna() if internal.termination_ohms is not None:
                ends = self.at(part, internal.terminal), self.reference(part, internal.reference)
                self.ohm(name, *ends, internal.termination_ohms)
            case _:
                pass

    # where volts come from

    def battery(self, name: str, part: Part, battery: kinds.Battery) -> None:
        own = {key: getattr(battery, f"{key}_volts") for key in ("rest", "start", "running")}
        volts = usual_volts(self.job, self.position, own)
        ohms = max(battery.ohms or self.battery_ohms, LEAST_SOURCE_OHMS)
        self.add(Emf(name, self.at(part, battery.plus), self.at(part, battery.minus), volts, ohms))

    def feed(self, name: str, part: Part, feed: kinds.Feed) -> None:
        """Where it starts, through its fuse and its switch to its terminal; and what else hangs on it."""
        terminal = self.at(part, feed.terminal)
        ohms = max(feed.ohms or limits()["feed_ohms"], LEAST_SOURCE_OHMS)
        self.ohm(f"{name} rest", terminal, self.node(BODY), limits()["feed_rest_ohms"])
        steady = feed.duty is None and (feed.volts is None or feed.fed_from is None)
        own = feed.volts is not None and feed.fed_from is None
        shared = feed.fed_from is None and not own and bool(feed.fuse)
        fuse_name = f"fuse {feed.fuse}" if shared else f"{name} fuse"
        amps = self.fuse_amps(feed, shared=shared)
        if own:
            # Nothing but its fuse, if it has one, stands between its own source and its terminal.
            start = terminal if steady and amps is None else f"{name} source"
            if self.live(feed.live) and feed.volts is not None:
                source = name if steady else f"{name} source"
                self.add(Emf(source, start, self.node(BODY), self.ground_sign * feed.volts, ohms))
        else:
            start = self.hot() if feed.fed_from is None else self.at(part, feed.fed_from)
        if amps is not None:
            behind = terminal if own and steady else f"behind {fuse_name}"
            if fuse_name not in self.fused:
                self.fused.add(fuse_name)
                self.fuse(fuse_name, start, behind, amps)
            start = behind
        if not self.live(feed.live) or (own and steady):
            return
        if steady:
            self.ohm(name, start, terminal, ohms)
        else:
            self.regulated(name, feed, start, terminal, ohms)

    def fuse_amps(self, feed: kinds.Feed, *, shared: bool) -> float | None:
        """The rating of a feed's vehicle fuse. A shared one's is stated by any feed that shares it."""
        if not shared:
            return feed.fuse_amps
        said = [
            other.fuse_amps
            for internals in self.internals.values()
            for other in internals
            if isinstance(other, kinds.Feed)
            and other.fuse == feed.fuse
            and other.fuse_amps is not None
            and other.fed_from is None
            and other.volts is None
        ]
        return min(said, default=None)

    def regulated(self, name: str, feed: kinds.Feed, start: str, terminal: str, ohms: float) -> None:
        """A pulsed feed at its average or at its full volts, and one that makes its own volts of another."""
        body, duty = self.node(BODY), 1.0 if self.full or feed.duty is None else feed.duty
        efficiency = None if feed.duty is None else 1.0
        if feed.volts is not None and feed.fed_from is not None:
            made = laws.Converter(name, start, terminal, body, ohms, feed.volts * duty, efficiency=efficiency)
        elif self.ground_sign > 0:
            made = laws.Converter(name, start, terminal, body, ohms, ratio=duty, efficiency=efficiency)
        else:
            # With plus on the body it joins its terminal to minus for a share of the time.
            made = laws.Converter(
                name, body, terminal, start, ohms, ratio=1 - duty, efficiency=efficiency, sinks=True
            )
        self.flow(*made.flows())

    def switch_to_ground(self, name: str, part: Part, switch: kinds.SwitchToGround) -> None:
        terminal, body = self.at(part, switch.terminal), self.node(BODY)
        if self.live(switch.closed):
            self.ohm(name, terminal, body, switch.ohms or limits()["switch_ohms"])
        if not self.live(switch.pulled_up):
            return
        if switch.pull_up_volts is not None:
            volts = self.ground_sign * switch.pull_up_volts
            held = switch.pull_up_ohms or limits()["sense_pull_up_ohms"]
            self.add(Emf(f"{name} pull-up", terminal, body, volts, held))
        elif switch.pull_up_ohms is not None:
            self.ohm(f"{name} pull-up", self.hot(), terminal, switch.pull_up_ohms)

    # what draws

    def load(self, name: str, part: Part, load: kinds.Load) -> None:
        """By its law while it is on; else by the ohms of its idle amps, or those of a load that is off."""
        plus, minus = self.poles(part, load.plus, load.minus)
        idle = self.system / load.idle_amps if load.idle_amps else limits()["load_off_ohms"]
        if load.amps is not None:
            law = "amps", load.amps
        elif load.ohms is not None:
            law = "ohms", load.ohms
        elif load.watts is not None:
            law = "watts", load.watts
        else:
            self.ohm(name, plus, minus, idle)
            return
        accepts = load.accepts or part.cavities[f"{part.id}.{load.plus}"].accepts
        usual = accepts.least if accepts and accepts.least > 0 else DEAD_FRACTION * self.system
        if self.on(name, self.gate(part, load.on_by, minus), load.on):
            least = max(load.least_volts or usual, LEAST_LAW_VOLTS)
            self.flow(laws.load(name, plus, minus, *law, least))
        else:
            self.flow(laws.load(name, plus, minus, "ohms", idle, LEAST_LAW_VOLTS))
        if load.reversed == "diode":
            drop, ohms = BLOCKED_DIODE_VOLTS, BLOCKED_DIODE_OHMS
            self.flow(laws.diode(f"{name} reversed", minus, plus, drop, ohms))

    def sense(self, name: str, part: Part, sense: kinds.Sense) -> None:
        terminal, back = self.at(part, sense.terminal), self.reference(part, sense.reference)
        self.ohm(name, terminal, back, sense.ohms or limits()["sense_ohms"])
        if sense.active == "low":
            volts = sense.pull_up_volts
            if volts is None and sense.pull_up_ohms is not None:
                volts = usual_volts(self.job, self.position, {})
            held = sense.pull_up_ohms or limits()["sense_pull_up_ohms"]
            volts = volts or limits()["sense_pull_up_volts"]
            self.pull_up(f"{name} pull-up", part, sense.terminal, back, volts, held)

    def pull_up(self, name: str, part: Part, input_: str, back: str, volts: float, ohms: float) -> None:
        """Held up while the part is awake: by what wakes it, by what turns its load on, or by its feed."""
        supply = self.local_supply(part)
        loads = [i for i in self.internals[part.id] if isinstance(i, kinds.Load)]
        fed = [load for load in loads if load.plus == supply]
        times = next((load.on for load in fed if load.on), None)
        awake_by = [self.wake(part), *(load.on_by for load in fed), supply]
        by = [terminal for terminal in awake_by if terminal and terminal != input_]
        if not by:
            if self.live(times):
                self.add(Emf(name, self.at(part, input_), back, volts, max(ohms, LEAST_SOURCE_OHMS)))
            return
        gate = self.gate(part, by[0], self.reference(part, None))
        assert gate is not None
        least = [gate[2]]
        for load in loads:
            if load.plus == by[0]:
                accepts = load.accepts or part.cavities[f"{part.id}.{load.plus}"].accepts
                least += [value for value in (load.least_volts or (accepts and accepts.least),) if value]
        if self.on(name, (*gate[:2], min(value for value in least if value > 0)), times):
            self.own_source(name, self.at(part, input_), back, volts, ohms, gated=True)

    # what is made of a part's own supply

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

    def relay(self, name: str, part: Part, relay: kinds.Relay) -> None:
        plus, minus = self.at(part, relay.coil_plus), self.at(part, relay.coil_minus)
        scale = self.system / 12
        self.ohm(f"{name} coil", plus, minus, relay.coil_ohms or limits()["coil_ohms_12v"] * scale**2)
        if relay.clamp == "diode":
            self.flow(laws.diode(f"{name} clamp", minus, plus, limits()["clamp_volts"], BLOCKED_DIODE_OHMS))
        elif relay.clamp == "resistor":
            self.ohm(f"{name} clamp", plus, minus, relay.clamp_ohms or limits()["clamp_ohms_12v"] * scale**2)
        pulled = name in self.told.on
        pull_in = relay.pull_in_volts or limits()["pull_in_share"] * self.system
        drop_out = relay.drop_out_volts or min(limits()["drop_out_share"] * self.system, pull_in)
        least, most = (drop_out, math.inf) if pulled else (0.0, pull_in)
        self.deck.held.append(Held(name, plus, minus, least, most, either=True))
        contact = relay.make if pulled else relay.rest
        if contact is not None:
            self.ohm(name, self.at(part, relay.common), self.at(part, contact), limits()["switch_ohms"])


def slug(button: str) -> str:
    """The switch that holds a button down: small letters and digits, a hyphen for what is between."""
    return re.sub(r"[^a-z0-9]+", "-", button.lower().replace("+", " plus ")).strip("-")
