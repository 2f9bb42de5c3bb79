"""Field cases of speakers and their amplifiers."""

from __future__ import annotations

from core.job.document import Job
from core.job.internals import LineLevel, Link, SpeakerOutput
from core.job.internals import Speaker as SpeakerInside
from core.job.parts import Part
from tests.core.checks.field.build import (
    ACCESSORY,
    ALWAYS,
    Case,
    Said,
    box,
    circuit,
    feed,
    ground,
    load,
    measured,
)

CAR = box(
    "CAR",
    "constant:constant accessory:accessory ground:ground",
    feed("constant", ALWAYS, 15.0),
    feed("accessory", ACCESSORY),
    car=True,
)
SUPPLY = "CAR-constant RAD-constant\nCAR-accessory RAD-accessory\nCAR-ground RAD-ground"


def radio(*channels: str) -> Part:
    """A radio with a bridged output for each channel: `lf` gives pins `lf+` and `lf-`."""
    pins = " ".join(f"{c}+:speaker-{c}+ {c}-:speaker-{c}-" for c in channels)
    outputs = (
        SpeakerOutput(
            plus=f"A-{c}+", minus=f"A-{c}-", least_ohms=4.0, fed_from="A-constant", on_by="A-accessory"
        )
        for c in channels
    )
    return box(
        "RAD",
        f"constant:constant accessory:accessory ground:ground {pins}",
        load("constant", "ground", 0.01),
        load("accessory", "ground", 1.0, on=ACCESSORY),
        *outputs,
        kind="receiver",
    )


def speaker(tag: str, channel: str, ohms: float = 4.0) -> Part:
    inside = SpeakerInside(plus="A-plus", minus="A-minus", ohms=ohms)
    return box(tag, f"plus:speaker-{channel}+< minus:speaker-{channel}-<", inside, kind="speaker")


def one_lead_on_the_body() -> Case:
    def job(minus: str) -> Job:
        joints = f"{SUPPLY}\nRAD-lf+ SPL-plus\n{minus}"
        return circuit((CAR, radio("lf"), speaker("SPL", "lf"), ground()), joints)

    return Case(
        "an old coach with one wire to each speaker",
        "The other side of each speaker is bolted to the body, and both leads of today's output rest at half "
        "the supply.",
        job("SPL-minus GND-bolt"),
        (Said("speaker lead grounded", "SPL-minus"),),
        (job("SPL-minus RAD-lf-"),),
    )


def rear_amplifier_without_turn_on() -> Case:
    def job(turn_on: str) -> Job:
        factory = box(
            "AMP",
            "feed:constant on:amplifier-turn-on< ground:ground in+:speaker-lr+ in-:speaker-lr-",
            load("feed", "ground", 1.0, on_by="A-on", idle_amps=0.001),
            load("on", "ground", 0.01, needed=ACCESSORY),
            LineLevel(terminal="A-in+", reference="A-in-"),
            car=True,
            kind="amplifier",
        )
        joints = f"""
            CAR-constant RAD-constant AMP-feed
            CAR-accessory RAD-accessory {turn_on}
            CAR-ground RAD-ground AMP-ground
            RAD-lr+ AMP-in+
            RAD-lr- AMP-in-
        """
        return circuit((CAR, radio("lr"), factory), joints)

    return Case(
        "rear speakers that play only when a lead touches the body",
        "The car has a rear amplifier of its own, which nothing turns on since the radio was changed.",
        job(""),
        (Said("load dead where it is needed", "AMP-on"),),
        (job("AMP-on"),),
    )


