"""Jobs for the drawing's tests: an invented van, a reading lamp, an empty one, and random ones."""

from __future__ import annotations

import random

from core.checks.finding import CheckResult, Conflict, NotRun
from core.job.document import Job
from core.job.faces import Face, mate_of, numbered_grid
from core.job.parts import Cavity, Connector, Lead, Part
from core.job.record import Acceptance, JobSheet, Note, Settings
from core.job.wiring import Cable, Conductor, Finish, Joint, Mate, Wire
from core.library.library import Library
from core.library.model import Function, FunctionClass

_CLASSES: dict[str, tuple[str, FunctionClass]] = {
    "constant": ("constant", "feed"),
    "accessory": ("accessory", "feed"),
    "illumination": ("illumination", "feed"),
    "reverse": ("reverse", "feed"),
    "ground": ("ground", "ground"),
    "signal-ground": ("signal ground", "signal ground"),
    "steering-1": ("steering 1", "steering"),
    "steering-2": ("steering 2", "steering"),
    "video": ("video", "video"),
    "camera-feed": ("camera feed", "feed"),
    "amplifier-turn-on": ("amplifier turn-on", "output"),
    "fuse-a": ("fuse a", "none"),
    "fuse-b": ("fuse b", "none"),
    **{
        f"speaker-{where}{sign}": (f"{words} {sign.replace('-', '−')}", "speaker")
        for where, words in (
            ("lf", "left front"),
            ("rf", "right front"),
            ("lr", "left rear"),
            ("rr", "right rear"),
        )
        for sign in "+-"
    },
}
LIBRARY = Library(
    functions={
        name: Function(name, words, cls, "either", "either", (), None, False, "none", "", "", "test")
        for name, (words, cls) in _CLASSES.items()
    }
)
"""A library of its own, so that these tests do not move when the shipped tables do."""

_SPEAKERS = [f"speaker-{where}{sign}" for where in ("lf", "rf", "lr", "rr") for sign in "+-"]
_SPEAKER_COLOURS = ["WH", "WH/BK", "GY", "GY/BK", "GN", "GN/BK", "VT", "VT/BK"]
_RADIO = ["ground", "constant", "", "accessory", "illumination", "", *_SPEAKERS, "steering-1", "steering-2"]
_RADIO += ["signal-ground", "amplifier-turn-on"]
_COLOURS = ["BK", "YE", "", "RD", "OG/WH", "", *_SPEAKER_COLOURS, "GY/BK", "BN", "BU", "BU/WH"]
_ON_CAR = ["BN", "YE/BN", "", "VT", "GN/WH", "", "TQ", "BU", "LBU", "LBU/BK", "DGN", "DGN/WH", "PK", "PK/BK"]
_ON_CAR += ["BU/BK", "GY/BK", "BU/BN", "LGN/DBU"]


def lead(colour: str, gauge: str = "0.75 mm2", length_mm: float = 350) -> Lead:
    return Lead(colour=colour or None, gauge=gauge, length_mm=length_mm, trimmed_mm=length_mm * 0.6)


def radio_plug() -> tuple[Part, Part]:
    """Our plug with leads, and the car's half."""
    grid = numbered_grid(2, 9)
    face = Face(grid=grid, blocked=("3",), latch="top", gender="female")
    cavities = tuple(
        Cavity(pin=str(n), function=f, lead=lead(c)) if f else Cavity(pin=str(n), filled=False)
        for n, (f, c) in enumerate(zip(_RADIO, _COLOURS, strict=True), start=1)
    )
    ours = Part(id="RAD", name="Radio plug", connectors=(Connector(name="A", face=face, cavities=cavities),))
    theirs = tuple(
        Cavity(
            pin=str(n),
            function=f,
            colour_sheet=c or None,
            colour_found="TQ" if n == 16 else None,
            filled=bool(f),
        )
        for n, (f, c) in enumerate(zip(_RADIO, _ON_CAR, strict=True), start=1)
    )
    car = Part(
        id="RADC",
        name="Radio plug of the car",
        state="on the car",
        connectors=(Connector(name="A", face=mate_of(face, "male"), cavities=theirs),),
    )
    return ours, car


