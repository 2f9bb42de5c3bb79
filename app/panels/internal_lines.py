"""What a part does inside, a line a piece: `fuse 10 A between A-1 and A-2`."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from app.panels.internal_words import CHOICES
from app.work.switches import switch_words
from core.circuit.positions import KEYS
from core.ids import local
from core.job import internals as kinds
from core.job.document import Job
from core.job.internals import Internal, LiveIn, VoltWindow
from core.job.parts import Part
from core.library.library import Library


def line_of(internal: Internal, job: Job, library: Library, part: Part) -> str:
    """One piece of a part in the trade's words."""
    return _Lines(job, library, part).of(internal)


def pin_words(job: Job, library: Library, part: Part, name: str) -> str:
    """A pin to choose from: `A-4 accessory, RD`."""
    cavity = next((c for ref, c in part.cavities.items() if local(ref) == name), None)
    if cavity is None:
        return name
    colour = (cavity.lead.colour if cavity.lead else None) or cavity.colour_found or cavity.colour_sheet
    function = library.words(cavity.function) if cavity.function else cavity.label
    return ", ".join(filter(None, (f"{short_pin(part, name)} {function}".rstrip(), colour)))


def short_pin(part: Part, name: str) -> str:
    """A pin inside its part: `A-4`, and `4` where there is one connector only."""
    return name if len(part.connectors) > 1 else name.partition("-")[2]


def times_in_words(job: Job, live: LiveIn) -> str:
    """`always`, `in accessory and run`, `in run with reverse on`, `never`."""
    if not live.keys:
        return "never"
    keys = [key for key in KEYS if key in live.keys]
    words = "" if len(keys) == len(KEYS) else f"in {_listed(keys)}"
    if live.switch is not None:
        words += f" with {_lower(switch_words(job, live.switch))} on"
    if live.unless is not None:
        words += f" with {_lower(switch_words(job, live.unless))} off"
    return words.strip() or "always"


def amps_in_words(amps: float) -> str:
    return f"{amps:g} A" if amps >= 1 or amps == 0 else f"{round(amps * 1000, 6):g} mA"


def ohms_in_words(ohms: float) -> str:
    for least, unit in ((1e6, "Mohm"), (1e3, "kohm"), (0.1, "ohm")):
        if ohms >= least:
            return f"{ohms / (least if least > 1 else 1):g} {unit}"
    return f"{round(ohms * 1000, 6):g} mohm" if ohms else "0 ohm"


def _listed(words: Iterable[str]) -> str:
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last


def _lower(words: str) -> str:
    """The usual switches begin with a capital on their buttons; in a sentence they do not."""
    return words[:1].lower() + words[1:] if words[1:2].islower() else words


def _volts(volts: float) -> str:
    return f"{volts:g} V".replace("-", "−")


def _window(window: VoltWindow) -> str:
    return f"{window.least:g} to {window.most:g} V".replace("-", "−")


def _joined(*pieces: str) -> str:
    return ", ".join(piece for piece in pieces if piece)


def _sentence(*pieces: str) -> str:
    return "; ".join(piece for piece in pieces if piece)


