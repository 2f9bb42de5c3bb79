"""Mistakes with grounds."""

from __future__ import annotations

from core import edits as ed
from core.job.document import Job
from core.job.internals import Case, GroundPoint, Link, Load, Resistor, Shield, SwitchContact
from core.job.parts import Part
from core.job.record import OwnSwitch
from core.job.wiring import Conductor
from tests.core.checks.cases import Bad
from tests.core.checks.jobs import ALWAYS, jobs_of, joined, off, plain, radio


def car(*functions: str) -> Part:
    return plain("CAR", functions or ("accessory", "ground"), state="on the car")


def point(tag: str) -> Part:
    return plain(tag, ("ground",), state="on the car", internals=(GroundPoint(terminal="A-1"),))


def box(tag: str, amps: float) -> Part:
    return plain(tag, ("accessory", "ground"), internals=(Load(plus="A-1", minus="A-2", amps=amps),))


def on_the_lights() -> Job:
    """The receiver's ground on the dash lamps' wire."""
    job = off(radio(), "REC.A-2")
    return joined(ed.clear_finish(job, ["RAD.A-1", "RAD.A-5"]), "REC-2 RAD-5")


def through_a_signal_ground() -> Job:
    """A camera whose return is on a display's picture ground, which is one with the display's own inside."""
    eye = plain("EYE", ("accessory", "camera-return"), internals=(Load(plus="A-1", minus="A-2", amps=0.2),))
    display = plain(
        "DSP",
        ("accessory", "ground", "video-ground"),
        internals=(Load(plus="A-1", minus="A-2", amps=0.5), Link(a="A-2", b="A-3")),
    )
    return joined(jobs_of(car(), eye, display), "CAR-1 EYE-1 DSP-1", "CAR-2 DSP-2", "DSP-3 EYE-2")


def shared(ohms: float) -> Job:
    """A radio and a heated seat that come back by one poor strap."""
    strap = plain("STR", ("", ""), state="on the car", internals=(Resistor(a="A-1", b="A-2", ohms=ohms),))
    job = jobs_of(car(), box("RAD", 0.2), box("SEA", 2.0), strap)
    return joined(job, "CAR-1 RAD-1 SEA-1", "RAD-2 SEA-2 STR-1", "STR-2 CAR-2")


def by_wires(feed: str, back: str) -> Job:
    """A part of 3 A on two wires of a metre."""
    job = jobs_of(car(), box("AMP", 3.0))
    job = ed.join_by_wire(job, "CAR.A-1", "AMP.A-1", gauge=feed, length_mm=1000)
    return ed.join_by_wire(job, "CAR.A-2", "AMP.A-2", gauge=back, length_mm=1000)


def shielded(second: bool) -> Job:
    """A sound lead whose shield is on the ground of both parts, which have two points or one."""
    ends = [
        plain(
            tag,
            ("accessory", "ground", "shield"),
            internals=(Load(plus="A-1", minus="A-2", amps=amps), Shield(a="A-3", touches="A-2")),
        )
        for tag, amps in (("REC", 0.5), ("AMP", 2.0))
    ]
    job = joined(jobs_of(car(), *ends), "CAR-1 REC-1 AMP-1", "REC-3 AMP-3")
    if not second:
        return joined(job, "CAR-2 REC-2 AMP-2")
    return joined(ed.add_part(job, point("GND")), "CAR-2 REC-2", "GND-1 AMP-2")


def shielded_cable() -> Job:
    """The screen of a cable from one ground point to another."""
    job = jobs_of(car(), box("AMP", 2.0), point("GND"), point("GNR"))
    job = joined(job, "CAR-1 AMP-1", "CAR-2 AMP-2")
    job = ed.add_cable(job, [Conductor(shield=True)], length_mm=2000)
    return ed.join(ed.join(job, "C1.1:a", "GND.A-1"), "C1.1:b", "GNR.A-1")


