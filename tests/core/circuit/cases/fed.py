"""More field cases as small jobs: what hangs on a feed, and what is between.

Every resistance that matters is written here; the numbers that were stated stand beside the checks.
"""

from __future__ import annotations

from functools import cache

from core.job.document import Job
from core.job.internals import (
    ButtonLadder,
    Case,
    Feed,
    LadderReader,
    Lamp,
    LiveIn,
    Load,
    Output,
    Resistor,
    Sense,
    StepDown,
    SwitchToGround,
    VoltWindow,
)
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
)
from tests.core.circuit.cases.keyed import BRAKE, LIGHTS, REVERSE, feed

# -- cameras ---------------------------------------------------------------------------------------


@cache
def camera_behind_two_resistors(regulated: bool = True) -> Job:
    """A tailgate camera for 5 to 7 V, fed by an adjustable regulator that two resistors set.

    The regulator holds 1.25 V across the upper resistor and lets 50 microamp out of its middle pin.
    """
    car = part("CAR", "reverse", feed(REVERSE, "reverse"), car=True)
    window = VoltWindow(least=5.0, most=7.0)
    camera = part(
        "CAM", "plus minus", Load(plus="A-plus", minus="A-minus", amps=0.15, accepts=window, least_volts=4.0)
    )
    regulator = part(
        "REG",
        "in out middle minus",
        StepDown(
            input="A-in",
            output="A-out",
            common="A-middle",
            volts_out=1.25,
            accepts=VoltWindow(least=3.0, most=40.0),
            amps=1.5,
            sort="linear",
            idle_amps=50e-6,
            drop_out_volts=1.7,
        ),
        Resistor(a="A-out", b="A-middle", ohms=100.0),
        Resistor(a="A-middle", b="A-minus", ohms=420.0),
    )
    if not regulated:
        runs = (Run("CAR-reverse", "CAM-plus"), Run("CAM-minus", "GND-bolt"))
        return job_of((car, camera, body()), runs)
    return job_of(
        (car, camera, regulator, body()),
        (
            Run("CAR-reverse", "REG-in"),
            Run("REG-out", "CAM-plus"),
            Run("REG-minus", "GND-bolt"),
            Run("CAM-minus", "GND-bolt"),
        ),
    )


@cache
def camera_on_a_signal(camera: bool = True) -> Job:
    """A camera hangs on the reverse output of a data adapter, which is meant to signal and no more.

    The output gives 5 V and 20 mA at the most; a radio looks for reverse on it.
    """
    car = part("CAR", "feed", feed(IGNITION), car=True)
    adapter = part(
        "ADA",
        "feed ground reverse",
        Output(
            terminal="A-reverse",
            live=REVERSE,
            volts=5.0,
            amps=0.02,
            fed_from="A-feed",
            reference="A-ground",
            ohms=0.1,
        ),
        functions={"ground": "ground"},
    )
    radio = part(
        "RAD",
        "reverse ground",
        Sense(terminal="A-reverse", reference="A-ground", ohms=47_000.0, threshold_volts=6.0),
    )
    eye = part("CAM", "plus minus", Load(plus="A-plus", minus="A-minus", amps=0.15, least_volts=9.0))
    runs = [
        Run("CAR-feed", "ADA-feed"),
        Run("ADA-ground", "GND-bolt"),
        Run("ADA-reverse", "RAD-reverse"),
        Run("RAD-ground", "GND-bolt"),
    ]
    if camera:
        runs += [Run("ADA-reverse", "CAM-plus"), Run("CAM-minus", "GND-bolt")]
    return job_of((car, adapter, radio, eye, body()), runs)


