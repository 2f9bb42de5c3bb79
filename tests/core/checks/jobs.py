"""Small jobs for the rules: good ones, and one mistake at a time. Parts are those of the shipped library."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache

from core import edits as ed
from core.checks.finding import CheckResult, Conflict
from core.checks.runner import check
from core.job.document import Job
from core.job.faces import Face, mate_of
from core.job.internals import Internal, LiveIn, VoltWindow
from core.job.parts import Cavity, Connector, Lead, Part, PartState
from core.library.library import Library
from core.library.loader import load_library
from core.paths import shared_folder

STEP_DOWN = "Step-down 12 to 6 V"
GROUND_POINT = "Body ground point"


@cache
def library() -> Library:
    """The shipped library alone, whatever the user's own folder holds."""
    return load_library([shared_folder()])


def checked(job: Job, *, final: bool = False) -> CheckResult:
    return check(job, library(), final=final)


def said(result: CheckResult, rule: str) -> list[Conflict]:
    """The conflicts of one rule that stand for themselves."""
    return [c for c in result.unfolded() if c.rule == rule]


def add(job: Job, name: str) -> Job:
    """The job with a part of the library, and with the plug of ours that meets it."""
    entry = library().parts[name]
    return ed.add_mated(job, entry.part, entry.mate) if entry.mate else ed.add_part(job, entry.part)


def by_function(job: Job, tag: str) -> dict[str, str]:
    """The terminals of a part by what they are for; the last where there are several."""
    return {cavity.function: ref for ref, cavity in job.parts[tag].cavities.items() if cavity.function}


def join_alike(job: Job, one: str, other: str) -> Job:
    """Join the leads of two parts that are for the same."""
    mine, theirs = by_function(job, one), by_function(job, other)
    for function in sorted(theirs.keys() & mine.keys()):
        job = ed.join(job, mine[function], theirs[function])
    return job


def capped(job: Job) -> Job:
    """Everything that is open, capped."""
    return ed.cap(job, ed.open_ends(job))


def plain(
    tag: str,
    functions: Iterable[str | Cavity],
    *,
    state: PartState = "to fit",
    internals: tuple[Internal, ...] = (),
    colours: str = "",
) -> Part:
    """A part with loose leads, one for each function, pins counted from 1."""
    shades = colours.split() or [None]
    cavities = []
    for number, what in enumerate(functions, start=1):
        cavity = what if isinstance(what, Cavity) else Cavity(pin="1", function=what)
        lead = Lead(colour=shades[(number - 1) % len(shades)])
        cavities.append(cavity.changed(pin=str(number), lead=lead))
    loose = Connector(name="A", cavities=tuple(cavities))
    return Part(id=tag, name=tag, state=state, connectors=(loose,), internals=internals)


def off(job: Job, *terminals: str) -> Job:
    """The job with the joints of some terminals taken apart."""
    for terminal in terminals:
        job = ed.remove_joint(job, job.lookup.joint_of[terminal])
    return job


def jobs_of(*parts: Part) -> Job:
    job = Job()
    for part in parts:
        job = ed.add_part(job, part)
    return job


def joined(job: Job, *groups: str) -> Job:
    """Joints from groups of terminals: `"CAR-1 REC-2 STW-1"`."""
    for group in groups:
        first, *rest = (job.terminal_from(text) or text for text in group.split())
        for other in rest:
            job = ed.join(job, first, other)
    return job


# -- good jobs -------------------------------------------------------------------------------------


@cache
def radio() -> Job:
    """A receiver on the car's radio plug, everything decided."""
    job = add(add(Job(), "Radio plug, 18-way"), "Receiver, 12-way lead set")
    return capped(join_alike(job, "RAD", "REC"))


@cache
def camera() -> Job:
    """The same with the car's 6 V camera behind a step-down, its picture on a coaxial lead."""
    job = add(add(add(radio(), "Camera plug, 6 V, 8-way"), "Video in, coaxial"), STEP_DOWN)
    job = ed.clear_finish(job, ["RAD.A-18"])
    job = joined(job, "CAM-5 VID-1", "CAM-6 VID-2 CAM-7")
    job = joined(job, "RAD-18 SDN-1", "SDN-3 CAM-1", "SDN-2 RAD-1", "CAM-3 RAD-1")
    return capped(job)


@cache
def simple() -> Job:
    """Two feeds and a ground of the car as loose leads, and a part that takes them."""
    return joined(_simple_parts(), "CAR-1 BOX-1", "CAR-2 BOX-2", "CAR-3 BOX-3")


def _simple_parts() -> Job:
    car = plain("CAR", ("constant", "accessory", "ground"), state="on the car", colours="RD YE BK")
    box = plain("BOX", ("constant", "accessory", "ground"), colours="RD YE BK")
    return jobs_of(car, box)


# -- a mistake at a time ---------------------------------------------------------------------------


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


_PLUG = Face(grid=(("1", "2", "3"),), gender="male")


def _mated(cavity: dict[str, object], face: Face = _PLUG) -> Job:
    """A plug of the car whose pin 1 is as said, mated, feeding a part."""
    pins = [
        Cavity(pin="1", function="constant"),
        Cavity(pin="2", function="ground"),
        Cavity(pin="3", filled=False),
    ]
    if "1" not in face.blocked:
        pins[0] = pins[0].changed(**cavity)
    car = Part(
        id="PLGC",
        name="Plug",
        state="on the car",
        connectors=(Connector(name="A", face=face, cavities=tuple(pins)),),
    )
    ours = Part(
        id="PLG",
        name="Plug",
        kind="pigtail",
        connectors=(
            Connector(
                name="A",
                face=mate_of(face, "female"),
                cavities=tuple(
                    Cavity(pin=p.pin, function=p.function, filled=p.filled, lead=Lead() if p.filled else None)
                    for p in pins
                ),
            ),
        ),
    )
    job = ed.add_mated(Job(), car, ours)
    return joined(ed.add_part(job, plain("BOX", ("constant", "ground"))), "PLG-1 BOX-1", "PLG-2 BOX-2")


