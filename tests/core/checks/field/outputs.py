"""Field cases of turn-on leads and the outputs of modules."""

from __future__ import annotations

from typing import Literal

from core import edits as ed
from core.job.document import Job
from core.job.internals import LiveIn, LowSideOutput, Output, Relay, Sense, SwitchContact
from core.job.parts import Part
from tests.core.checks.field.build import (
    ACCESSORY,
    ALWAYS,
    RUNNING,
    Case,
    Said,
    box,
    circuit,
    feed,
    feet,
    inline_fuse,
    load,
    post,
)
from tests.core.checks.field.keys import amplifier

Clamp = Literal["none", "diode"]

CAR = box(
    "CAR",
    "constant:constant accessory:accessory ground:ground",
    feed("constant", ALWAYS, 15.0),
    feed("accessory", ACCESSORY),
    car=True,
)


def radio(amps: float | None = None) -> Part:
    """A radio with a turn-on output of so many amps."""
    return box(
        "RAD",
        "memory:constant switched:accessory ground:ground remote:amplifier-turn-on",
        load("memory", "ground", 0.01),
        load("switched", "ground", 1.0, on=ACCESSORY),
        Output(terminal="A-remote", live=ACCESSORY, amps=amps, fed_from="A-memory", on_by="A-switched"),
        kind="receiver",
    )


def relay(tag: str = "RLY", clamp: Clamp = "diode", coil_ohms: float = 90.0) -> Part:
    inside = Relay(
        coil_plus="A-86",
        coil_minus="A-85",
        common="A-30",
        make="A-87",
        coil_ohms=coil_ohms,
        clamp=clamp,
        contact_amps=30.0,
    )
    return box(tag, "86:coil-plus 85:coil-minus 30:relay-common 87:relay-make", inside, kind="relay")


def turn_on_from_the_constant() -> Case:
    def job(source: str) -> Job:
        joints = f"""
            CAR-constant RAD-memory AMP-feed {"AMP-on" if source == "constant" else ""}
            CAR-accessory RAD-switched
            CAR-ground RAD-ground AMP-ground
            {"RAD-remote AMP-on" if source == "remote" else ""}
        """
        return circuit((CAR, radio(0.3), amplifier()), joints)

    return Case(
        "an amplifier turned on by the always-live lead",
        "The radio's turn-on had burned as the box fell over, and the advice was to take the yellow lead "
        "instead: the amplifier never sleeps.",
        job("constant"),
        (Said("load awake where it must sleep", "AMP-on", level="look", numbers={"off_amps": 1.0}),),
        (job("remote"),),
    )


def melted_turn_on() -> Case:
    def job(fused: bool) -> Job:
        switch = box(
            "SWT",
            "a:switch-a b:switch-b",
            SwitchContact(a="A-a", b="A-b", closed=ACCESSORY, amps=5.0),
            gauge="18 AWG",
        )
        fuse = inline_fuse(1.0, gauge="18 AWG")
        feeds = "BAT-plus FUS-a\nFUS-b SWT-a" if fused else "BAT-plus SWT-a"
        joints = f"{feeds}\nSWT-b AMP-on\nCAR-constant AMP-feed\nCAR-ground AMP-ground"
        made = circuit((CAR, post(), switch, amplifier(), fuse), joints)
        return ed.set_leads(made, ["AMP.A-on"], gauge="18 AWG", length_mm=feet(16.0))

    return Case(
        "a turn-on lead pinched by a folding seat",
        "Sixteen feet of thin wire melted from end to end: the source could give far more than any radio's "
        "output, and nothing was fused.",
        job(False),
        (Said("added constant feed without a fuse near its source", "BAT-plus"),),
        (job(True),),
    )


def output_overloaded() -> Case:
    def job(by_relay: bool) -> Job:
        boosters = box(
            "BST",
            "on:amplifier-turn-on< ground:ground",
            load("on", "ground", 0.42),
            kind="amplifier",
        )
        own = "CAR-constant RAD-memory RLY-30\nRAD-remote RLY-86\nRLY-87 BST-on"
        joints = f"""
            {own if by_relay else "CAR-constant RAD-memory" + chr(10) + "RAD-remote BST-on"}
            CAR-accessory RAD-switched
            CAR-ground RAD-ground BST-ground {"RLY-85" if by_relay else ""}
        """
        parts = (CAR, radio(0.3), boosters, *((relay(),) if by_relay else ()))
        return circuit(parts, joints)

    return Case(
        "more turn-on leads than an output can drive",
        "Together they want 420 mA, and an output whose limit nobody knows is taken for 300 mA; a relay "
        "does it.",
        job(False),
        (Said("output overloaded", "RAD-remote", numbers={"amps": 0.42, "most_amps": 0.3}),),
        (job(True),),
    )


def module_output_burned() -> Case:
    def job(coils: int, clamp: Clamp) -> Job:
        module = box(
            "RST",
            "running:low-side-out ground:ground",
            LowSideOutput(terminal="A-running", reference="A-ground", live=RUNNING, amps=0.2),
        )
        relays = [relay(f"RL{n}", clamp) for n in range(1, coils + 1)]
        plus = " ".join(f"RL{n}-86" for n in range(1, coils + 1))
        minus = " ".join(f"RL{n}-85" for n in range(1, coils + 1))
        joints = f"CAR-constant {plus}\nRST-running {minus}\nCAR-ground RST-ground"
        return circuit((CAR, module, *relays), joints)

    return Case(
        "a starter module's low-current output that burned",
        "It pulls 200 mA to ground while the engine runs; two relays of 90 ohm hung on it, and nothing "
        "clamped their coils.",
        job(2, "none"),
        (
            Said("output overloaded", "RST-running", numbers={"amps": 0.31, "most_amps": 0.2}),
            Said("relay coil without clamp on an electronic output", "RST-running"),
        ),
        (job(1, "diode"),),
    )


def horn_and_siren() -> Case:
    def job(by_relay: bool, clamp: Clamp = "diode") -> Job:
        module = box(
            "ALM",
            "feed:constant ground:ground siren:amplifier-turn-on",
            load("feed", "ground", 0.02),
            Output(terminal="A-siren", live=LiveIn(keys=("off",)), amps=1.0, fed_from="A-feed"),
        )
        horn = box(
            "HRN",
            "trigger ground:ground",
            Sense(terminal="A-trigger", reference="A-ground", active="low"),
            car=True,
        )
        ways = {
            True: "ALM-siren RLY-86\nRLY-87 HRN-trigger\nRLY-30 RLY-85 CAR-ground ALM-ground HRN-ground",
            False: "ALM-siren HRN-trigger\nCAR-ground ALM-ground HRN-ground",
        }
        parts = (CAR, module, horn, *((relay(clamp=clamp),) if by_relay else ()))
        return circuit(parts, f"CAR-constant ALM-feed\n{ways[by_relay]}")

    return Case(
        "a keyless module that shall sound the horn",
        "Its siren output gives 12 V and the horn wants ground: a relay turns one into the other, with a "
        "diode across its coil.",
        job(True, "none"),
        (Said("relay coil without clamp on an electronic output", "ALM-siren"),),
        (job(True),),
    )


CASES = (
    turn_on_from_the_constant,
    melted_turn_on,
    output_overloaded,
    module_output_burned,
    horn_and_siren,
)
