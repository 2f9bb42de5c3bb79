"""Field cases of trailers, second batteries, and cars of 24 V or with plus on the frame."""

from __future__ import annotations

from core.job.document import Job
from core.job.internals import Battery, GroundPoint, Lamp, StepDown, VoltWindow
from core.job.internals import Case as MetalCase
from core.job.parts import Part
from tests.core.checks.field.build import (
    ALWAYS,
    BRAKE,
    LIGHTS,
    REVERSE,
    RUNNING,
    Case,
    Said,
    box,
    circuit,
    feed,
    ground,
    inline_fuse,
    load,
)


def lamps(ground_lead: str = "ground:ground") -> Part:
    """A trailer's lamps, which share one ground lead."""
    inside = []
    for pin, watts, number in (("brake", 21.0, 2), ("running", 5.0, 4)):
        inside += [Lamp(a=f"A-{pin}", b="A-ground", volts=12.0, watts=watts) for _ in range(number)]
    return box("TRL", f"brake:brake-pedal running:tail-lamps {ground_lead}", *inside)


def through_the_hitch() -> Case:
    def job(own: bool) -> Job:
        car = box(
            "CAR",
            "brake:brake-pedal running:tail-lamps ground:ground",
            feed("brake", BRAKE),
            feed("running", LIGHTS),
            car=True,
        )
        hitch = box("HIT", "ball", GroundPoint(terminal="A-ball", reliable=False, ohms=0.5), car=True)
        joints = f"""
            CAR-brake TRL-brake
            CAR-running TRL-running
            TRL-ground {"CAR-ground" if own else "HIT-ball"}
        """
        return circuit((car, hitch, lamps()), joints)

    return Case(
        "a trailer that returns through its hitch",
        "With the ball dry a lit lamp feeds back through the others: the brake lights the turn lamps and "
        "kills the running lamps.",
        job(False),
        (Said("no return", "TRL-ground"),),
        (job(True),),
    )


def drawn_from_the_front() -> Case:
    """Seven-way socket, mating face: mirrored, ground and brakes change places, tail and battery, left and
    right; the middle stays.
    """

    def job(mirrored: bool) -> Job:
        at = {"ground": "brake", "brake": "ground", "tail": "battery", "battery": "tail"} if mirrored else {}
        car = box(
            "SOC",
            "tail:tail-lamps battery:constant brake:brake-pedal ground:ground reverse:reverse",
            feed("tail", LIGHTS),
            feed("battery", ALWAYS, 15.0),
            feed("brake", BRAKE, 15.0),
            feed("reverse", REVERSE),
            car=True,
        )
        inside = [
            Lamp(a=f"A-{pin}", b="A-ground", volts=12.0, watts=21.0) for pin in ("tail", "brake", "reverse")
        ]
        trailer = box(
            "TRL",
            "tail:tail-lamps battery:constant brake:brake-pedal ground:ground reverse:reverse",
            *inside,
            load("battery", "ground", 1.0, on=RUNNING),
        )
        pins = ("tail", "battery", "brake", "ground", "reverse")
        return circuit((car, trailer), "\n".join(f"SOC-{at.get(pin, pin)} TRL-{pin}" for pin in pins))

    return Case(
        "a trailer's socket drawn from the front and wired from the back",
        "Many lamps at once, as power comes in where the ground should be; the middle pin is right, which "
        "proves nothing.",
        job(True),
        (
            Said(
                '"ground" that is a lamp wire or a low-volt lead',
                "TRL-ground",
                position="off+brake",
                numbers={"volts": 14.2},
            ),
        ),
        (job(False),),
    )


def middle_of_a_pair() -> Case:
    def job(converter: bool) -> Job:
        def battery(tag: str) -> Part:
            inside = Battery(
                plus="A-plus", minus="A-minus", rest_volts=12.6, running_volts=14.2, start_volts=10.0
            )
            return box(
                tag,
                "plus:battery-plus minus:battery-minus",
                inside,
                car=True,
                gauge="10 mm2",
                length_mm=100.0,
            )

        radio = box("TRX", "plus minus:ground", load("plus", "minus", 20.0, on=RUNNING), gauge="6 mm2")
        step = box(
            "CNV",
            "in:step-down-in out:step-down-out minus:common",
            StepDown(
                input="A-in",
                output="A-out",
                common="A-minus",
                volts_out=13.6,
                accepts=VoltWindow(least=20.0, most=32.0),
                amps=25.0,
                efficiency=0.85,
            ),
            gauge="6 mm2",
        )
        fuse = inline_fuse(30.0, gauge="6 mm2", holder_amps=30.0)
        ways = {
            True: "UPP-plus FUS-a\nFUS-b CNV-in\nCNV-out TRX-plus\nGND-bolt LOW-minus TRX-minus CNV-minus",
            False: "UPP-plus\nLOW-plus FUS-a\nFUS-b TRX-plus\nGND-bolt LOW-minus TRX-minus",
        }
        joints = ways[converter].replace("LOW-plus FUS-a", "LOW-plus UPP-minus FUS-a")
        if converter:
            joints += "\nLOW-plus UPP-minus"
        parts = (battery("LOW"), battery("UPP"), radio, fuse, ground(gauge="10 mm2"))
        return circuit((*parts, *((step,) if converter else ())), joints, system_volts=24)

    return Case(
        "a 12 V set on the middle of a 24 V pair",
        "It works at once; the lower battery is emptied alone, and the upper one only charged.",
        job(False),
        (Said("load on the middle of a series pair", "TRX-plus", numbers={"amps": 20.0}),),
        (job(True),),
    )


def converter_at_its_limit() -> Case:
    def job(transmits: float) -> Job:
        car = box("CAR", "feed:constant ground:ground", feed("feed", ALWAYS, 15.0), car=True, gauge="2.5 mm2")
        converter = box(
            "CNV",
            "in:step-down-in out:step-down-out minus:common",
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
            gauge="2.5 mm2",
        )
        sets = [
            box(tag, "plus minus:ground", load("plus", "minus", amps, least_volts=11.0, on=RUNNING))
            for tag, amps in (("TRX", transmits), ("PLY", 4.0))
        ]
        joints = """
            CAR-feed CNV-in
            CNV-out TRX-plus PLY-plus
            CAR-ground CNV-minus TRX-minus PLY-minus
        """
        return circuit((car, converter, *sets), joints, system_volts=24)

    return Case(
        "a truck's converter of 10 A for a set and a player",
        "Together they want 11 A while the set transmits.",
        job(7.0),
        (Said("step-down or supply overloaded", "CNV-out", numbers={"most_amps": 10.0}),),
        (job(3.0),),
    )


def negative_case_on_a_positive_frame() -> Case:
    def job(bolted: bool) -> Job:
        car = box("CAR", "minus:constant ground:ground", feed("minus", ALWAYS), car=True)
        radio = box(
            "RAD",
            "plus:constant minus:ground",
            load("plus", "minus", 2.0, on=RUNNING),
            MetalCase(a="A-minus", touches_body=bolted),
            kind="receiver",
        )
        return circuit((car, radio), "CAR-minus RAD-minus\nCAR-ground RAD-plus", ground="positive")

    return Case(
        "a radio of today in a car with plus on its frame",
        "Its case is its minus: any bolt, antenna or speaker frame is a dead short.",
        job(True),
        (Said("case on the wrong pole of a positive-ground car", "RAD-minus"),),
        (job(False),),
    )


CASES = (
    through_the_hitch,
    drawn_from_the_front,
    middle_of_a_pair,
    converter_at_its_limit,
    negative_case_on_a_positive_frame,
)
