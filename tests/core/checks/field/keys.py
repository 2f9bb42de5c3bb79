"""Field cases of feeds and key positions."""

from __future__ import annotations

from typing import Any

from core import edits as ed
from core.job.document import Job
from core.job.faces import Face, mate_of
from core.job.internals import Battery, LiveIn, Relay, SwitchContact
from core.job.internals import Case as MetalCase
from core.job.parts import Cavity, Connector, Lead, Part
from core.job.record import CarBattery
from tests.core.checks.field.build import (
    ACCESSORY,
    ALL,
    ALWAYS,
    GAUGE,
    IGNITION,
    LENGTH_MM,
    Case,
    Said,
    box,
    circuit,
    feed,
    feet,
    ground,
    inline_fuse,
    load,
    measured,
)
from tests.core.checks.jobs import joined


def receiver(tag: str = "RAD") -> Part:
    """A receiver of today: it remembers by one lead and plays by the other."""
    return box(
        tag,
        "memory:constant switched:accessory ground:ground",
        load("memory", "ground", 0.01, needed=ALWAYS),
        load("switched", "ground", 2.0, on=ACCESSORY, needed=ACCESSORY),
        kind="receiver",
    )


def car_of_two_feeds() -> Part:
    return box(
        "CAR",
        "constant:constant accessory:accessory ground:ground",
        feed("constant", ALWAYS, 15.0),
        feed("accessory", ACCESSORY),
        car=True,
    )


def forgets() -> Case:
    def job(memory: str, switched: str) -> Job:
        joints = f"CAR-{memory} RAD-memory\nCAR-{switched} RAD-switched\nCAR-ground RAD-ground"
        return circuit((car_of_two_feeds(), receiver()), joints)

    return Case(
        "a radio that forgets everything at key-off",
        "Its colours were matched and it plays, but its memory lead hangs on the switched feed and its "
        "switched lead on the constant one.",
        job("accessory", "constant"),
        (Said("constant and accessory exchanged", "RAD-memory"),),
        (job("constant", "accessory"),),
    )


def two_legal_wirings() -> Case:
    def job(memory: str, switched: str) -> Job:
        """The car's plug has its switched feed at 4 and its constant one at 7; ours brings both out."""
        meant = {"4": "accessory", "7": "constant", "8": "ground"}
        face = Face(grid=(("1", "3", "5", "7"), ("2", "4", "6", "8")), gender="male")
        theirs = Connector(
            name="A", face=face, cavities=tuple(Cavity(pin=pin, function=f) for pin, f in meant.items())
        )
        leads = tuple(Cavity(pin=pin, lead=Lead(gauge=GAUGE, length_mm=LENGTH_MM)) for pin in meant)
        ours = Connector(name="A", face=mate_of(face, "female"), cavities=leads)
        made = ed.add_mated(
            Job(),
            Part(
                id="CAR",
                name="CAR",
                state="on the car",
                connectors=(theirs,),
                internals=(feed("7", ALWAYS, 15.0), feed("4", ACCESSORY)),
            ),
            Part(id="PLG", name="PLG", kind="pigtail", connectors=(ours,)),
        )
        made = ed.add_part(made, receiver())
        return joined(made, f"PLG-{memory} RAD-memory", f"PLG-{switched} RAD-switched", "PLG-8 RAD-ground")

    return Case(
        "a plug that fits and feeds the wrong way",
        "The standard plug goes in and the radio plays, yet this car has its constant and its switched feed "
        "in each other's place; the two bullets in the lead must be crossed.",
        job("4", "7"),
        (Said("constant and accessory exchanged", "RAD-memory"),),
        (job("7", "4"),),
    )


def woken_by_data() -> Case:
    def job(accessory: str) -> Job:
        car = box(
            "CAR",
            "constant:constant accessory:accessory ground:ground",
            feed("constant", ALWAYS, 15.0),
            feed("accessory", ACCESSORY, manner="by data"),
            car=True,
        )
        tap = box("TAP", "feed:accessory", feed("feed", ACCESSORY), car=True)
        joints = f"CAR-constant RAD-memory\n{accessory} RAD-switched\nCAR-ground RAD-ground"
        return circuit((car, tap, receiver()), joints)

    return Case(
        "a radio that its car woke by data",
        "The old radio was started by a message; the new one waits for an accessory feed that only "
        "something which asks by data would switch on.",
        job("CAR-accessory"),
        (Said("needs a feed by data that nothing makes", "RAD-switched"),),
        (job("TAP-feed"),),
    )


def gone_while_cranking() -> Case:
    def job(live: LiveIn) -> Job:
        car = box("CAR", "feed:constant socket", feed("feed", ALWAYS), feed("socket", live), car=True)
        relay = box(
            "RLY",
            "coil ground common make",
            Relay(coil_plus="A-coil", coil_minus="A-ground", common="A-common", make="A-make", clamp="diode"),
            kind="relay",
        )
        needed = LiveIn(keys=("run", "start", "running"))
        computer = box("COM", "run ground", load("run", "ground", 2.0, least_volts=6.0, needed=needed))
        joints = "CAR-socket RLY-coil\nCAR-feed RLY-common\nRLY-make COM-run\nRLY-ground GND-bolt COM-ground"
        return circuit((car, relay, computer, ground()), joints)

    return Case(
        "a computer that is off whenever the engine is cranked",
        "Its run signal comes through a relay from the lighter socket, which the ignition switch drops "
        "while the starter turns.",
        job(ACCESSORY),
        (Said("feed falls while cranking below what the load needs", "COM-run", position="start"),),
        (job(IGNITION),),
    )


