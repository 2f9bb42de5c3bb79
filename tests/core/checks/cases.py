"""One mistake at a time, for every rule: where it is, and what must be said of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from core import edits as ed
from core.job.document import Job
from tests.core.checks.jobs import (
    PLUG,
    add,
    camera,
    joined,
    mated_plug,
    needed_turn_on,
    off,
    plain,
    plug_job,
    radio,
    same_colours,
    simple,
    two_wires_in_one_cavity,
)


@dataclass(frozen=True)
class Bad:
    """A job with one mistake. `place` must be among the worst points; `says` must be in the message."""

    name: str
    rule: str
    make: Callable[[], Job]
    place: str
    says: str = ""
    level: str = "stop"
    final: bool = False
    others: int = 0


def _without_step_down() -> Job:
    job = ed.remove_parts(camera(), ["SDN"])
    return joined(job, "RAD-18 CAM-1")


def _through_fuse() -> Job:
    job = add(_without_step_down(), "Fuse holder, in-line, 2 A")
    job = ed.unjoin(job, "CAM.A-1")
    return joined(job, "RAD-18 FUS-1", "FUS-2 CAM-1")


def _through_relay() -> Job:
    job = add(add(_without_step_down(), "Relay, 4 terminals"), "Fuse-box tap, constant")
    job = ed.unjoin(job, "CAM.A-1")
    return joined(job, "RAD-18 RLY-86", "RLY-85 RAD-1", "BFT-1 RLY-30", "RLY-87 CAM-1")


CASES: tuple[Bad, ...] = (
    Bad(
        "constant in the ground joint",
        "feed shorted to ground",
        lambda: ed.join(radio(), "RAD.A-2", "RAD.A-1"),
        "RAD.A-2",
        "RAD-2 (constant) would be shorted to ground in every position, at J3",
    ),
    Bad(
        "reverse feed in the ground joint",
        "feed shorted to ground",
        lambda: ed.join(ed.clear_finish(radio(), ["RAD.A-18"]), "RAD.A-18", "RAD.A-1"),
        "RAD.A-18",
        "in run+reverse and running+lights+reverse",
    ),
    Bad(
        "constant to ground through a fuse",
        "feed shorted to ground",
        lambda: joined(add(radio(), "Fuse holder, in-line, 5 A"), "RAD-2 FUS-1", "FUS-2 RAD-1"),
        "RAD.A-2",
    ),
    Bad(
        "output of the step-down grounded",
        "feed shorted to ground",
        lambda: ed.join(camera(), "SDN.A-3", "RAD.A-1"),
        "SDN.A-3",
        "SDN-3 (step-down out)",
    ),
    Bad(
        "constant and accessory in one joint",
        "feeds of different positions joined",
        lambda: ed.join(radio(), "RAD.A-2", "RAD.A-4"),
        "RAD.A-4",
        "RAD-2 (constant) would push 12.6 V into RAD-4 (accessory) in off and start",
    ),
    Bad(
        "step-down's output on the feed",
        "feeds of different positions joined",
        lambda: ed.join(camera(), "SDN.A-3", "RAD.A-2"),
        "SDN.A-3",
        "RAD-2 (constant) would push",
    ),
    Bad(
        "one feed into another through a diode",
        "feeds of different positions joined",
        lambda: joined(add(radio(), "Isolation diode, 3 A"), "RAD-2 DIO-1", "DIO-2 RAD-4"),
        "RAD.A-4",
        "would push 11.9 V into RAD-4",
    ),
    Bad(
        "step-down turned round",
        "step-down backwards",
        lambda: ed.swap_pins(camera(), "SDN.A-1", "SDN.A-3"),
        "SDN.A-3",
        "SDN is the wrong way round",
    ),
    Bad(
        "accessory of a receiver on nothing",
        "load dead where it is needed",
        lambda: ed.cap(off(radio(), "REC.A-3"), ["REC.A-3", "RAD.A-4"]),
        "REC.A-3",
        "REC-3 (accessory) would get no feed",
    ),
    Bad(
        "ground capped",
        "no return",
        lambda: ed.cap(off(radio(), "REC.A-2"), ["REC.A-2", "RAD.A-1"]),
        "REC.A-2",
        "REC-2 reaches no ground: REC would be fed without a return in every position",
    ),
    Bad(
        "camera returned through its shield",
        "no return",
        lambda: ed.replug(camera(), "CAM.A-3", camera().lookup.joint_of["CAM.A-6"]),
        "CAM.A-3",
        "CAM-3 reaches no ground",
    ),
    Bad(
        "two parts grounded on each other only",
        "no return",
        lambda: joined(
            ed.unjoin(ed.add_part(simple(), plain("TWO", ("accessory", "ground"))), "BOX.A-3"),
            "CAR-2 TWO-1",
            "BOX-3 TWO-2",
        ),
        "BOX.A-3",
        "BOX and TWO would be fed without a return",
    ),
    Bad(
        "6 V camera on 12 V",
        "more volts than the part accepts",
        _without_step_down,
        "CAM.A-1",
        "it accepts 5.5 to 6.5 V.",
    ),
    Bad(
        "6 V camera on 12 V through a fuse",
        "more volts than the part accepts",
        _through_fuse,
        "CAM.A-1",
        "CAM-1 would see 14.1 V in running+lights+reverse",
    ),
    Bad(
        "6 V camera on 12 V through a relay",
        "more volts than the part accepts",
        _through_relay,
        "CAM.A-1",
        "CAM-1 would see 14.1 V in running+lights+reverse",
    ),
    Bad(
        "constant and ground exchanged",
        "reversed polarity",
        lambda: ed.swap_pins(radio(), "REC.A-1", "REC.A-2"),
        "REC.A-1",
        "14.2 V the wrong way round",
    ),
    Bad(
        "left front in the ground joint",
        "speaker lead grounded",
        lambda: ed.join(radio(), "RAD.A-8", "RAD.A-1"),
        "RAD.A-8",
        "RAD-8 and REC-6 would be grounded in every position",
    ),
    Bad(
        "left front the wrong way round",
        "plus and minus exchanged",
        lambda: ed.swap_pins(radio(), "REC.A-5", "REC.A-6"),
        "REC.A-5",
        level="look",
    ),
    Bad(
        "plus and minus of a speaker joined",
        "functions that do not belong together",
        lambda: ed.join(radio(), "RAD.A-7", "RAD.A-8"),
        "RAD.A-7",
        "plus and minus of one speaker are joined",
    ),
    Bad(
        "constant on a speaker",
        "functions that do not belong together",
        lambda: ed.join(radio(), "RAD.A-2", "RAD.A-7"),
        "RAD.A-2",
        "a feed on a speaker lead",
    ),
    Bad(
        "steering ground on the body",
        "functions that do not belong together",
        lambda: joined(add(plug_job(), "Wired-remote jack, 3.5 mm"), "WRJ-2 PLG-2"),
        "WRJ.A-2",
        "the buttons read other volts",
        level="look",
    ),
    Bad(
        "turn-on capped",
        "needed output joined to nothing",
        lambda: needed_turn_on(finish=True),
        "TUN.A-1",
        "TUN-1 (amplifier turn-on) is needed",
    ),
    Bad(
        "two loose leads of one colour",
        "same colour, different job",
        lambda: ed.set_parts(ed.set_part(same_colours(), "CAR", done=True), ["BOX"], done=True),
        "BOX.A-1",
        "are both black",
        level="look",
        others=3,
    ),
    Bad(
        "found turquoise",
        "found differs from sheet",
        lambda: ed.set_cavity(radio(), "RADC.A-15", colour_found="TQ"),
        "RADC.A-15",
        "the sheet says grey/black, found turquoise",
        level="look",
    ),
    Bad(
        "no terminal in the car's plug",
        "lead whose mate is empty or blocked",
        lambda: mated_plug({"found": "empty"}),
        "PLG.A-1",
        "PLG-1 (constant) is joined, but meets PLGC-1, which is empty",
    ),
    Bad(
        "the place is blocked in the car's plug",
        "lead whose mate is empty or blocked",
        lambda: mated_plug({}, PLUG.changed(blocked=("1",))),
        "PLG.A-1",
        "which is blocked",
    ),
    Bad(
        "two wires in one cavity",
        "two conductors in one cavity",
        two_wires_in_one_cavity,
        "BOX.A-1",
        "W1 and W2 are crimped into BOX-1",
        level="look",
    ),
    Bad(
        "joined at the car's own plug",
        "cut into the car",
        lambda: joined(ed.unmate(ed.remove_joint(plug_job(), "J1"), "M1"), "PLGC-1 BOX-1", "PLGC-2 PLG-2"),
        "PLGC.A-1",
        level="look",
        others=1,
    ),
    Bad(
        "something on an airbag circuit",
        "airbag circuit touched",
        lambda: mated_plug({"airbag": True}),
        "PLGC.A-1",
    ),
    Bad(
        "constant of the car left bare",
        "lead that is live with no cap",
        lambda: off(radio(), "REC.A-1"),
        "RAD.A-2",
        "RAD-2 (constant) would be live with 14.2 V in every position",
        final=True,
        others=1,
    ),
    Bad(
        "live lead left with a reason",
        "lead that is live with no cap",
        lambda: ed.leave(ed.clear_finish(radio(), ["RAD.A-18"]), ["RAD.A-18"], "for the camera, next week"),
        "RAD.A-18",
        "in run+reverse and running+lights+reverse",
    ),
    Bad(
        "bare speaker lead",
        "lead that is live with no cap",
        lambda: off(radio(), "RAD.A-7"),
        "RAD.A-7",
        "is a speaker lead",
        final=True,
        others=1,
    ),
    Bad(
        "steering lead forgotten",
        "not decided",
        lambda: ed.clear_finish(radio(), ["RAD.A-14"]),
        "RAD.A-14",
        "RAD-14 (steering 1) is not decided.",
        level="look",
        final=True,
    ),
    Bad(
        "a part that is done lacks its feed",
        "not decided",
        lambda: ed.set_part(ed.add_part(simple(), plain("TWO", ("illumination",))), "TWO", done=True),
        "TWO.A-1",
        level="look",
    ),
)
