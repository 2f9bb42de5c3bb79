"""What parts do between their terminals, kind by kind, as elements of a deck."""

from __future__ import annotations

import math
import re

from core.circuit.positions import DEAD_FRACTION, Position
from core.job import internals as kinds
from core.job.document import Job
from core.job.internals import Internal
from core.job.parts import Part
from core.library.library import Library
from tests.spice import laws
from tests.spice.deck import BODY, LEAST_SOURCE_OHMS, Told, usual_volts
from tests.spice.elements import Deck, Emf, Held
from tests.spice.outputs import Outputs
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


class Parts(Outputs):
    """Adds everything else that stands inside of parts."""

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