def receiver() -> Part:
    power = ["ground", "constant", "accessory", "illumination", "reverse", "amplifier-turn-on", "steering-1"]
    power += ["steering-2", "signal-ground"]
    colours = ["BK", "YE", "RD", "OG/WH", "VT/WH", "BU/WH", "BN", "BN/WH", "BK/WH"]
    grid = numbered_grid(2, 5)
    first = tuple(
        Cavity(pin=str(n), function=f, lead=lead(c), needed=n < 4)
        for n, (f, c) in enumerate(zip(power, colours, strict=True), start=1)
    )
    second = tuple(
        Cavity(pin=str(n), function=f, lead=lead(c, "18 AWG"))
        for n, (f, c) in enumerate(zip(_SPEAKERS, _SPEAKER_COLOURS, strict=True), start=1)
    )
    return Part(
        id="REC",
        name="Receiver",
        maker="Invented Audio",
        type="R-1",
        serial="0042",
        connectors=(
            Connector(name="P", title="Power", face=Face(grid=grid, latch="left"), cavities=first),
            Connector(name="S", title="Speakers", face=Face(grid=numbered_grid(2, 4)), cavities=second),
        ),
    )


def van() -> tuple[Job, CheckResult]:
    """A realistic job: forty-odd leads, two fuse holders, a cable, caps, pulled and undecided leads."""
    ours, car = radio_plug()
    rec = receiver()
    fuse = Part(
        id="FUS",
        name="Fuse holder, in-line",
        connectors=(
            Connector(
                name="A",
                cavities=(
                    Cavity(pin="1", function="fuse-a", lead=lead("RD", "1.5 mm2", 150)),
                    Cavity(pin="2", function="fuse-b", lead=lead("RD", "1.5 mm2", 150)),
                ),
            ),
        ),
    )
    camera = Part(
        id="CAM",
        name="Camera plug",
        state="on the car",
        connectors=(
            Connector(
                name="A",
                face=Face(grid=numbered_grid(2, 4), latch="bottom"),
                cavities=(
                    Cavity(pin="1", function="camera-feed", lead=lead("RD", "0.5 mm2")),
                    Cavity(pin="2", function="ground", lead=lead("BK", "0.5 mm2")),
                    Cavity(pin="5", function="video", lead=lead("YE", "0.5 mm2")),
                    Cavity(pin="6", function="signal-ground", lead=lead("GY", "0.5 mm2")),
                    Cavity(pin="8", label="SRS", colour_sheet="YE", airbag=True),
                ),
            ),
        ),
    )
    pairs = [
        ("J1", ["RAD.A-2", "FUS.A-1"]),
        ("J2", ["RAD.A-1", "REC.P-1", "CAM.A-2"]),
        ("J3", ["RAD.A-4", "REC.P-3", "W1:a"]),
        ("J4", ["FUS.A-2", "REC.P-2"]),
        ("J5", ["RAD.A-15", "REC.P-7"]),
        ("J6", ["RAD.A-16", "REC.P-8"]),
        ("J7", ["RAD.A-17", "REC.P-9"]),
        *((f"J{8 + n}", [f"RAD.A-{7 + n}", f"REC.S-{1 + n}"]) for n in range(8)),
        ("J16", ["W1:b", "CAM.A-1"]),
        ("J17", ["C1.1:b", "CAM.A-5"]),
        ("J18", ["C1.2:b", "CAM.A-6"]),
        ("J19", ["C1.1:a", "REC.P-5"]),
    ]
    job = Job(
        sheet=JobSheet(
            shop="Tern Street Workshop",
            number="1042",
            title="Compact van: receiver, camera, steering controls",
            vehicle="Compact van, right-hand drive, radio with an 18-way plug",
            equipment="Receiver R-1, camera on the tailgate",
            technician="M. Tern",
            date="2026-11-24",
            revision="B",
        ),
        parts={part.id: part for part in (ours, car, rec, fuse, camera)},
        mates={"M1": Mate(id="M1", a="RAD.A", b="RADC.A")},
        wires={"W1": Wire(id="W1", colour="RD", gauge="1 mm2", length_mm=900, note="along the left sill")},
        cables={
            "C1": Cable(
                id="C1",
                name="video cable",
                length_mm=4500,
                conductors=(
                    Conductor(colour="YE", gauge="0.22 mm2"),
                    Conductor(colour="CL", gauge="0.22 mm2", shield=True),
                ),
            )
        },
        joints={
            name: Joint(id=name, ends=tuple(ends), method="crimp" if name == "J16" else "solder")
            for name, ends in pairs
        },
        finishes={
            "RAD.A-5": Finish(kind="capped"),
            "REC.P-4": Finish(kind="pulled"),
            "REC.P-6": Finish(kind="left", reason="for an amplifier to come"),
        },
        notes={"N1": Note(id="N1", text="Joints J1 to J3 stay where a hand can reach them.")},
    )
    accepted = Acceptance(
        rule="colour found differs",
        where=("RADC.A-16",),
        reason="Measured: it is steering 2.",
        name="M. Tern",
        date="2026-11-23",
    )
    conflicts = (
        Conflict(
            "colour found differs",
            "look",
            "RADC-16: the sheet says GY/BK, found TQ.",
            "The pin governs.",
            "Confirm with the meter.",
            ("RADC.A-16",),
            accepted=accepted,
        ),
        Conflict(
            "more volts than accepted",
            "stop",
            "CAM-1 would see 12.4 V in run + reverse; it accepts 5.5 to 6.5 V.",
            "Fed from accessory through J3.",
            "Put a 12 to 6 V step-down before it.",
            ("CAM.A-1",),
            ("W1",),
        ),
    )
    not_run = (NotRun("drain while parked", "switched off for this job"),)
    return job, CheckResult(job, conflicts, ("RAD.A-18", "C1.2:a"), not_run, ("run",))


