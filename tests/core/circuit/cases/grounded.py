"""Field cases of grounds, outputs and batteries as small jobs."""

from __future__ import annotations

from functools import cache

from core.job.document import Job
from core.job.internals import (
    Battery,
    Case,
    LiveIn,
    Load,
    LowSideOutput,
    Relay,
    Shield,
    StepDown,
    VoltWindow,
)
from core.job.parts import Part
from core.job.record import CarBattery
from tests.core.circuit.cases.build import ACCESSORY, ALWAYS, Run, body, job_of, part
from tests.core.circuit.cases.keyed import feed


@cache
def exchanged_feeds() -> Job:
    """A radio forgets everything at key-off: its memory lead and its switched lead are exchanged."""
    car = part("CAR", "constant accessory", feed(ALWAYS, "constant"), feed(ACCESSORY, "accessory"), car=True)
    radio = part(
        "RAD",
        "memory switched ground",
        Load(plus="A-memory", minus="A-ground", amps=0.01),
        Load(plus="A-switched", minus="A-ground", amps=0.1),
    )
    runs = (
        Run("CAR-accessory", "RAD-memory"),
        Run("CAR-constant", "RAD-switched"),
        Run("RAD-ground", "GND-bolt"),
    )
    return job_of((car, radio, body()), runs)


@cache
def grounded_by_shields(shields: bool) -> Job:
    """A black lead that mates with nothing: the radio's only return is the shield of its audio leads."""
    car = part("CAR", "feed", feed(ACCESSORY), car=True)
    radio = part(
        "RAD",
        "feed ground shield",
        Load(plus="A-feed", minus="A-ground", amps=5.0, least_volts=6.0),
        Case(a="A-ground", ohms=0.001),
        Shield(a="A-shield", touches="A-ground", ohms=0.2),
    )
    runs = [Run("CAR-feed", "RAD-feed")]
    if shields:
        runs.append(Run("RAD-shield", "GND-bolt"))
    return job_of((car, radio, body()), runs)


@cache
def coils_on_an_output(coils: int) -> Job:
    """A starter module's output that pulls to ground, meant for 200 mA, works relays of 90 ohm."""
    car = part("CAR", "feed", feed(ALWAYS), car=True)
    module = part(
        "RST",
        "running ground",
        LowSideOutput(
            terminal="A-running", reference="A-ground", live=LiveIn(keys=("run",)), amps=0.2, ohms=0.001
        ),
    )
    parts: list[Part] = [car, module, body()]
    runs = [Run("RST-ground", "GND-bolt")]
    for number in range(1, coils + 1):
        parts.append(
            part(
                f"REL{number}",
                "plus minus common",
                Relay(coil_plus="A-plus", coil_minus="A-minus", common="A-common", coil_ohms=90.0),
            )
        )
        runs += [Run("CAR-feed", f"REL{number}-plus"), Run(f"REL{number}-minus", "RST-running")]
    return job_of(parts, runs)


@cache
def camera_behind_a_regulator(start_volts: float = 10.0) -> Job:
    """A camera of 6 V and 150 mA behind a fixed linear regulator that needs 8 V."""
    car = part("CAR", "feed", feed(ALWAYS), car=True)
    regulator = part(
        "REG",
        "in out minus",
        StepDown(
            input="A-in",
            output="A-out",
            common="A-minus",
            volts_out=6.0,
            accepts=VoltWindow(least=8.0, most=35.0),
            amps=1.0,
            sort="linear",
            idle_amps=1e-6,
            drop_out_volts=2.0,
        ),
    )
    camera = part("CAM", "plus minus", Load(plus="A-plus", minus="A-minus", amps=0.15, least_volts=4.0))
    runs = (
        Run("CAR-feed", "REG-in"),
        Run("REG-out", "CAM-plus"),
        Run("REG-minus", "GND-bolt"),
        Run("CAM-minus", "GND-bolt"),
    )
    battery = CarBattery(running_volts=14.4, start_volts=start_volts, ohms=0.001)
    return job_of((car, regulator, camera, body()), runs, battery=battery)


@cache
def negative_case_on_a_positive_frame() -> Job:
    """A radio of today, its case on its minus, bolted into a car whose frame is the battery's plus."""
    car = part("CAR", "minus", feed(ALWAYS, "minus"), car=True)
    radio = part(
        "RAD",
        "plus minus",
        Load(plus="A-plus", minus="A-minus", amps=2.0),
        Case(a="A-minus", touches_body=True, ohms=0.01),
    )
    runs = (Run("CAR-minus", "RAD-minus"), Run("RAD-plus", "GND-bolt"))
    return job_of((car, radio, body()), runs, ground="positive")


@cache
def middle_of_a_pair() -> Job:
    """A transceiver of 20 A for 12 V hangs on the middle of two batteries in series."""
    lower = part(
        "LOW", "plus minus", Battery(plus="A-plus", minus="A-minus", rest_volts=12.6, ohms=0.01), car=True
    )
    upper = part(
        "UPP", "plus minus", Battery(plus="A-plus", minus="A-minus", rest_volts=12.6, ohms=0.01), car=True
    )
    radio = part("TRX", "plus minus", Load(plus="A-plus", minus="A-minus", amps=20.0, least_volts=6.0))
    truck = part("TRK", "plus minus", Load(plus="A-plus", minus="A-minus", ohms=1000.0), car=True)
    runs = (
        Run("LOW-minus", "GND-bolt"),
        Run("LOW-plus", "UPP-minus"),
        Run("LOW-plus", "TRX-plus"),
        Run("TRX-minus", "GND-bolt"),
        Run("UPP-plus", "TRK-plus"),
        Run("TRK-minus", "GND-bolt"),
    )
    return job_of((lower, upper, radio, truck, body()), runs, system_volts=24)
