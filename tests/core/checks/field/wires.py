"""Field cases of taps, wires, fuses and holders."""

from __future__ import annotations

from core.job.document import Job
from core.job.internals import Fuse, Lamp, SwitchContact
from core.job.record import CarBattery
from tests.core.checks.field.build import (
    ACCESSORY,
    ALWAYS,
    BRAKE,
    LIGHTS,
    RUNNING,
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
    post,
)


def quick_tap() -> Case:
    def job(method: str) -> Job:
        car = box("CAR", "brake:brake-pedal", feed("brake", BRAKE, 20.0), car=True, gauge="4 mm2")
        magnets = box("MAG", "plus minus", load("plus", "minus", 12.0), gauge="4 mm2")
        joints = "CAR-brake MAG-plus\nMAG-minus GND-bolt"
        return circuit((car, magnets, ground(gauge="4 mm2")), joints, methods={"CAR-brake": method})

    return Case(
        "trailer brakes behind a self-stripping clip",
        "Four magnets of 3 A hang on a clip that has only scratched the conductor: it has volts, and opens "
        "under current.",
        job("tap"),
        (Said("tap too weak for its current", "CAR-brake", level="look", numbers={"amps": 12.0}),),
        (job("crimp"),),
    )


def pierced_feed() -> Case:
    def job(shown: float) -> Job:
        car = box("CAR", "feed:constant", feed("feed", ALWAYS, 30.0), car=True, gauge="6 mm2")
        lights = box(
            "LMP", "plus minus", load("plus", "minus", 20.0, least_volts=6.0, on=RUNNING), gauge="6 mm2"
        )
        joints = "CAR-feed LMP-plus\nLMP-minus GND-bolt"
        made = circuit((car, lights, ground(gauge="6 mm2")), joints, battery=CarBattery(running_volts=12.6))
        return measured(made, "LMP-plus", "LMP-minus", shown, "running")

    return Case(
        "plough lights at 8 V behind a probe's hole",
        "12 V open and 8 V loaded: a test-light's spike had let the wet into the red feed a year before.",
        job(8.0),
        (
            Said(
                "reading disagrees with the solve",
                "LMP-plus",
                level="look",
                numbers={"measured_volts": 8.0, "ohms": 0.2},
            ),
        ),
        (job(11.95),),
    )


def melted_holder() -> Case:
    def job(holder_amps: float) -> Job:
        source = post("12 AWG", 100.0)
        fuse = inline_fuse(30.0, gauge="10 AWG", holder_amps=holder_amps)
        lights = box("LMP", "plus minus", load("plus", "minus", 20.0, on=RUNNING), gauge="10 AWG")
        joints = "BAT-plus FUS-a\nFUS-b LMP-plus\nLMP-minus GND-bolt"
        return circuit((source, fuse, lights, ground(gauge="10 AWG")), joints)

    return Case(
        "30 A in a holder for 20",
        "The wire would have carried it, but the spring of the cheap in-line holder could not.",
        job(20.0),
        (
            Said(
                "conductor not protected by its fuse",
                "FUS-a",
                numbers={"fuse_amps": 30.0, "holder_amps": 20.0},
            ),
        ),
        (job(30.0),),
    )


def stronger_fuse() -> Case:
    def job(amps: float) -> Job:
        source = post("2.5 mm2", 100.0)
        fuse = inline_fuse(amps, gauge="2.5 mm2", holder_amps=30.0)
        radio = box("RAD", "memory:constant ground:ground", load("memory", "ground", 4.0, on=ACCESSORY))
        joints = "BAT-plus FUS-a\nFUS-b RAD-memory\nRAD-ground GND-bolt"
        return circuit((source, fuse, radio, ground()), joints)

    return Case(
        "a stronger fuse after one had blown",
        "The second blew too, with a spark, and the wire behind it stands far less than the third.",
        job(30.0),
        (
            Said(
                "conductor not protected by its fuse",
                "RAD-memory",
                numbers={"fuse_amps": 30.0, "load_amps": 4.0},
            ),
        ),
        (job(7.5),),
    )


