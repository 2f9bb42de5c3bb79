"""Field cases of grounds and shields."""

from __future__ import annotations

from core.job.document import Job
from core.job.internals import Antenna, GroundPoint, LineLevel, Shield
from core.job.parts import Part
from tests.core.checks.field.build import (
    ACCESSORY,
    ALWAYS,
    BRAKE,
    IGNITION,
    REVERSE,
    Case,
    Said,
    box,
    circuit,
    feed,
    ground,
    load,
    measured,
)


def radio_with_line_out() -> Part:
    """A radio whose line leads have a shield that is joined to its ground inside."""
    return box(
        "RAD",
        "feed:accessory ground:ground line:line-lf shield:shield",
        load("feed", "ground", 3.0, least_volts=6.0),
        LineLevel(terminal="A-line", reference="A-shield"),
        Shield(a="A-shield", touches="A-ground", ohms=0.2),
        kind="receiver",
    )


def black_lead_on_nothing() -> Case:
    def job(radio_ground: str) -> Job:
        car = box(
            "CAR",
            "feed:accessory constant:constant",
            feed("feed", ACCESSORY),
            feed("constant", ALWAYS),
            car=True,
        )
        amplifier = box(
            "AMP",
            "feed:constant ground:ground line:line-lf shield:shield",
            load("feed", "ground", 0.5, on=ACCESSORY),
            LineLevel(terminal="A-line", reference="A-shield"),
            Shield(a="A-shield", touches="A-ground", ohms=0.02),
            kind="amplifier",
        )
        joints = f"""
            CAR-feed RAD-feed
            CAR-constant AMP-feed
            RAD-line AMP-line
            RAD-shield AMP-shield
            GND-bolt AMP-ground {radio_ground}
        """
        return circuit((car, radio_with_line_out(), amplifier, ground()), joints)

    return Case(
        "an adapter whose black lead mates with nothing",
        "The vehicle's plug is empty there, so the radio's supply came back through antenna braid and audio "
        "shields, with the whine that goes with it.",
        job(""),
        (Said("no return", "RAD-ground"),),
        (job("RAD-ground"),),
    )


def shield_fuse_aged() -> Case:
    def job(shown: float) -> Job:
        car = box("CAR", "feed:accessory ground:ground", feed("feed", ACCESSORY), car=True)
        radio = box(
            "RAD",
            "feed:accessory ground:ground shield:shield",
            load("feed", "ground", 3.0),
            Shield(a="A-shield", touches="A-ground", ohms=0.09),
            kind="receiver",
        )
        made = circuit((car, radio), "CAR-feed RAD-feed\nCAR-ground RAD-ground")
        return measured(
            made, "RAD-shield", "RAD-ground", shown, "off", quantity="ohms", lead_ohms=0.3, loaded=False
        )

    return Case(
        "a radio whose audio ground has risen to an ohm",
        "1.5 ohm from the shell of an audio jack to the case, 0.3 of them in the meter's leads, where a "
        "tenth was to be expected: the small part inside had carried supply current once.",
        job(1.5),
        (
            Said(
                "reading disagrees with the solve",
                "RAD-shield",
                level="look",
                numbers={"measured_ohms": 1.2, "expected_ohms": 0.09},
            ),
        ),
        (job(0.39),),
    )


def two_grounds_one_shield() -> Case:
    def job(second: str, shield: str) -> Job:
        car = box(
            "CAR",
            "feed:accessory constant:constant ground:ground",
            feed("feed", ACCESSORY),
            feed("constant", ALWAYS),
            car=True,
        )
        computer = box(
            "COM",
            "feed:constant ground:ground line:line-lf shield:shield",
            load("feed", "ground", 5.0, on=ACCESSORY),
            LineLevel(terminal="A-line", reference="A-shield"),
            Shield(a="A-shield", touches="A-ground", ohms=0.02),
        )
        joints = f"""
            CAR-feed RAD-feed
            CAR-constant COM-feed
            RAD-line COM-line
            {shield}
            CAR-ground RAD-ground {"COM-ground" if second == "dash" else ""}
            {"GND-bolt COM-ground" if second == "boot" else ""}
        """
        return circuit((car, radio_with_line_out(), computer, ground(ohms=0.005)), joints)

    shield = "RAD-shield COM-shield"
    return Case(
        "whine that stops only when the audio lead is pulled",
        "A computer grounded in the boot takes its sound by a shielded lead from the radio grounded in the "
        "dash: the shield joins both points.",
        job("boot", shield),
        (Said("shield joins two ground points", "RAD-shield", level="look"),),
        (job("boot", ""), job("dash", shield)),
    )


