"""Small jobs for the rules, and what builds them. Parts are those of the shipped library."""

from __future__ import annotations

from collections.abc import Iterable
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
    return joined(simple_parts(), "CAR-1 BOX-1", "CAR-2 BOX-2", "CAR-3 BOX-3")


def simple_parts() -> Job:
    car = plain("CAR", ("constant", "accessory", "ground"), state="on the car", colours="RD YE BK")
    box = plain("BOX", ("constant", "accessory", "ground"), colours="RD YE BK")
    return jobs_of(car, box)


PLUG = Face(grid=(("1", "2", "3"),), gender="male")


def mated_plug(cavity: dict[str, object], face: Face = PLUG) -> Job:
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
    return mated_plug({})


def two_wires_in_one_cavity() -> Job:
    bare = Part(
        id="BOX",
        name="Box",
        connectors=(
            Connector(name="A", face=PLUG, cavities=(Cavity(pin="1", function="constant"), Cavity(pin="2"))),
        ),
    )
    car = plain("CAR", ("constant", "constant"), state="on the car")
    job = ed.join_by_wire(jobs_of(bare, car), "BOX.A-1", "CAR.A-1")
    job = ed.add_wire(job, colour="RD")
    return ed.join(ed.crimp(job, "W2:a", "BOX.A-1"), "W2:b", "CAR.A-2")


def needed_turn_on(finish: bool) -> Job:
    on = Cavity(pin="1", function="amplifier-turn-on", needed=True)
    job = ed.add_part(simple(), plain("TUN", (on,)))
    return ed.cap(job, ["TUN.A-1"]) if finish else job


def same_colours() -> Job:
    car = plain("CAR", ("constant", "ground"), state="on the car", colours="BK BK")
    box = plain("BOX", ("constant", "ground"), colours="BK BK")
    return jobs_of(car, box)


def other_good_jobs() -> dict[str, Job]:
    """Correct jobs that come near to a mistake, by what they are near to."""
    wide = VoltWindow(least=5.0, most=30.0)
    diode = joined(add(simple_parts(), "Isolation diode, 3 A"), "CAR-2 BOX-2", "CAR-3 BOX-3")
    tolerant = Cavity(pin="1", function="camera-feed", accepts=wide)
    needed = needed_turn_on(finish=False)
    amplifier = plain("AMP", (Cavity(pin="1", function="amplifier-turn-on", flow="takes"),))
    return {
        "a mated plug": plug_job(),
        "a feed isolated by a diode": joined(diode, "CAR-1 DIO-1", "DIO-2 BOX-1"),
        "a camera for 12 V": joined(
            ed.add_part(simple(), plain("EYE", (tolerant, "camera-return"))), "CAR-2 EYE-1", "CAR-3 EYE-2"
        ),
        "a turn-on that is taken": joined(ed.add_part(needed, amplifier), "TUN-1 AMP-1"),
        "a colour found as on the sheet": ed.set_cavity(radio(), "RADC.A-1", colour_found="BK"),
        "same colours, joined each to its own": joined(same_colours(), "CAR-1 BOX-1", "CAR-2 BOX-2"),
        "one wire in a cavity": capped(ed.remove_wires(two_wires_in_one_cavity(), ["W2"])),
        "an airbag cavity nobody touches": ed.set_cavity(
            ed.set_cavity(radio(), "RADC.A-14", airbag=True), "RADC.A-15", airbag=True
        ),
    }


def good_jobs() -> dict[str, Job]:
    """Correct jobs: nothing may be said of them."""
    return {"radio": radio(), "camera": camera(), "loose leads": simple()} | other_good_jobs()


ALWAYS = LiveIn(keys=("off", "accessory", "run", "start", "running"))