def plug_job() -> Job:
    """A plug of the car, mated, with a part on it."""
    return _mated({})


def _without_step_down() -> Job:
    job = ed.remove_parts(camera(), ["SDN"])
    return joined(job, "RAD-18 CAM-1")


def _in_wire(job: Job, a: str, b: str) -> Job:
    return ed.join_by_wire(job, job.terminal_from(a) or a, job.terminal_from(b) or b)


def _through_fuse() -> Job:
    job = add(_without_step_down(), "Fuse holder, in-line, 2 A")
    job = ed.unjoin(job, "CAM.A-1")
    return joined(job, "RAD-18 FUS-1", "FUS-2 CAM-1")


def _through_relay() -> Job:
    job = add(add(_without_step_down(), "Relay, 4 terminals"), "Fuse-box tap, constant")
    job = ed.unjoin(job, "CAM.A-1")
    return joined(job, "RAD-18 RLY-86", "RLY-85 RAD-1", "BFT-1 RLY-30", "RLY-87 CAM-1")


def _two_wires_in_one_cavity() -> Job:
    bare = Part(
        id="BOX",
        name="Box",
        connectors=(
            Connector(name="A", face=_PLUG, cavities=(Cavity(pin="1", function="constant"), Cavity(pin="2"))),
        ),
    )
    car = plain("CAR", ("constant", "constant"), state="on the car")
    job = _in_wire(jobs_of(bare, car), "BOX-1", "CAR-1")
    job = ed.add_wire(job, colour="RD")
    return ed.join(ed.crimp(job, "W2:a", "BOX.A-1"), "W2:b", "CAR.A-2")


def _needed_turn_on(finish: bool) -> Job:
    on = Cavity(pin="1", function="amplifier-turn-on", needed=True)
    job = ed.add_part(simple(), plain("TUN", (on,)))
    return ed.cap(job, ["TUN.A-1"]) if finish else job


def _same_colours() -> Job:
    car = plain("CAR", ("constant", "ground"), state="on the car", colours="BK BK")
    box = plain("BOX", ("constant", "ground"), colours="BK BK")
    return jobs_of(car, box)


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
        "constant of a receiver on the accessory",
        "load dead where it is needed",
        lambda: ed.swap_pins(radio(), "REC.A-1", "REC.A-3"),
        "REC.A-1",
        "REC-1 (constant) would get no feed in off and start",
        others=1,
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
        "CAM-1 would see 14.2 V in running+lights+reverse",
    ),
    Bad(
        "6 V camera on 12 V through a relay",
        "more volts than the part accepts",
        _through_relay,
        "CAM.A-1",
        "CAM-1 would see 14.2 V in running+lights+reverse",
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
        lambda: _needed_turn_on(finish=True),
        "TUN.A-1",
        "TUN-1 (amplifier turn-on) is needed",
    ),
    Bad(
        "two loose leads of one colour",
        "same colour, different job",
        lambda: ed.set_parts(ed.set_part(_same_colours(), "CAR", done=True), ["BOX"], done=True),
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
        lambda: _mated({"found": "empty"}),
        "PLG.A-1",
        "PLG-1 (constant) is joined, but meets PLGC-1, which is empty",
    ),
    Bad(
        "the place is blocked in the car's plug",
        "lead whose mate is empty or blocked",
        lambda: _mated({}, _PLUG.changed(blocked=("1",))),
        "PLG.A-1",
        "which is blocked",
    ),
    Bad(
        "two wires in one cavity",
        "two conductors in one cavity",
        _two_wires_in_one_cavity,
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
        lambda: _mated({"airbag": True}),
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


def other_good_jobs() -> dict[str, Job]:
    """Correct jobs that come near to a mistake, by what they are near to."""
    wide = VoltWindow(least=5.0, most=30.0)
    diode = joined(add(_simple_parts(), "Isolation diode, 3 A"), "CAR-2 BOX-2", "CAR-3 BOX-3")
    tolerant = Cavity(pin="1", function="camera-feed", accepts=wide)
    needed = _needed_turn_on(finish=False)
    amplifier = plain("AMP", (Cavity(pin="1", function="amplifier-turn-on", flow="takes"),))
    return {
        "a mated plug": plug_job(),
        "a feed isolated by a diode": joined(diode, "CAR-1 DIO-1", "DIO-2 BOX-1"),
        "a camera for 12 V": joined(
            ed.add_part(simple(), plain("EYE", (tolerant, "camera-return"))), "CAR-2 EYE-1", "CAR-3 EYE-2"
        ),
        "a turn-on that is taken": joined(ed.add_part(needed, amplifier), "TUN-1 AMP-1"),
        "a colour found as on the sheet": ed.set_cavity(radio(), "RADC.A-1", colour_found="BK"),
        "same colours, joined each to its own": joined(_same_colours(), "CAR-1 BOX-1", "CAR-2 BOX-2"),
        "one wire in a cavity": capped(ed.remove_wires(_two_wires_in_one_cavity(), ["W2"])),
        "an airbag cavity nobody touches": ed.set_cavity(
            ed.set_cavity(radio(), "RADC.A-14", airbag=True), "RADC.A-15", airbag=True
        ),
    }


def good_jobs() -> dict[str, Job]:
    """Correct jobs: nothing may be said of them."""
    return {"radio": radio(), "camera": camera(), "loose leads": simple()} | other_good_jobs()


ALWAYS = LiveIn(keys=("off", "accessory", "run", "start", "running"))