def through_the_antenna() -> Case:
    def job(radio_ground: str) -> Job:
        car = box("CAR", "feed:accessory", feed("feed", ACCESSORY), car=True)
        mast = box(
            "ANT",
            "core:antenna braid:shield",
            Antenna(terminal="A-core", reference="A-braid"),
            GroundPoint(terminal="A-braid", reliable=False),
            car=True,
        )
        radio = box(
            "RAD",
            "feed:accessory ground:ground core:antenna braid:shield",
            load("feed", "ground", 2.0),
            Antenna(terminal="A-core", reference="A-braid"),
            Shield(a="A-braid", touches="A-ground"),
        )
        joints = f"CAR-feed RAD-feed\nANT-core RAD-core\nANT-braid RAD-braid\n{radio_ground}"
        return circuit((car, mast, radio, ground()), joints)

    return Case(
        "a radio that cuts out over bumps",
        "Its own ground is broken and it goes on playing through the braid of its antenna.",
        job(""),
        (Said("no return", "RAD-ground"),),
        (job("RAD-ground GND-bolt"),),
    )


def shares_with_the_brakes() -> Case:
    def job(shared: bool) -> Job:
        car = box(
            "CAR",
            "feed:accessory brake:brake-pedal",
            feed("feed", ACCESSORY),
            feed("brake", BRAKE, 15.0),
            car=True,
        )
        lamps = box("BRK", "plus minus", load("plus", "minus", 5.0), car=True)
        radio = box("RAD", "feed:accessory ground:ground", load("feed", "ground", 0.5), kind="receiver")
        joints = f"""
            CAR-feed RAD-feed
            CAR-brake BRK-plus
            BRK-minus GND-bolt {"RAD-ground" if shared else ""}
            {"" if shared else "RAD-ground GNR-bolt"}
        """
        return circuit((car, lamps, radio, ground(ohms=0.2), ground("GNR")), joints)

    return Case(
        "a radio at full volume while the brake pedal is down",
        "Its ground shares a fifth of an ohm with the brake lamps, and 5 A more lift it by a volt.",
        job(True),
        (
            Said(
                "ground shared so that offset exceeds its limit",
                "RAD-ground",
                level="look",
                numbers={"offset_volts": 1.0},
                within=0.15,
            ),
        ),
        (job(False),),
    )


def camera_on_the_lamps_ground() -> Case:
    def job(shared: bool) -> Job:
        car = box("CAR", "reverse:reverse", feed("reverse", REVERSE, 15.0), car=True)
        lamps = box("REV", "plus minus", load("plus", "minus", 3.5), car=True)
        camera = box(
            "CAM", "plus:camera-feed minus:camera-return", load("plus", "minus", 0.15), kind="camera"
        )
        joints = f"""
            CAR-reverse REV-plus CAM-plus
            REV-minus GND-bolt {"CAM-minus" if shared else ""}
            {"" if shared else "CAM-minus GNC-bolt"}
        """
        return circuit((car, lamps, camera, ground(ohms=0.05), ground("GNC")), joints)

    return Case(
        "a camera on the reverse lamps' own ground wire",
        "Which of the two wires at the lamp is feed, and may the camera use the other: 3.5 A in a ground "
        "wire of 50 milliohm lift the picture's ground by 0.18 V.",
        job(True),
        (
            Said(
                "ground shared so that offset exceeds its limit",
                "CAM-minus",
                level="look",
                numbers={"offset_volts": 0.18},
                within=0.15,
            ),
        ),
        (job(False),),
    )


def engine_stops_with_the_radio() -> Case:
    def job(shared: bool) -> Job:
        car = box("CAR", "ignition:ignition", feed("ignition", IGNITION), car=True)
        spark = box("IGN", "plus minus", load("plus", "minus", 0.5, least_volts=9.0), car=True)
        radio = box("RAD", "feed:ignition ground:ground", load("feed", "ground", 3.0), kind="receiver")
        joints = f"""
            CAR-ignition IGN-plus RAD-feed
            IGN-minus GND-bolt {"RAD-ground" if shared else ""}
            {"" if shared else "RAD-ground GNR-bolt"}
        """
        return circuit((car, spark, radio, ground(ohms=0.5), ground("GNR")), joints)

    return Case(
        "an engine that will not fire with the radio plugged in",
        "The boat's radio returns by the instruments' black wire; half an ohm in it and 3 A of the radio "
        "lift the ignition's own ground by a volt and a half.",
        job(True),
        (
            Said(
                "ground shared so that offset exceeds its limit",
                "RAD-ground",
                level="look",
                numbers={"offset_volts": 1.5},
                within=0.2,
            ),
        ),
        (job(False),),
    )


CASES = (
    black_lead_on_nothing,
    shield_fuse_aged,
    two_grounds_one_shield,
    through_the_antenna,
    shares_with_the_brakes,
    camera_on_the_lamps_ground,
    engine_stops_with_the_radio,
)