def sound_over_bumps() -> Case:
    def job(shown: float | None) -> Job:
        """The radio is unplugged: only its plug's leads hang on the speaker."""
        plug = box("PLG", "lf+:speaker-lf+ lf-:speaker-lf-", kind="pigtail")
        made = circuit((CAR, plug, speaker("SPL", "lf")), "PLG-lf+ SPL-plus\nPLG-lf- SPL-minus")
        if shown is None:
            return made
        return measured(made, "SPL-plus", "body", shown, "off", quantity="ohms", loaded=False)

    return Case(
        "no sound until the car hits a bump",
        "The output shuts itself down since a lead is pinched at a speaker's basket: with the radio out the "
        "meter shows ohms to the body where it should show none.",
        job(0.4),
        (Said("reading disagrees with the solve", "SPL-plus", level="look", numbers={"measured_ohms": 0.4}),),
        (job(None),),
    )


def knocked_dash() -> Case:
    def job(touching: str) -> Job:
        joints = f"{SUPPLY}\nRAD-lf+ SPL-plus {touching}\nRAD-lf- SPL-minus"
        return circuit((CAR, radio("lf"), speaker("SPL", "lf"), ground("BRC")), joints)

    return Case(
        "one speaker that whines since a knock on the dash",
        "Its lead has chafed through on the bracket behind the cluster.",
        job("BRC-bolt"),
        (Said("speaker lead grounded", "RAD-lf+"),),
        (job(""),),
    )


def bass_gone() -> Case:
    def job(door: str) -> Job:
        plug = box("DOR", "a b c d", Link(a="A-a", b="A-c"), Link(a="A-b", b="A-d"), car=True)
        right = "RAD-rf+ SPR-plus\nRAD-rf- SPR-minus"
        ways = {
            "straight": "RAD-lf+ DOR-a\nRAD-lf- DOR-b\nDOR-c SPL-plus\nDOR-d SPL-minus",
            "crossed": "RAD-lf+ DOR-a\nRAD-lf- DOR-b\nDOR-c SPL-minus\nDOR-d SPL-plus",
            "twice": "RAD-lf+ DOR-b\nRAD-lf- DOR-a\nDOR-c SPL-minus\nDOR-d SPL-plus",
        }
        parts = (CAR, radio("lf", "rf"), plug, speaker("SPL", "lf"), speaker("SPR", "rf"))
        return circuit(parts, f"{SUPPLY}\n{right}\n{ways[door]}")

    return Case(
        "bass that vanished with a visit to a workshop",
        "The door's panel was off, and one speaker went back the other way round; nothing but the ear and "
        "the count of crossings tells.",
        job("crossed"),
        (Said("plus and minus exchanged", "RAD-lf+", level="look"),),
        (job("straight"), job("twice")),
    )


def two_amplifiers_one_pair() -> Case:
    def job(second: str) -> Job:
        computer = box(
            "COM",
            "feed:constant ground:ground lf+:speaker-lf+ lf-:speaker-lf-",
            load("feed", "ground", 3.0, on=ACCESSORY),
            SpeakerOutput(plus="A-lf+", minus="A-lf-", least_ohms=4.0, fed_from="A-feed"),
        )
        shared = "RAD-lf+ SPL-plus COM-lf+\nRAD-lf- SPL-minus COM-lf-"
        own = "COM-lf+ SPL-plus\nCOM-lf- SPL-minus"
        joints = """
            CAR-constant RAD-constant COM-feed
            CAR-accessory RAD-accessory
            CAR-ground RAD-ground COM-ground
        """
        channels = ("lf",) if second == "shared" else ()
        joined = joints + (shared if second == "shared" else own)
        return circuit((CAR, radio(*channels), computer, speaker("SPL", "lf")), joined)

    return Case(
        "a computer and a radio on one pair of speakers",
        "Both have bridged outputs, and each drives the other's whether it is on or not.",
        job("shared"),
        (Said("two amplifiers on one pair", "RAD-lf+"),),
        (job("own"),),
    )


CASES = (
    one_lead_on_the_body,
    rear_amplifier_without_turn_on,
    sound_over_bumps,
    knocked_dash,
    bass_gone,
    two_amplifiers_one_pair,
)