@dataclass(frozen=True)
class _Lines:
    job: Job
    library: Library
    part: Part

    def pin(self, name: str) -> str:
        return short_pin(self.part, name)

    def between(self, a: str, b: str) -> str:
        return f"between {self.pin(a)} and {self.pin(b)}"

    def named(self, name: str) -> str:
        """A pin with what it is for: `accessory A-4`."""
        cavity = self.part.cavities.get(f"{self.part.id}.{name}")
        words = self.library.words(cavity.function) if cavity and cavity.function else ""
        return f"{words} {self.pin(name)}".strip()

    def while_live(self, name: str | None) -> str:
        return f"while {self.named(name)} is live" if name else ""

    def times(self, live: LiveIn | None) -> str:
        return times_in_words(self.job, live) if live is not None else ""

    def of(self, internal: Internal) -> str:
        match internal:
            case kinds.Load():
                return self._load(internal)
            case kinds.Relay():
                return self._relay(internal)
            case kinds.Battery() | kinds.Feed() | kinds.GroundPoint() | kinds.SwitchToGround():
                return self._supply(internal)
            case kinds.Output() | kinds.LowSideOutput() | kinds.SpeakerOutput():
                return self._given(internal)
            case kinds.StepDown() | kinds.StepUp():
                gives = f"{internal.kind}: {_volts(internal.volts_out)} at {self.pin(internal.output)}"
                ends = f"from {self.pin(internal.input)}, minus {self.pin(internal.common)}"
                most = f"at most {amps_in_words(internal.amps)}" if internal.amps else ""
                return _sentence(f"{gives} {ends}", f"needs {_window(internal.accepts)}", most, internal.sort)
            case kinds.Lamp():
                return (
                    f"lamp {internal.volts:g} V {internal.watts:g} W {self.between(internal.a, internal.b)}"
                )
            case kinds.Sense():
                return self._sense(internal)
            case kinds.Speaker():
                ohms = ohms_in_words(internal.ohms)
                return f"speaker {ohms} {self.between(internal.plus, internal.minus)}"
            case kinds.Fuse() | kinds.Breaker() | kinds.SwitchContact() | kinds.Diode() | kinds.Resistor():
                return self._in_line(internal)
            case kinds.Link():
                return f"{self.pin(internal.a)} and {self.pin(internal.b)} are joined inside"
            case kinds.Shield():
                inside = f"joined to {self.pin(internal.touches)} inside" if internal.touches else ""
                return _joined(f"shield at {self.pin(internal.a)}", inside)
            case kinds.Case():
                bolted = "bolted to the car's body" if internal.touches_body else ""
                return _joined(f"metal case at {self.pin(internal.a)}", bolted)
            case _:
                return self._signal(internal)

    def _load(self, load: kinds.Load) -> str:
        at = f"at {self.pin(load.plus)}"
        if load.amps is not None:
            draws = f"draws {amps_in_words(load.amps)} {at}"
        elif load.watts is not None:
            draws = f"takes {load.watts:g} W {at}"
        elif load.ohms is not None:
            draws = f"is {ohms_in_words(load.ohms)} {at}"
        else:
            draws = f"is fed {at}, its amps not stated"
        on = " ".join(filter(None, (draws, self.times(load.on), self.while_live(load.on_by))))
        idle = f"{amps_in_words(load.idle_amps)} else" if load.idle_amps is not None else ""
        return _sentence(
            _joined(on, idle),
            f"needs {_window(load.accepts)}" if load.accepts else "",
            f"must work {self.times(load.needed)}" if load.needed else "",
        )

    def _relay(self, relay: kinds.Relay) -> str:
        common = self.pin(relay.common)
        return "relay: " + _joined(
            f"coil {self.pin(relay.coil_plus)} to {self.pin(relay.coil_minus)}",
            ohms_in_words(relay.coil_ohms) if relay.coil_ohms else "",
            f"makes {common} to {self.pin(relay.make)}" if relay.make else "",
            f"rests {common} to {self.pin(relay.rest)}" if relay.rest else "",
            f"contact {amps_in_words(relay.contact_amps)}" if relay.contact_amps else "",
            "no clamp" if relay.clamp == "none" else f"clamp {relay.clamp}",
        )

    def _supply(self, internal: kinds.Battery | kinds.Feed | kinds.GroundPoint | kinds.SwitchToGround) -> str:
        match internal:
            case kinds.Battery():
                return "battery: " + _joined(
                    f"plus {self.pin(internal.plus)}",
                    f"minus {self.pin(internal.minus)}",
                    f"{_volts(internal.rest_volts)} at rest" if internal.rest_volts else "",
                    f"{internal.amp_hours:g} Ah" if internal.amp_hours else "",
                    "the car's own" if internal.main else "",
                )
            case kinds.Feed():
                volts = f"{_volts(internal.volts)} feed" if internal.volts is not None else "feed"
                name = f" ({internal.fuse})" if internal.fuse else ""
                comes = f"from {self.pin(internal.fed_from)}" if internal.fed_from else ""
                manner = "" if internal.manner == "steady" else CHOICES[internal.manner].partition(":")[0]
                if internal.duty is not None:
                    manner = f"pulsed, on for {100 * internal.duty:g} %"
                return _sentence(
                    _joined(f"{volts} at {self.pin(internal.terminal)}", comes, self.times(internal.live)),
                    f"fuse {amps_in_words(internal.fuse_amps)}{name}" if internal.fuse_amps else "",
                    f"at most {amps_in_words(internal.amps)}" if internal.amps else "",
                    manner,
                )
            case kinds.GroundPoint():
                poor = "" if internal.reliable else "not for the amps of a load"
                return _joined(f"ground at {self.pin(internal.terminal)}", poor)
            case _:
                return _joined(
                    f"ties {self.pin(internal.terminal)} to the body {self.times(internal.closed)}",
                    self._pull_up("else pulled up", internal.pull_up_ohms, internal.pull_up_volts),
                )

    def _pull_up(self, words: str, ohms: float | None, volts: float | None) -> str:
        if ohms is None:
            return ""
        to = f" to {_volts(volts)}" if volts is not None else ""
        return f"{words} through {ohms_in_words(ohms)}{to}"

    def _given(self, internal: kinds.Output | kinds.LowSideOutput | kinds.SpeakerOutput) -> str:
        on_by = self.while_live(internal.on_by)
        match internal:
            case kinds.Output():
                volts = "its supply's volts" if internal.volts is None else _volts(internal.volts)
                gives = f"gives {volts} at {self.pin(internal.terminal)}"
            case kinds.LowSideOutput():
                gives = f"pulls {self.pin(internal.terminal)} to {self.pin(internal.reference)}"
            case _:
                sort = "bridged" if internal.bridged else "one lead on ground"
                pair = f"{self.pin(internal.plus)} and {self.pin(internal.minus)}"
                least = (
                    f"speakers of {ohms_in_words(internal.least_ohms)} or more" if internal.least_ohms else ""
                )
                on = f"on {on_by}" if on_by else ""
                return _joined(f"amplifier channel {pair}", sort, on, least)
        given = " ".join(filter(None, (gives, self.times(internal.live), on_by)))
        return _joined(given, f"at most {amps_in_words(internal.amps)}" if internal.amps else "")

    def _sense(self, sense: kinds.Sense) -> str:
        words = CHOICES[sense.active]
        return _sentence(
            _joined(
                f"looks for {words} at {self.pin(sense.terminal)}",
                self._pull_up("pulled up", sense.pull_up_ohms, sense.pull_up_volts),
            ),
            f"accepts {_window(sense.accepts)}" if sense.accepts else "",
            f"tells at {_volts(sense.threshold_volts)}" if sense.threshold_volts is not None else "",
        )

    def _in_line(
        self, internal: kinds.Fuse | kinds.Breaker | kinds.SwitchContact | kinds.Diode | kinds.Resistor
    ) -> str:
        match internal:
            case kinds.Fuse():
                name = f"fuse {amps_in_words(internal.amps)}"
                return _joined(f"{name} {self.between(internal.a, internal.b)}", internal.form)
            case kinds.Breaker():
                name = f"breaker {amps_in_words(internal.amps)}"
                resets = "closes again by itself" if internal.resets else "closed again by hand"
                return _joined(f"{name} {self.between(internal.a, internal.b)}", resets)
            case kinds.SwitchContact():
                closed = f"closed {self.times(internal.closed)}"
                return _joined(f"switch {self.between(internal.a, internal.b)}", closed)
            case kinds.Diode():
                return f"diode from {self.pin(internal.anode)} to {self.pin(internal.cathode)}"
            case _:
                return f"resistor {ohms_in_words(internal.ohms)} {self.between(internal.a, internal.b)}"

    def _signal(self, internal: Internal) -> str:
        match internal:
            case kinds.ButtonLadder():
                rest = ohms_in_words(internal.rest_ohms) if internal.rest_ohms else "open"
                buttons = _joined(*(f"{name} {ohms_in_words(ohms)}" for name, ohms in internal.ohms.items()))
                ends = self.between(internal.signal, internal.reference)
                return _sentence(f"steering buttons {ends}: {buttons or 'none yet'}", f"{rest} at rest")
            case kinds.LadderReader():
                at = f"{self.pin(internal.terminal)} against {self.pin(internal.reference)}"
                return _joined(
                    f"steering input at {at}",
                    self._pull_up("pulled up", internal.pull_up_ohms, internal.pull_up_volts),
                )
            case kinds.DataPair():
                ends = f"data pair, high {self.pin(internal.high)}, low {self.pin(internal.low)}"
                return _joined(ends, self._end(internal.termination_ohms))
            case kinds.Video() | kinds.LineLevel() | kinds.Antenna():
                against = f" against {self.pin(internal.reference)}" if internal.reference else ""
                at = f"{internal.kind} at {self.pin(internal.terminal)}{against}"
                return _joined(at, self._end(internal.termination_ohms))
            case _:
                raise TypeError(internal.kind)

    def _end(self, ohms: float | None) -> str:
        return f"{ohms_in_words(ohms)} across its end" if ohms else ""