@cache
def pulsed_lamp_feed() -> Job:
    """A reverse lamp that a body module drives in pulses, half of the time on, on a car of 13.5 V."""
    car = part(
        "CAR", "lamp", Feed(terminal="A-lamp", live=REVERSE, ohms=0.001, manner="pulsed", duty=0.5), car=True
    )
    camera = part("CAM", "plus minus", Load(plus="A-plus", minus="A-minus", ohms=1000.0))
    runs = (Run("CAR-lamp", "CAM-plus"), Run("CAM-minus", "GND-bolt"))
    return job_of((car, camera, body()), runs, battery=CarBattery(rest_volts=13.5, ohms=0.001))


# -- buttons ---------------------------------------------------------------------------------------

BUTTONS = {"one": 78.0, "two": 117.0, "three": 167.0, "four": 234.0, "five": 327.0, "six": 467.0}
REST_OHMS = 2563.0


@cache
def ladder() -> Job:
    """A two-wire ladder of six buttons, fed with 5 V through a pull-up of 230 ohm."""
    wheel = part(
        "STW",
        "signal return",
        ButtonLadder(signal="A-signal", reference="A-return", ohms=BUTTONS, rest_ohms=REST_OHMS),
        car=True,
    )
    reader = part(
        "RAD",
        "key ground",
        LadderReader(terminal="A-key", reference="A-ground", pull_up_ohms=230.0, pull_up_volts=5.0),
        functions={"ground": "ground"},
    )
    runs = (Run("RAD-key", "STW-signal"), Run("STW-return", "GND-bolt"), Run("RAD-ground", "GND-bolt"))
    return job_of((wheel, reader, body()), runs)


# -- wires and loads -------------------------------------------------------------------------------


@cache
def pierced_feed(defect_ohms: float | None = 0.2) -> Job:
    """Plough lights of 20 A behind a spot where a test-light's spike let the wet into the wire."""
    car = part("CAR", "feed", feed(ALWAYS), car=True)
    lights = part("LMP", "plus minus", Load(plus="A-plus", minus="A-minus", amps=20.0, least_volts=6.0))
    parts: list[Part] = [car, lights, body()]
    runs = [Run("LMP-minus", "GND-bolt")]
    if defect_ohms is None:
        runs.append(Run("CAR-feed", "LMP-plus"))
    else:
        parts.append(part("HOL", "a b", Resistor(a="A-a", b="A-b", ohms=defect_ohms)))
        runs += [Run("CAR-feed", "HOL-a"), Run("HOL-b", "LMP-plus")]
    return job_of(parts, runs, battery=CarBattery(rest_volts=12.0, ohms=0.001))


@cache
def far_load(gauge: str, length_feet: float, amps: float) -> Job:
    """A load with its own feed and return, each of that length: a charger far from its battery."""
    car = part("CAR", "feed", feed(ALWAYS), car=True)
    load = part("CHG", "plus minus", Load(plus="A-plus", minus="A-minus", amps=amps, least_volts=1.0))
    runs = (
        feet("CAR-feed", "CHG-plus", gauge, length_feet),
        feet("CHG-minus", "GND-bolt", gauge, length_feet),
    )
    return job_of((car, load, body()), runs)


@cache
def shared_return(return_ohms: float) -> Job:
    """A radio's ground goes through the return of the brake lamps."""
    car = part("CAR", "feed brake", feed(ACCESSORY), feed(BRAKE, "brake"), car=True)
    lamps = part("LMP", "plus minus", Load(plus="A-plus", minus="A-minus", amps=5.0, least_volts=6.0))
    radio = part("RAD", "feed ground", Load(plus="A-feed", minus="A-ground", ohms=1000.0))
    path = part("RTN", "a b", Resistor(a="A-a", b="A-b", ohms=return_ohms), car=True)
    runs = (
        Run("CAR-brake", "LMP-plus"),
        Run("LMP-minus", "RTN-a"),
        Run("CAR-feed", "RAD-feed"),
        Run("RAD-ground", "RTN-a"),
        Run("RTN-b", "GND-bolt"),
    )
    return job_of((car, lamps, radio, path, body()), runs)


# -- lamps -----------------------------------------------------------------------------------------


