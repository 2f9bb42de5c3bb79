"""Field cases told again as small jobs: wiring of invented cars that went wrong, or needed a judgement.

Every resistance that matters is written here; the numbers that were stated stand beside the checks.
"""

from __future__ import annotations

from functools import cache

from core.job.document import Job
from core.job.internals import (
    Battery,
    Case,
    Diode,
    Feed,
    Fuse,
    LiveIn,
    Load,
    Output,
    Relay,
    Resistor,
    Sense,
    SpeakerOutput,
    SwitchContact,
)
from core.job.internals import Speaker as SpeakerInside
from core.job.parts import Part
from core.job.record import CarBattery
from tests.core.circuit.cases.build import (
    ACCESSORY,
    ALWAYS,
    IGNITION,
    Run,
    body,
    feet,
    job_of,
    part,
    until,
    while_on,
)

START = LiveIn(keys=("start",))
REVERSE = LiveIn(keys=("run", "start", "running"), switch="reverse")
LIGHTS = while_on("lights")
BRAKE = while_on("brake")


def feed(live: LiveIn, pin: str = "feed", **how: float | str) -> Feed:
    return Feed(terminal=f"A-{pin}", live=live, ohms=0.001, **how)


# -- feeds and the key -----------------------------------------------------------------------------


@cache
def socket_signal(live: LiveIn = ACCESSORY) -> Job:
    """A computer in the car is woken by a relay on the accessory socket, which is dead while cranking."""
    car = part("CAR", "feed socket", feed(ALWAYS), feed(live, "socket"), car=True)
    relay = part(
        "REL",
        "coil ground common make",
        Relay(
            coil_plus="A-coil",
            coil_minus="A-ground",
            common="A-common",
            make="A-make",
            coil_ohms=85.0,
            pull_in_volts=7.2,
            drop_out_volts=1.8,
        ),
    )
    computer = part("COM", "run ground", Load(plus="A-run", minus="A-ground", amps=2.0, least_volts=6.0))
    runs = (
        Run("CAR-socket", "REL-coil"),
        Run("CAR-feed", "REL-common"),
        Run("REL-make", "COM-run"),
        Run("REL-ground", "GND-bolt"),
        Run("COM-ground", "GND-bolt"),
    )
    return job_of((car, relay, computer, body()), runs)


@cache
def five_feeds() -> Job:
    """An installer tells the wires at the ignition switch apart by a meter in every key position."""
    functions = ("constant", "accessory", "ignition", "ignition-2", "start")
    return job_of((part("CAR", " ".join(functions), car=True, functions={f: f for f in functions}),), ())


@cache
def cut_off(fuse_amps: float | None = None) -> Job:
    """A cut-off in the battery's negative lead, and a radio whose memory is wired past it.

    The radio's case is bolted to the body, so that the body still reaches the battery through the radio's
    ground lead, 3 ft of 20 AWG. With `fuse_amps` that lead has a fuse.
    """
    battery = part(
        "BAT", "plus minus", Battery(plus="A-plus", minus="A-minus", ohms=0.001, main=True), car=True
    )
    switch = part(
        "CUT", "battery body", SwitchContact(a="A-battery", b="A-body", closed=until("cut-off"), ohms=1e-4)
    )
    starter = part(
        "STA",
        "plus body",
        Load(plus="A-plus", minus="A-body", amps=100.0, least_volts=4.0, on=START),
        car=True,
    )
    radio = part(
        "RAD",
        "memory ground case",
        Load(plus="A-memory", minus="A-ground", amps=0.01),
        Case(a="A-ground", touches_body=True, ohms=1e-4),
    )
    parts: list[Part] = [battery, switch, starter, radio, body()]
    runs = [
        feet("RAD-ground", "BAT-minus", "20 AWG", 3.0),
        Run("BAT-minus", "CUT-battery"),
        Run("CUT-body", "GND-bolt"),
        Run("BAT-plus", "STA-plus"),
        Run("STA-body", "GND-bolt"),
        Run("BAT-plus", "RAD-memory"),
    ]
    if fuse_amps is not None:
        parts.append(part("FUS", "a b", Fuse(a="A-a", b="A-b", amps=fuse_amps)))
        runs[0] = feet("RAD-ground", "FUS-a", "20 AWG", 3.0)
        runs.append(Run("FUS-b", "BAT-minus"))
    return job_of(parts, runs, switches=("cut-off",))


@cache
def sense_at_diode(side: str) -> Job:
    """A starter module feeds the ignition behind a diode; an interface looks at the ignition on one side.

    `side`: `car` before the diode, `starter` behind it.
    """
    car = part("CAR", "ignition feed", feed(IGNITION, "ignition"), feed(ALWAYS), car=True)
    diode = part("DIO", "anode cathode", Diode(anode="A-anode", cathode="A-cathode", drop_volts=0.7))
    starter = part(
        "RST",
        "feed ignition ground",
        Output(terminal="A-ignition", live=while_on("remote"), fed_from="A-feed", ohms=0.01),
    )
    interface = part("INT", "sense ground", Sense(terminal="A-sense", reference="A-ground", ohms=47_000.0))
    runs = (
        Run("CAR-ignition", "DIO-anode"),
        Run("DIO-cathode", "RST-ignition"),
        Run("CAR-feed", "RST-feed"),
        Run("DIO-anode" if side == "car" else "DIO-cathode", "INT-sense"),
        Run("INT-ground", "GND-bolt"),
        Run("RST-ground", "GND-bolt"),
    )
    return job_of((car, diode, starter, interface, body()), runs, switches=("remote",))


# -- speakers --------------------------------------------------------------------------------------


@cache
def bridged_pair(speaker_to: str = "minus", rest_volts: float = 12.6) -> Job:
    """A rear amplifier with bridged outputs. `speaker_to`: `minus`, or `body` as in an old coach."""
    car = part("CAR", "feed", feed(ALWAYS), car=True)
    amplifier = part(
        "AMP",
        "feed ground plus minus",
        SpeakerOutput(plus="A-plus", minus="A-minus", fed_from="A-feed"),
        functions={"ground": "ground"},
    )
    speaker = part("SPK", "plus minus", SpeakerInside(plus="A-plus", minus="A-minus", ohms=3.2))
    runs = (
        Run("CAR-feed", "AMP-feed"),
        Run("AMP-ground", "GND-bolt"),
        Run("AMP-plus", "SPK-plus"),
        Run("SPK-minus", "AMP-minus" if speaker_to == "minus" else "GND-bolt"),
    )
    battery = CarBattery(rest_volts=rest_volts, ohms=0.001)
    return job_of((car, amplifier, speaker, body()), runs, battery=battery)


@cache
def half_dead_pair() -> Job:
    """The same amplifier with half of its output stage dead: one lead rests at half the feed, one at 0 V.

    The speaker is out.
    """
    car = part("CAR", "feed", feed(ALWAYS), car=True)
    amplifier = part(
        "AMP",
        "feed ground plus minus",
        Output(terminal="A-plus", live=ALWAYS, volts=6.3, fed_from="A-feed", reference="A-ground"),
        Resistor(a="A-minus", b="A-ground", ohms=0.05),
        functions={"ground": "ground"},
    )
    return job_of((car, amplifier, body()), (Run("CAR-feed", "AMP-feed"), Run("AMP-ground", "GND-bolt")))