def past_the_cut_off(past: bool) -> Job:
    """A cut-off in the feed of everything, and a lead that goes past it or does not."""
    contact = SwitchContact(a="A-1", b="A-2", closed=ALWAYS.changed(unless="cut-off"))
    cut = plain("CUT", ("switch-a", "switch-b"), internals=(contact,))
    loop = plain("LOP", ("", ""), internals=(Link(a="A-1", b="A-2"),))
    quiet = plain("BOX", ("constant", "ground"), internals=(Load(plus="A-1", minus="A-2", amps=0.001),))
    job = ed.set_settings(
        jobs_of(car("constant", "ground"), quiet, cut, loop), switches=(OwnSwitch(name="cut-off"),)
    )
    job = joined(job, "CAR-1 CUT-1 LOP-1", "CUT-2 BOX-1", "CAR-2 BOX-2")
    return joined(job, "LOP-2 BOX-1") if past else ed.cap(job, ["LOP.A-2"])


def bolted_case(touches: bool) -> Job:
    """A radio with its minus on the car's negative feed, and a metal case."""
    inside = (Load(plus="A-2", minus="A-1", amps=1.0), Case(a="A-1", touches_body=touches))
    box_ = plain("BOX", ("ground", "accessory"), internals=inside)
    job = ed.set_settings(jobs_of(car(), box_), ground="positive")
    return joined(job, "CAR-1 BOX-1", "CAR-2 BOX-2")


def on_the_brake_switch() -> Job:
    brake = plain("PBT", ("parking-brake",), state="on the car")
    job = jobs_of(car(), box("BOX", 0.1), brake)
    return joined(job, "CAR-1 BOX-1", "PBT-1 BOX-2")


LIGHTS = '"ground" that is a lamp wire or a low-volt lead'
GROUND_CASES: tuple[Bad, ...] = (
    Bad(
        "ground on the dash lamps' wire",
        LIGHTS,
        on_the_lights,
        "REC.A-2",
        "REC-2, the ground of REC, would rise to 14.2 V",
    ),
    Bad(
        "ground on the parking-brake switch",
        LIGHTS,
        on_the_brake_switch,
        "BOX.A-2",
        "only while a switch of the car is closed",
    ),
    Bad(
        "camera returned through a picture's ground",
        "no return",
        through_a_signal_ground,
        "EYE.A-2",
        "EYE-2 reaches no ground",
    ),
    Bad(
        "one strap for a radio and a heated seat",
        "ground shared so that offset exceeds its limit",
        lambda: shared(0.2),
        "RAD.A-2",
        "The ground of RAD would be lifted by 0.5",
        level="look",
    ),
    Bad(
        "thin ground wire",
        "return thinner than its feed",
        lambda: by_wires("2.5 mm2", "1 mm2"),
        "W2",
        "W2, of 1 mm2, would bring back the 3 A of AMP that are fed by 2.5 mm2",
        level="look",
    ),
    Bad(
        "shield on ground at both ends",
        "shield joins two ground points",
        lambda: shielded(second=True),
        "REC.A-3",
        "joins two grounds",
        level="look",
    ),
    Bad(
        "screen of a cable between two points",
        "shield joins two ground points",
        shielded_cable,
        "J4",
        "The shield C1.1 joins two grounds",
        level="look",
    ),
    Bad(
        "a lead past the cut-off",
        "cut-off switch bypassed",
        lambda: past_the_cut_off(past=True),
        "CUT.A-1",
        "CUT would be open and yet its two sides be joined",
    ),
    Bad(
        "a case bolted down in a positive-ground car",
        "case on the wrong pole of a positive-ground car",
        lambda: bolted_case(touches=True),
        "BOX.A-1",
        "The case of BOX is on the body",
    ),
)

GOOD_GROUNDS = {
    "one good strap for a radio and a heated seat": shared(0.005),
    "a return as thick as its feed": by_wires("2.5 mm2", "2.5 mm2"),
    "a shield between parts of one ground point": shielded(second=False),
    "a cut-off that nothing goes past": past_the_cut_off(past=False),
    "a case kept off the body of a positive-ground car": bolted_case(touches=False),
}