def low_while_cranking() -> Case:
    def job(volts: float) -> Job:
        car = box("CAR", "feed:constant ground:ground", feed("feed", ALWAYS), car=True)
        radio = box("RAD", "feed ground", load("feed", "ground", 3.0, least_volts=6.0, on=IGNITION))
        made = circuit(
            (car, radio),
            "CAR-feed RAD-feed\nCAR-ground RAD-ground",
            battery=CarBattery(start_volts=11.5),
        )
        return measured(made, "RAD-feed", "battery -", volts, "start")

    return Case(
        "10 V at a boat's radio while its battery has more",
        "The radio goes to standby at every start: 10 V were measured at it while the battery itself did not "
        "fall that far.",
        job(10.0),
        (
            Said(
                "reading disagrees with the solve",
                "RAD-feed",
                level="look",
                position="start",
                numbers={"measured_volts": 10.0, "expected_volts": 11.39},
            ),
        ),
        (job(11.35),),
    )


def stays_awake() -> Case:
    def job(live: LiveIn, **manner: Any) -> Job:
        car = box(
            "CAR",
            "constant:constant module:accessory ground:ground",
            feed("constant", ALWAYS, 15.0),
            feed("module", live, **manner),
            car=True,
        )
        return circuit((car, amplifier()), "CAR-constant AMP-feed\nCAR-module AMP-on\nCAR-ground AMP-ground")

    return Case(
        "an amplifier switched by a circuit that stays awake",
        "A rear module's wire stays live a quarter of an hour after key-off, and the amplifier with it.",
        job(ACCESSORY, manner="timed", after_run_minutes=16.0),
        (
            Said(
                "turn-on taken from a dimmed or data-held circuit",
                "AMP-on",
                level="note",
                numbers={"after_run_minutes": 16.0},
            ),
        ),
        (job(ACCESSORY),),
    )


def amplifier() -> Part:
    """An amplifier that idles with 1 A while its turn-on lead is live."""
    return box(
        "AMP",
        "feed:constant on:amplifier-turn-on< ground:ground",
        load("feed", "ground", 1.0, on_by="A-on", idle_amps=0.001),
        kind="amplifier",
    )


def cut_off_gone_round() -> Case:
    def job(case_on_body: bool, negative: str) -> Job:
        # The starter hangs on the battery's plus by the car's own cable.
        starter = load("plus", "body", 100.0, least_volts=4.0, on=LiveIn(keys=("start",)))
        battery = box(
            "BAT",
            "plus:battery-plus minus:battery-minus body",
            Battery(plus="A-plus", minus="A-minus", main=True),
            starter,
            car=True,
            gauge="25 mm2",
            length_mm=100.0,
        )
        switch = box(
            "CUT",
            "battery:switch-a body:switch-b",
            SwitchContact(a="A-battery", b="A-body", closed=LiveIn(keys=ALL, unless="cut-off"), amps=250.0),
            gauge="25 mm2",
        )
        radio = box(
            "RAD",
            "memory:constant ground:ground",
            load("memory", "ground", 0.01),
            MetalCase(a="A-ground", touches_body=case_on_body),
            leads={"ground": ("20 AWG", feet(3.0)), "memory": ("20 AWG", feet(1.0))},
        )
        fuse = inline_fuse(2.0, gauge="20 AWG")
        joints = f"""
            BAT-plus FUS-a
            FUS-b RAD-memory
            BAT-minus CUT-battery {"RAD-ground" if negative == "battery" else ""}
            CUT-body GND-bolt BAT-body {"RAD-ground" if negative == "body" else ""}
        """
        parts = (battery, switch, radio, fuse, ground("GND", "25 mm2"))
        bolts = dict.fromkeys(("BAT-plus", "BAT-minus", "GND-bolt"), "bolt")
        return circuit(parts, joints, switches=("cut-off",), methods=bolts)

    return Case(
        "a cut-off that a radio's memory goes round",
        "The cut-off is in the battery's negative lead and the memory is wired past it, so that with the "
        "switch open the whole car returns through the bolted radio and its thin ground lead.",
        job(True, "battery"),
        (Said("cut-off switch bypassed", "RAD-ground"),),
        (job(False, "battery"), job(True, "body")),
    )


def told_apart_by_meter() -> Case:
    def job(function: str, live: LiveIn) -> Job:
        car = box("CAR", f"orange:{function} ground:ground", feed("orange", live), car=True)
        module = box("RST", f"sense:{function} ground:ground", load("sense", "ground", 0.05, needed=live))
        made = circuit((car, module), "CAR-orange RST-sense\nCAR-ground RST-ground")
        for position, volts in (("off", 0.0), ("run", 12.5), ("start", 0.0), ("running", 14.1)):
            made = measured(made, "CAR-orange", "body", volts, position)
        return made

    return Case(
        "a wire at the ignition switch that goes dead while cranking",
        "It was taken for the main ignition; the meter in each key position says that it is another.",
        job("ignition", IGNITION),
        (Said("reading disagrees with the solve", "CAR-orange", level="look", position="start"),),
        (job("ignition-2", LiveIn(keys=("run", "running"))),),
    )


CASES = (
    forgets,
    two_legal_wirings,
    woken_by_data,
    gone_while_cranking,
    low_while_cranking,
    stays_awake,
    cut_off_gone_round,
    told_apart_by_meter,
)