def two_parts() -> tuple[Job, CheckResult]:
    """A lamp on a feed: the least that is a job."""

    def pair(tag: str, name: str, *functions: str) -> Part:
        cavities = tuple(
            Cavity(pin=str(n), function=f, lead=lead("RD" if f == "accessory" else "BK"))
            for n, f in enumerate(functions, start=1)
        )
        face = Face(grid=(("1", "2"),))
        return Part(id=tag, name=name, connectors=(Connector(name="A", face=face, cavities=cavities),))

    job = Job(
        sheet=JobSheet(shop="Tern Street Workshop", number="7", title="Reading lamp"),
        parts={
            "SRC": pair("SRC", "Accessory tap", "accessory", "ground"),
            "LMP": pair("LMP", "Reading lamp", "accessory", "ground"),
        },
        joints={
            "J1": Joint(id="J1", ends=("SRC.A-1", "LMP.A-1")),
            "J2": Joint(id="J2", ends=("SRC.A-2", "LMP.A-2")),
        },
    )
    return job, CheckResult(job, (), (), (), ("run",))


def empty() -> tuple[Job, CheckResult]:
    job = Job()
    return job, CheckResult(job, (), (), (), ())


_STRANGE = "Ωé²→ \u200f\u05d0\u05d1 漢字 🚐 \x07\t <b>&amp;</b> =1+1 "
_CODES = ["BK", "WH", "RD/WH", "LBN/DGN", "YE/BN/BU", "CL", "DBU", "PK"]


