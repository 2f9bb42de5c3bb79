"""Field cases of steering buttons and data interfaces."""

from __future__ import annotations

from core.job.document import Job
from core.job.internals import ButtonLadder, DataPair, LadderReader, LiveIn, Output
from core.job.parts import Part
from tests.core.checks.field.build import (
    ACCESSORY,
    ALWAYS,
    Case,
    Said,
    box,
    circuit,
    feed,
    load,
    measured,
)

CAR = box(
    "CAR",
    "constant:constant accessory:accessory ground:ground",
    feed("constant", ALWAYS, 10.0),
    feed("accessory", ACCESSORY),
    car=True,
)
SIX = {"one": 78.0, "two": 117.0, "three": 167.0, "four": 234.0, "five": 327.0, "six": 467.0}


def wheel(ohms: dict[str, float], rest_ohms: float = 2563.0) -> Part:
    return box(
        "STW",
        "key:steering-1 return:steering-ground",
        ButtonLadder(signal="A-key", reference="A-return", ohms=ohms, rest_ohms=rest_ohms),
        car=True,
    )


def radio(pull_up_ohms: float = 230.0) -> Part:
    return box(
        "RAD",
        "feed:accessory ground:ground key:steering-1 return:steering-ground",
        load("feed", "ground", 1.0),
        LadderReader(
            terminal="A-key",
            reference="A-return",
            pull_up_ohms=pull_up_ohms,
            pull_up_volts=5.0,
            tolerance=0.03,
        ),
        kind="receiver",
    )


def button_not_learned() -> Case:
    def job(ohms: dict[str, float]) -> Job:
        joints = "CAR-accessory RAD-feed\nCAR-ground RAD-ground\nSTW-key RAD-key\nSTW-return RAD-return"
        return circuit((CAR, wheel(ohms), radio()), joints)

    # Behind 230 ohm from 5 V: 9000 beside 2563 ohm give 4.48 V, 2563 ohm alone 4.59 V; 3 % of 5 V are 0.15 V.
    return Case(
        "a button whose ohms are too high to be learned",
        "Held, it changes the 5 V on the line by less than the radio can tell.",
        job(SIX | {"seven": 9000.0}),
        (
            Said(
                "two buttons closer than the reader's tolerance",
                "RAD-key",
                level="look",
                numbers={"apart_volts": 0.105},
            ),
        ),
        (job(SIX),),
    )


def published_ladder() -> Case:
    def job(shown: float) -> Job:
        joints = "CAR-accessory RAD-feed\nCAR-ground RAD-ground\nSTW-key RAD-key\nSTW-return RAD-return"
        made = circuit((CAR, wheel(SIX), radio()), joints)
        return measured(made, "RAD-key", "RAD-return", shown, "run+three")

    return Case(
        "a ladder of six buttons whose volts are known",
        "The third button gives 2.1 V behind 230 ohm from 5 V; another reading is another resistance.",
        job(3.3),
        (Said("reading disagrees with the solve", "RAD-key", level="look", numbers={"expected_volts": 2.1}),),
        (job(2.1),),
    )


def never_sleeps() -> Case:
    def job(live: LiveIn) -> Job:
        interface = box(
            "INT",
            "feed:constant ground:ground accessory:accessory",
            load("feed", "ground", 0.05),
            Output(terminal="A-accessory", live=live, amps=5.0, fed_from="A-feed"),
        )
        receiver = box(
            "RAD",
            "memory:constant switched:accessory ground:ground",
            load("memory", "ground", 0.005),
            load("switched", "ground", 2.0),
            kind="receiver",
        )
        joints = """
            CAR-constant INT-feed RAD-memory
            INT-accessory RAD-switched
            CAR-ground INT-ground RAD-ground
        """
        return circuit((CAR, interface, receiver), joints)

    return Case(
        "an interface that keeps the car awake",
        "It makes the accessory feed of the radio from a bus that no longer goes to sleep, and the battery "
        "is flat overnight.",
        job(ALWAYS),
        (Said("load awake where it must sleep", "RAD-switched", level="look", numbers={"off_amps": 2.0}),),
        (job(ACCESSORY),),
    )


def bare_end_on_a_live_radio() -> Case:
    def job(capped: bool) -> Job:
        receiver = box(
            "RAD",
            "memory:constant switched:accessory ground:ground",
            load("memory", "ground", 0.005),
            load("switched", "ground", 2.0),
            kind="receiver",
        )
        tap = box("TAP", "memory:constant", feed("memory", ALWAYS), car=True)
        joints = "CAR-constant RAD-memory\nCAR-accessory RAD-switched\nCAR-ground RAD-ground"
        return circuit((CAR, receiver, tap), joints, cap=capped)

    return Case(
        "a bare end on a live radio",
        "The buttons were wired with the battery on and ends hanging free: one touched, and the radio and "
        "the key fob are dead behind one fuse.",
        job(False),
        (Said("lead that is live with no cap", "TAP-memory"),),
        (job(True),),
    )


def data_pair_crossed() -> Case:
    def job(high: str, low: str) -> Job:
        def module(tag: str, car: bool = False) -> Part:
            inside = DataPair(high="A-high", low="A-low", termination_ohms=120.0)
            return box(tag, "high:can-high low:can-low", inside, car=car)

        return circuit((module("GAT", True), module("BOX")), f"GAT-high BOX-{high}\nGAT-low BOX-{low}")

    return Case(
        "a data pair that changes sides at a plug",
        "High and low stand the other way round on one half: nothing burns and no meter tells, but nothing "
        "talks.",
        job("low", "high"),
        (Said("data pair split, exchanged or loaded", "GAT-high"),),
        (job("high", "low"),),
    )


CASES = (
    button_not_learned,
    published_ladder,
    never_sleeps,
    bare_end_on_a_live_radio,
    data_pair_crossed,
)
