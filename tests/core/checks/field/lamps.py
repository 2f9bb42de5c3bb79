"""Field cases of lamps, dimmers and what hangs on them."""

from __future__ import annotations

from core.job.document import Job
from core.job.internals import Case as MetalCase
from core.job.internals import Internal, Lamp, LiveIn, SwitchToGround
from core.job.parts import Part
from tests.core.checks.field.build import (
    ACCESSORY,
    ALWAYS,
    LIGHTS,
    Case,
    Said,
    box,
    circuit,
    feed,
    ground,
    load,
)
from tests.core.checks.field.keys import amplifier


def tail_lamps() -> Part:
    """Six filaments of 5 W behind one lamp wire."""
    lamps = (Lamp(a="A-plus", b="A-minus", volts=12.0, watts=5.0) for _ in range(6))
    return box("TAL", "plus minus", *lamps, car=True)


def ground_on_a_lamp_wire() -> Case:
    def job(to: str, *inside: Internal) -> Job:
        car = box(
            "CAR",
            "feed:accessory lights:tail-lamps",
            feed("feed", ACCESSORY),
            feed("lights", LIGHTS, 15.0),
            car=True,
        )
        radio = box("RAD", "feed:accessory ground:ground", load("feed", "ground", 1.0), *inside)
        joints = {
            "lamp": "CAR-lights TAL-plus RAD-ground\nTAL-minus GND-bolt",
            "body": "CAR-lights TAL-plus\nTAL-minus GND-bolt RAD-ground",
        }
        return circuit((car, tail_lamps(), radio, ground()), f"CAR-feed RAD-feed\n{joints[to]}")

    return Case(
        "a radio grounded on a lamp wire",
        "A beeper found ground on the tail lamps' wire, through their cold filaments; it worked all day and "
        "blew the lamps' fuse by night.",
        job("lamp"),
        (Said('"ground" that is a lamp wire or a low-volt lead', "RAD-ground", numbers={"volts": 14.2}),),
        (job("body"), job("body", MetalCase(a="A-ground", touches_body=True))),
    )


def dims_backwards() -> Case:
    def job(minus: str, plus: str) -> Job:
        car = box(
            "CAR",
            "plus:illumination minus:illumination-minus ground:ground",
            feed("plus", LIGHTS, 5.0),
            SwitchToGround(terminal="A-minus", closed=LIGHTS, ohms=10.0, pull_up_ohms=50.0, pulled_up=LIGHTS),
            car=True,
        )
        gauge = box(
            "GAU", "plus:illumination minus:ground", Lamp(a="A-plus", b="A-minus", volts=12.0, watts=1.2)
        )
        return circuit((car, gauge), f"CAR-{plus} GAU-plus\nCAR-{minus} GAU-minus")

    return Case(
        "a gauge lamp that brightens as the dash dims",
        "The car dims its dash from the ground side; the added lamp was fed by that dimmed ground and "
        "returned through the body.",
        job("ground", "minus"),
        (Said("functions that do not belong together", "CAR-minus"),),
        (job("ground", "plus"),),
    )


def off_with_the_engine() -> Case:
    def job(live: LiveIn, function: str) -> Job:
        car = box(
            "CAR",
            f"constant:constant dash:{function} ground:ground",
            feed("constant", ALWAYS, 15.0),
            feed("dash", live, 5.0),
            car=True,
        )
        return circuit((car, amplifier()), "CAR-constant AMP-feed\nCAR-dash AMP-on\nCAR-ground AMP-ground")

    return Case(
        "an amplifier that goes off when the engine starts",
        "Its turn-on hangs on a dash wire that dies as the automatic lights come on.",
        job(LiveIn(keys=("accessory", "run", "running"), unless="lights"), "dimmer"),
        (Said("turn-on taken from a dimmed or data-held circuit", "AMP-on", level="look"),),
        (job(ACCESSORY, "accessory"),),
    )


def dies_with_the_lights() -> Case:
    def job(to: str) -> Job:
        car = box(
            "CAR",
            "feed:accessory dimmer:dimmer ground:ground",
            feed("feed", ACCESSORY),
            feed("dimmer", LIGHTS, 5.0),
            car=True,
        )
        dash = box("DSH", "plus minus", Lamp(a="A-plus", b="A-minus", volts=12.0, watts=10.0), car=True)
        radio = box("RAD", "feed:accessory ground:ground", load("feed", "ground", 0.5))
        joints = {
            "dimmer": "CAR-dimmer DSH-plus RAD-ground\nCAR-ground DSH-minus",
            "ground": "CAR-dimmer DSH-plus\nCAR-ground DSH-minus RAD-ground",
        }
        return circuit((car, dash, radio), f"CAR-feed RAD-feed\n{joints[to]}")

    return Case(
        "a radio that dies whenever the lights are on",
        "The second radio on the same butchered plug: whatever its ground is, it follows the dash lights "
        "and their dimmer.",
        job("dimmer"),
        (Said('"ground" that is a lamp wire or a low-volt lead', "RAD-ground", numbers={"volts": 14.2}),),
        (job("ground"),),
    )


CASES = (ground_on_a_lamp_wire, dims_backwards, off_with_the_engine, dies_with_the_lights)
