"""Field cases of cameras and what feeds them."""

from __future__ import annotations

from typing import Any

from core.job.document import Job
from core.job.internals import Output, Sense, StepDown, VoltWindow
from core.job.parts import Part
from tests.core.checks.field.build import (
    ALWAYS,
    IGNITION,
    REVERSE,
    Case,
    Said,
    box,
    circuit,
    feed,
    load,
)
from tests.core.checks.field.outputs import relay


def camera(amps: float = 0.15, least: float = 5.0, most: float = 7.0) -> Part:
    return box(
        "CAM",
        "plus:camera-feed minus:camera-return",
        load("plus", "minus", amps, accepts=VoltWindow(least=least, most=most), least_volts=4.0),
        kind="camera",
    )


def regulator_of(volts: float, **how: Any) -> Part:
    """A linear regulator in three leads."""
    inside = StepDown(input="A-in", output="A-out", common="A-minus", volts_out=volts, sort="linear", **how)
    return box("REG", "in:step-down-in out:step-down-out minus:common", inside, kind="step-down")


CAR = box("CAR", "reverse:reverse ground:ground", feed("reverse", REVERSE), car=True)


def tailgate_camera() -> Case:
    def job(regulated: bool) -> Job:
        if not regulated:
            return circuit((CAR, camera()), "CAR-reverse CAM-plus\nCAR-ground CAM-minus")
        # 1.25 V across 100 ohm, 420 ohm below it and 50 microamp out of the middle pin.
        volts = 1.25 * (1 + 420 / 100) + 50e-6 * 420
        regulator = regulator_of(
            volts, accepts=VoltWindow(least=3.0, most=40.0), amps=1.5, drop_out_volts=1.7
        )
        joints = "CAR-reverse REG-in\nREG-out CAM-plus\nCAR-ground REG-minus CAM-minus"
        return circuit((CAR, camera(), regulator), joints)

    return Case(
        "a tailgate camera for 5 to 7 V",
        "Another display was to show it; it hangs on the reverse feed of 12 V until a regulator set by two "
        "resistors gives it 6.5 V.",
        job(False),
        (Said("more volts than the part accepts", "CAM-plus", numbers={"volts": 12.6, "most_volts": 7.0}),),
        (job(True),),
    )


def fed_by_its_radio() -> Case:
    def job(regulated: bool) -> Job:
        radio = box(
            "RAD",
            "feed:ignition ground:ground supply:camera-feed",
            load("feed", "ground", 1.0),
            Output(terminal="A-supply", live=REVERSE, amps=1.0, fed_from="A-feed"),
            kind="receiver",
        )
        car = box("CAR", "feed:ignition ground:ground", feed("feed", IGNITION), car=True)
        regulator = regulator_of(6.0, accepts=VoltWindow(least=8.0, most=35.0), amps=1.0, drop_out_volts=2.0)
        own = "RAD-supply REG-in\nREG-out CAM-plus" if regulated else "RAD-supply CAM-plus"
        joints = (
            f"CAR-feed RAD-feed\n{own}\nCAR-ground RAD-ground CAM-minus {'REG-minus' if regulated else ''}"
        )
        parts = (car, radio, camera(least=5.5, most=6.5), *((regulator,) if regulated else ()))
        return circuit(parts, joints)

    return Case(
        "a camera that its old radio fed with 6 V",
        "The new radio's camera lead gives 12 V; a fixed regulator of 1 A makes 6 V of it.",
        job(False),
        (Said("more volts than the part accepts", "CAM-plus", numbers={"volts": 12.6, "most_volts": 6.5}),),
        (job(True),),
    )


def hangs_on_a_signal() -> Case:
    def job(camera_on: str) -> Job:
        car = box(
            "CAR",
            "feed:ignition reverse:reverse ground:ground",
            feed("feed", IGNITION),
            feed("reverse", REVERSE),
            car=True,
        )
        adapter = box(
            "ADA",
            "feed:ignition ground:ground reverse",
            load("feed", "ground", 0.05),
            Output(terminal="A-reverse", live=REVERSE, volts=12.0, amps=0.02, fed_from="A-feed", ohms=50.0),
        )
        radio = box(
            "RAD",
            "feed:ignition reverse:reverse ground:ground",
            load("feed", "ground", 1.0),
            Sense(terminal="A-reverse", reference="A-ground", threshold_volts=6.0),
            kind="receiver",
        )
        eye = camera(least=9.0, most=16.0)
        joints = f"""
            CAR-feed ADA-feed RAD-feed
            ADA-reverse RAD-reverse {"CAM-plus" if camera_on == "signal" else ""}
            {"CAR-reverse CAM-plus" if camera_on == "car" else ""}
            CAR-ground ADA-ground RAD-ground CAM-minus
        """
        return circuit((car, adapter, radio, eye), joints)

    return Case(
        "a camera on a data adapter's reverse signal",
        "The signal is meant to tell the radio and no more; with a camera on it both get nothing.",
        job("signal"),
        (Said("output overloaded", "ADA-reverse", numbers={"most_amps": 0.02}),),
        (job("car"),),
    )


def unsteady_lamp_wire() -> Case:
    def job(by_relay: bool) -> Job:
        car = box(
            "CAR",
            "lamp:reverse constant:constant ground:ground",
            feed("lamp", REVERSE, manner="pulsed", duty=0.5) if not by_relay else feed("lamp", REVERSE),
            feed("constant", ALWAYS, 5.0),
            car=True,
        )
        eye = camera(least=9.0, most=16.0)
        ways = {
            True: "CAR-constant RLY-30\nCAR-lamp RLY-86\nRLY-87 CAM-plus\nCAR-ground RLY-85 CAM-minus",
            False: "CAR-lamp CAM-plus\nCAR-ground CAM-minus",
        }
        return circuit((car, eye, *((relay(),) if by_relay else ())), ways[by_relay])

    return Case(
        "a flickering picture from an unsteady lamp wire",
        "The body module drives the reverse lamp in pulses, half of the time on: a meter shows 6.8 V and the "
        "camera drops out.",
        job(False),
        (Said("fewer volts than the part accepts", "CAM-plus", level="look", numbers={"open_volts": 6.3}),),
        (job(True),),
    )


CASES = (tailgate_camera, fed_by_its_radio, hangs_on_a_signal, unsteady_lamp_wire)