def random_job(seed: int, parts: int = 6) -> tuple[Job, CheckResult]:
    """A job without sense, with everything that a job may hold; the same seed gives the same job."""
    dice = random.Random(seed)

    def text(most: int) -> str:
        alphabet = "abcdefgh ijklmnop qrstuvwxyz WM" + _STRANGE
        return "".join(dice.choice(alphabet) for _ in range(dice.randrange(most)))

    def colour() -> str | None:
        return dice.choice([None, *_CODES])

    def gauge() -> str | None:
        return dice.choice([None, "0.35 mm2", "18 AWG", "0000 AWG", "2.5 mm2"])

    made: dict[str, Part] = {}
    for number in range(parts):
        connectors = []
        for name in ("A", "B")[: dice.randrange(1, 3)]:
            rows, columns = dice.choice([(1, 1), (2, 3), (2, 9), (4, 6), (1, 30), (12, 2)])
            face = None
            pins = [str(n) for n in range(1, rows * columns + 1)]
            if dice.random() < 0.75:
                grid = numbered_grid(rows, columns, dice.choice(["by rows", "by pairs"]))
                latch = dice.choice(["top", "bottom", "left", "right", "none"])
                face = Face(grid=grid, latch=latch, blocked=tuple(p for p in pins if dice.random() < 0.1))
            cavities = tuple(
                Cavity(
                    pin=pin,
                    function=dice.choice(["", *_CLASSES]),
                    label=text(60) if dice.random() < 0.2 else "",
                    note=text(300) if dice.random() < 0.05 else "",
                    filled=dice.random() < 0.8,
                    airbag=dice.random() < 0.03,
                    colour_sheet=colour(),
                    colour_found=colour(),
                    lead=Lead(colour=colour(), gauge=gauge(), length_mm=dice.choice([None, 120.0]))
                    if dice.random() < 0.7
                    else None,
                )
                for pin in pins
                if dice.random() < 0.9
            )
            connectors.append(Connector(name=name, title=text(40), face=face, cavities=cavities))
        tag = f"P{chr(65 + number % 26)}{number}"
        made[tag] = Part(
            id=tag,
            name=text(80),
            state=dice.choice(["on the car", "to fit", "donor", "removed"]),
            maker=text(30),
            note=text(200) if dice.random() < 0.3 else "",
            connectors=tuple(connectors),
        )
    terminals = [name for part in made.values() for name in part.cavities]
    dice.shuffle(terminals)
    wires: dict[str, Wire] = {}
    for number in range(1, parts * 2):
        place = terminals.pop() if terminals and dice.random() < 0.5 else None
        wires[f"W{number}"] = Wire(
            id=f"W{number}", colour=colour(), gauge=gauge(), length_mm=700, a_in=place, note=text(60)
        )
    cables = {
        "C1": Cable(id="C1", name=text(40), conductors=tuple(Conductor(colour=colour()) for _ in range(3)))
    }
    free = [f"{name}:b" for name in wires] + [f"C1.{n}:{letter}" for n in (1, 2, 3) for letter in "ab"]
    free += [f"{name}:a" for name, wire in wires.items() if wire.a_in is None] + terminals
    dice.shuffle(free)
    joints: dict[str, Joint] = {}
    for number in range(1, parts * 4):
        count = dice.choice([2, 2, 2, 3, 4, 15])
        if len(free) < count + 5:
            break
        ends = tuple(free.pop() for _ in range(count))
        joints[f"J{number}"] = Joint(id=f"J{number}", ends=ends, note=text(80), temporary_for=text(8))
    finishes = {
        end: Finish(kind=dice.choice(["capped", "pulled"]))
        if dice.random() < 0.7
        else Finish(kind="left", reason="why not " + text(60))
        for end in free[::2]
    }
    mates: dict[str, Mate] = {}
    faced = [f"{tag}.{c.name}" for tag, part in made.items() for c in part.connectors if c.face]
    for number, (a, b) in enumerate(zip(faced[::3], faced[1::3], strict=False), start=1):
        mates[f"M{number}"] = Mate(id=f"M{number}", a=a, b=b)
    job = Job(
        sheet=JobSheet(
            shop=text(120), number=text(90), title=text(190), vehicle=text(900), technician=text(100)
        ),
        settings=Settings(lengths=dice.choice(["mm", "inch"]), gauges=dice.choice(["mm2", "AWG"])),
        parts=made,
        mates=mates,
        wires=wires,
        cables=cables,
        joints=joints,
        finishes=finishes,
        notes={"N1": Note(id="N1", text=text(400))},
    )
    conflicts = tuple(
        Conflict(
            f"rule {n}",
            dice.choice(["stop", "look", "note"]),
            text(200),
            text(100),
            text(100),
            (name,),
            accepted=Acceptance(rule=f"rule {n}", where=(name,), reason="r" + text(90), name="n" + text(40))
            if n % 2
            else None,
        )
        for n, name in enumerate(list(joints)[:5])
    )
    not_run = tuple(NotRun(f"rule off {n}", text(80)) for n in range(dice.randrange(3)))
    return job, CheckResult(job, conflicts, tuple(sorted(free[1::2])), not_run, ("run",))