def return_forgotten() -> Case:
    def job(back: str) -> Job:
        source = post("10 AWG", 100.0)
        fuse = inline_fuse(30.0, gauge="10 AWG", holder_amps=30.0)
        inverter = box(
            "INV",
            "plus minus",
            load("plus", "minus", 20.0, on=RUNNING),
            leads={"plus": ("10 AWG", feet(4.0)), "minus": (back, feet(4.0))},
        )
        joints = "BAT-plus FUS-a\nFUS-b INV-plus\nINV-minus GND-bolt"
        return circuit((source, fuse, inverter, ground(gauge="10 AWG")), joints)

    return Case(
        "a charge feed made thicker and its return forgotten",
        "The trailer got a feed of 10 AWG with 30 A; its ground was still the thin return of the lamps, and "
        "lost its insulation.",
        job("18 AWG"),
        (
            Said(
                "return thinner than its feed",
                "INV-minus",
                numbers={"amps": 20.0, "area_mm2": 0.823, "feed_area_mm2": 5.26},
            ),
        ),
        (job("10 AWG"),),
    )


def far_charger(gauge: str, length_feet: float, amps: float, fuse_amps: float) -> Job:
    """A charger on a feed of its own, so far there and so far back."""
    source = post(gauge, 50.0)
    fuse = inline_fuse(fuse_amps, gauge=gauge, length_mm=50.0, holder_amps=fuse_amps)
    charger = box(
        "CHG",
        "plus:constant minus:ground",
        load("plus", "minus", amps, on=RUNNING),
        gauge=gauge,
        length_mm=feet(length_feet),
    )
    joints = "BAT-plus FUS-a\nFUS-b CHG-plus\nCHG-minus GND-bolt"
    return circuit((source, fuse, charger, ground(gauge=gauge, length_mm=50.0)), joints)


def charger_far_away() -> Case:
    return Case(
        "a charger twenty feet from its battery",
        "It measures where it stands and stops early: 1.2 V are lost there and back on 6 AWG.",
        far_charger("6 AWG", 20.0, 75.3, 100.0),
        (
            Said("amps above what the gauge carries", "CHG-plus", numbers={"amps": 75.3}),
            Said(
                "drop above the limit of its class",
                "CHG-plus",
                level="look",
                # Stated for solid copper at 20 °C; ours is stranded, with the fuse and its leads.
                numbers={"drop_volts": 1.19},
                within=0.3,
                folded=True,
            ),
        ),
        (far_charger("00 AWG", 2.0, 75.3, 100.0),),
    )


def long_charge_wire() -> Case:
    return Case(
        "a charge wire of thirty feet one way",
        "By the table 10 AWG is enough for 3.5 A over 30 ft one way, its return counted in; nobody need "
        "halve it again, but 18 AWG is too thin.",
        far_charger("18 AWG", 30.0, 3.5, 5.0),
        # 60 ft of 18 AWG at 6.385 milliohm a foot (solid copper) lose 1.34 V at 3.5 A.
        (
            Said(
                "drop above the limit of its class",
                "CHG-plus",
                level="look",
                numbers={"drop_volts": 1.34},
                within=0.1,
            ),
        ),
        (far_charger("10 AWG", 30.0, 3.5, 5.0),),
    )


def two_limits() -> Case:
    def job(gauge: str) -> Job:
        return far_charger(gauge, 10.5, 10.0, 15.0)

    return Case(
        "3 % for electronics and 10 % for a lamp",
        "10 A over 21 ft there and back: 16 AWG loses 7 %, which a cabin lamp may and electronics may not.",
        job("16 AWG"),
        (
            Said(
                "drop above the limit of its class",
                "CHG-plus",
                level="look",
                # 7 % of 12 V, stated for solid copper.
                numbers={"drop_volts": 0.84},
                within=0.2,
                folded=True,
            ),
        ),
        (job("10 AWG"), lamp_at_the_end("14 AWG")),
    )