@cache
def trailer(law: str, hitch: bool = False) -> Job:
    """A trailer without its ground: the brake lamps return through the running lamps.

    Two brake lamps of 21 W and four running lamps of 5 W, by their hot ohms at 12 V (`law` ohms) or as
    filaments (`law` lamp). The car holds a lamp wire at ground while it is off.
    """

    def filament(pin: str, watts: float) -> Resistor | Lamp:
        if law == "lamp":
            return Lamp(a=f"A-{pin}", b="A-frame", volts=12.0, watts=watts)
        return Resistor(a=f"A-{pin}", b="A-frame", ohms=12.0**2 / watts)

    car = part(
        "CAR",
        "brake running",
        feed(BRAKE, "brake"),
        feed(LIGHTS, "running"),
        SwitchToGround(terminal="A-running", closed=until("lights"), ohms=0.001),
        SwitchToGround(terminal="A-brake", closed=until("brake"), ohms=0.001),
        car=True,
    )
    trailer_lamps = part(
        "TRL",
        "brake running frame",
        *(filament("brake", 21.0) for _ in range(2)),
        *(filament("running", 5.0) for _ in range(4)),
    )
    runs = [Run("CAR-brake", "TRL-brake"), Run("CAR-running", "TRL-running")]
    if hitch:
        runs.append(Run("TRL-frame", "GND-bolt"))
    return job_of((car, trailer_lamps, body()), runs)


@cache
def ground_on_a_lamp_wire(case_on_body: bool = False) -> Job:
    """A radio's ground is spliced to a lamp wire, which reads as body through six cold filaments of 5 W."""
    car = part(
        "CAR",
        "feed lights",
        feed(ACCESSORY),
        feed(LIGHTS, "lights", fuse_amps=15.0, fuse="tail lamps"),
        car=True,
    )
    lamps = part(
        "TAL",
        "plus minus",
        *(Lamp(a="A-plus", b="A-minus", volts=12.0, watts=5.0) for _ in range(6)),
        car=True,
    )
    inside: list[Load | Case] = [Load(plus="A-feed", minus="A-ground", ohms=12.0)]
    if case_on_body:
        inside.append(Case(a="A-ground", touches_body=True, ohms=0.02))
    radio = part("RAD", "feed ground", *inside)
    runs = (
        Run("CAR-lights", "TAL-plus"),
        Run("TAL-minus", "GND-bolt"),
        Run("CAR-feed", "RAD-feed"),
        Run("RAD-ground", "TAL-plus"),
    )
    return job_of((car, lamps, radio, body()), runs)


# -- 24 V ------------------------------------------------------------------------------------------


@cache
def truck_converter(loads_amps: tuple[float, ...] = (7.0, 4.0)) -> Job:
    """A truck of 24 V with a converter of 10 A for a two-way set and a player, left on for their memory."""
    car = part("CAR", "feed", feed(ALWAYS), car=True)
    converter = part(
        "CNV",
        "in out minus",
        StepDown(
            input="A-in",
            output="A-out",
            common="A-minus",
            volts_out=13.6,
            accepts=VoltWindow(least=20.0, most=32.0),
            amps=10.0,
            idle_amps=0.05,
            efficiency=0.85,
        ),
    )
    parts: list[Part] = [car, converter, body()]
    runs = [Run("CAR-feed", "CNV-in"), Run("CNV-minus", "GND-bolt")]
    for number, amps in enumerate(loads_amps, start=1):
        tag = f"SET{number}"
        running = LiveIn(keys=("running",))
        parts.append(
            part(
                tag,
                "plus minus",
                Load(plus="A-plus", minus="A-minus", amps=amps, least_volts=11.0, on=running),
            )
        )
        runs += [Run("CNV-out", f"{tag}-plus"), Run(f"{tag}-minus", "GND-bolt")]
    return job_of(parts, runs, system_volts=24)
