"""Field cases of starters, alarms, what was left of them, and plugs with two numberings."""

from __future__ import annotations

from core import edits as ed
from core.job.document import Job
from core.job.faces import Face
from core.job.internals import Diode, LiveIn, SwitchContact
from core.job.parts import Cavity, Connector, Lead, Part
from tests.core.checks.field.build import (
    ACCESSORY,
    ALL,
    ALWAYS,
    IGNITION,
    LIGHTS,
    Case,
    Said,
    box,
    circuit,
    feed,
    load,
)
from tests.core.checks.jobs import capped, joined


def sense_behind_a_diode() -> Case:
    def job(side: str) -> Job:
        remote = LiveIn(keys=ALL, switch="remote")
        car = box(
            "CAR",
            "ignition:ignition feed:constant ground:ground",
            feed("ignition", IGNITION),
            feed("feed", ALWAYS),
            car=True,
        )
        diode = box(
            "DIO", "anode:anode cathode:cathode", Diode(anode="A-anode", cathode="A-cathode", amps=3.0)
        )
        starter = box(
            "RST",
            "feed:constant ignition ground:ground",
            load("feed", "ground", 0.02),
            SwitchContact(a="A-feed", b="A-ignition", closed=remote),
        )
        interface = box(
            "INT",
            "sense ground:ground",
            load("sense", "ground", 0.01, needed=LiveIn(keys=("off",), switch="remote")),
        )
        ends = {"car": "DIO-anode CAR-ignition", "starter": "DIO-cathode RST-ignition"}
        joints = "\n".join(f"{where} {'INT-sense' if name == side else ''}" for name, where in ends.items())
        grounds = "CAR-feed RST-feed\nCAR-ground RST-ground INT-ground"
        return circuit((car, diode, starter, interface), f"{joints}\n{grounds}", switches=("remote",))

    return Case(
        "a diode that hides the ignition from an interface",
        "The diode keeps a remote starter from feeding the car's ignition; an interface that looks at the "
        "car's side of it sees nothing while the starter runs.",
        job("car"),
        (Said("load dead where it is needed", "INT-sense", position="off+remote"),),
        (job("starter"),),
    )


def left_over_ends() -> Case:
    def job(closed: bool) -> Job:
        car = box(
            "CAR",
            "constant:constant parking:tail-lamps ground:ground",
            feed("constant", ALWAYS),
            feed("parking", LIGHTS),
            car=True,
        )
        alarm = box("ALM", "feed:constant lamps:tail-lamps ground:ground", load("feed", "ground", 0.02))
        made = circuit((car, alarm), "CAR-constant ALM-feed\nCAR-parking ALM-lamps\nCAR-ground ALM-ground")
        made = ed.set_part(made, "ALM", state="removed")
        if not closed:
            return made
        for joint in list(made.joints):
            made = ed.remove_joint(made, joint)
        return capped(made)

    return Case(
        "ends left over from a removed alarm",
        "The alarm is gone and its taps are not: a feed and the parking lamps touch each other behind the "
        "dash whenever it is thumped.",
        job(False),
        (Said("removed part whose taps are not closed", "ALM-feed"),),
        (job(True),),
    )


def two_numberings() -> Case:
    def job(by: str) -> Job:
        """Three columns, two rows. Ours counts down the columns, the car's along the rows."""
        ours = Face(grid=(("1", "3", "5"), ("2", "4", "6")), gender="male")
        theirs = Face(grid=(("1", "2", "3"), ("11", "12", "13")), gender="female")
        meant = {"1": "constant", "2": "accessory", "3": "ground"}
        car = Part(
            id="CAR",
            name="CAR",
            state="on the car",
            connectors=(
                Connector(
                    name="A",
                    face=theirs,
                    cavities=tuple(Cavity(pin=pin, function=meant.get(pin, "")) for pin in ("1", "2", "3")),
                ),
            ),
            internals=(
                feed("1", ALWAYS, 15.0),
                feed("2", ACCESSORY),
            ),
        )
        # What meets follows from row and column, mirrored, and never from the numbers.
        leads = tuple(
            Cavity(pin=pin, lead=Lead(gauge="2.5 mm2", length_mm=300.0)) for pin in ("1", "2", "3", "4", "5")
        )
        plug = Part(
            id="PLG", name="PLG", kind="pigtail", connectors=(Connector(name="A", face=ours, cavities=leads),)
        )
        radio = box(
            "RAD",
            "memory:constant switched:accessory ground:ground",
            load("memory", "ground", 0.01, needed=ALWAYS),
            load("switched", "ground", 1.0, on=ACCESSORY, needed=ACCESSORY),
        )
        made = ed.add_mated(Job(), car, plug)
        made = ed.add_part(made, radio)
        meets = dict(_pairs(made))
        names = {"memory": "1", "switched": "2", "ground": "3"}
        for pin, theirs_pin in names.items():
            own = meets[theirs_pin] if by == "place" else theirs_pin
            made = joined(made, f"PLG-{own} RAD-{pin}")
        return capped(made)

    return Case(
        "a plug numbered down and a plug numbered across",
        "The drawing counts one half of the connection in zigzag and the car's maker counts the other row by "
        "row; pin to pin by number is not pin to pin.",
        job("number"),
        (Said("reversed polarity", "RAD-ground"),),
        (job("place"),),
    )


def _pairs(job: Job) -> list[tuple[str, str]]:
    """The pins of the car's plug, each with that of ours which it meets."""
    met = ((ref, other) for ref, other in job.lookup.meets.items() if other and ref.startswith("CAR."))
    return [(ref.rpartition("-")[2], other.rpartition("-")[2]) for ref, other in met]


CASES = (sense_behind_a_diode, left_over_ends, two_numberings)