def lamp_at_the_end(gauge: str) -> Job:
    """A lamp that draws 10 A at the end of the same run."""
    source = box(
        "CAR", "feed:accessory", feed("feed", ACCESSORY, 15.0), car=True, gauge="2.5 mm2", length_mm=50.0
    )
    lamp = box(
        "LMP",
        "a:lamp+ b:lamp-",
        Lamp(a="A-a", b="A-b", volts=12.0, watts=110.0),
        gauge=gauge,
        length_mm=feet(10.5),
    )
    return circuit((source, lamp, ground(gauge="2.5 mm2", length_mm=50.0)), "CAR-feed LMP-a\nLMP-b GND-bolt")


def loose_switch_tabs() -> Case:
    def job(shown: float) -> Job:
        car = box("CAR", "feed:constant", feed("feed", ALWAYS, 10.0), car=True)
        switch = box(
            "SWT", "a:switch-a b:switch-b", SwitchContact(a="A-a", b="A-b", closed=RUNNING, amps=10.0)
        )
        radio = box("RAD", "feed ground:ground", load("feed", "ground", 4.0))
        joints = "CAR-feed SWT-a\nSWT-b RAD-feed\nRAD-ground GND-bolt"
        made = circuit((car, switch, radio, ground()), joints)
        return measured(made, "RAD-feed", "RAD-ground", shown, "running")

    return Case(
        "three years of drop-outs from a switch's own tabs",
        "The amplifiers had feeds of their own, and only the radio, which turns them on, died over waves: "
        "the tabs inside the master switch rocked.",
        job(9.0),
        (Said("reading disagrees with the solve", "RAD-feed", level="look"),),
        (job(13.9),),
    )


def broken_strands() -> Case:
    def job(loaded: float) -> Job:
        car = box("CAR", "lamp:tail-lamps", feed("lamp", LIGHTS), car=True)
        lamps = box("TRL", "plus minus", load("plus", "minus", 5.0, least_volts=6.0))
        made = circuit((car, lamps, ground()), "CAR-lamp TRL-plus\nTRL-minus GND-bolt")
        made = measured(made, "TRL-plus", "body", 14.1, "running+lights", loaded=False)
        return measured(made, "TRL-plus", "body", loaded, "running+lights")

    return Case(
        "wires broken at the screws inside a trailer's socket",
        "All volts were right with the plug out; two strands of thirty were left to carry the lamps.",
        job(10.5),
        (
            Said(
                "reading disagrees with the solve", "TRL-plus", level="look", numbers={"measured_volts": 10.5}
            ),
        ),
        (job(13.9),),
    )


def glowing_indicator() -> Case:
    def job(fuse_amps: float) -> Job:
        """The lamp returns by a lead of its own gauge, so that no joint has thick and thin in it."""
        car = box("CAR", "constant:constant", feed("constant", ALWAYS, 20.0), car=True, gauge="4 mm2")
        fuse = box(
            "FUS",
            "a:fuse-a b:fuse-b",
            Fuse(a="A-a", b="A-b", amps=fuse_amps),
            kind="fuse holder",
            leads={"a": ("4 mm2", 100.0), "b": ("1 mm2", 100.0)},
        )
        lamp = box("LED", "plus minus", load("plus", "minus", 0.02), gauge="24 AWG")
        joints = "CAR-constant FUS-a\nFUS-b LED-plus\nLED-minus GND-bolt"
        return circuit((car, fuse, lamp, ground(gauge="1 mm2")), joints)

    return Case(
        "two indicator wires that glowed red",
        "An alarm's thin lamp leads hung on a large fuse; snagged, they burned through the bundle beside "
        "them.",
        job(20.0),
        (
            Said(
                "thin lead in a bundle behind a large fuse",
                "LED-plus",
                numbers={"fuse_amps": 20.0, "load_amps": 0.02},
            ),
        ),
        (job(1.0),),
    )


CASES = (
    quick_tap,
    pierced_feed,
    melted_holder,
    stronger_fuse,
    return_forgotten,
    charger_far_away,
    long_charge_wire,
    two_limits,
    loose_switch_tabs,
    broken_strands,
    glowing_indicator,
)
