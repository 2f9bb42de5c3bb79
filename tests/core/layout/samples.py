"""Invented jobs for the tests of the map."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from typing import Literal

from core.job.document import Job
from core.job.faces import Face, Numbering, mate_of, numbered_grid
from core.job.internals import StepDown, VoltWindow
from core.job.parts import Cavity, Connector, Lead, Part, PartState
from core.job.view import Place, View
from core.job.wiring import Joint, Mate, Wire


@dataclass(frozen=True)
class Word:
    words: str


@dataclass(frozen=True)
class FewFunctions:
    """A library with a few functions."""

    functions: dict[str, Word] = field(
        default_factory=lambda: {
            name: Word(words)
            for name, words in (
                ("constant", "constant"),
                ("ground", "ground"),
                ("accessory", "accessory"),
                ("illumination", "illumination"),
                ("speaker-lf+", "left front +"),
                ("speaker-lf-", "left front −"),
                ("speaker-lr+", "left rear +"),
                ("steering-1", "steering 1"),
                ("steering-2", "steering 2"),
                ("steering-ground", "steering ground"),
                ("reverse", "reverse"),
                ("camera-feed", "camera feed"),
                ("camera-return", "camera return"),
                ("video", "video"),
                ("video-ground", "video shield"),
                ("parking-feed", "parking feed"),
            )
        }
    )


LIBRARY = FewFunctions()
Pins = dict[str, tuple[str, str]]


def plug(
    tag: str,
    name: str,
    rows: int,
    columns: int,
    pins: Pins,
    *,
    state: PartState = "to fit",
    leads: bool = True,
    numbering: Numbering = "by rows",
    kind: str = "",
    latch: Literal["top", "bottom", "left", "right", "none"] = "top",
) -> Part:
    """A part with one face; `pins` gives function and colour of its filled cavities."""
    face = Face(grid=numbered_grid(rows, columns, numbering), latch=latch)
    return Part(id=tag, name=name, state=state, kind=kind, connectors=(connector("A", face, pins, leads),))


def connector(name: str, face: Face | None, pins: Pins, leads: bool = True) -> Connector:
    cavities = tuple(
        Cavity(
            pin=pin,
            function=function,
            colour_sheet=None if leads else colour,
            lead=Lead(colour=colour, length_mm=150) if leads else None,
        )
        for pin, (function, colour) in pins.items()
    )
    return Connector(name=name, face=face, cavities=cavities)


def mated(part: Part, tag: str) -> tuple[Part, Mate]:
    """The car's half of `part`'s plug, same numbers, and the mate."""
    mine = part.connectors[0]
    assert mine.face is not None
    cavities = tuple(Cavity(pin=c.pin, function=c.function, colour_sheet="GY/BK") for c in mine.cavities)
    half = Connector(name="A", face=mate_of(mine.face, "none"), cavities=cavities)
    car = Part(id=tag, name=f"{part.name} of the car", state="on the car", connectors=(half,))
    return car, Mate(id="M1", a=f"{part.id}.A", b=f"{tag}.A")


def van() -> Job:
    """A receiver, a camera and steering controls put into a van."""
    radio = plug(
        "RAD",
        "Radio plug",
        9,
        2,
        {
            "1": ("ground", "BK"),
            "2": ("constant", "YE"),
            "4": ("accessory", "RD"),
            "5": ("illumination", "OG/WH"),
            "7": ("speaker-lf+", "WH"),
            "8": ("speaker-lf-", "WH/BK"),
            "9": ("speaker-lr+", "GN"),
            "14": ("steering-1", "GY"),
            "15": ("steering-2", "BN"),
            "17": ("steering-ground", "BU"),
        },
        numbering="by columns",
    )
    camera = plug(
        "CAM",
        "Camera plug",
        4,
        2,
        {
            "1": ("camera-feed", "RD"),
            "3": ("camera-return", "BK"),
            "5": ("video", "YE"),
            "6": ("video-ground", "GY"),
        },
        state="on the car",
        leads=False,
        numbering="by columns",
    )
    receiver = plug(
        "REC",
        "Receiver",
        6,
        2,
        {
            "1": ("constant", "YE"),
            "2": ("ground", "BK"),
            "3": ("accessory", "RD"),
            "5": ("reverse", "VT/WH"),
            "7": ("speaker-lf+", "WH"),
            "8": ("speaker-lf-", "WH/BK"),
            "9": ("speaker-lr+", "GN"),
        },
        numbering="by columns",
        kind="receiver",
    )
    steering = plug(
        "STW",
        "Steering interface",
        3,
        2,
        {
            "1": ("ground", "BK"),
            "2": ("accessory", "RD"),
            "3": ("steering-1", "BN"),
            "4": ("steering-2", "GN"),
            "6": ("steering-ground", "BU"),
        },
        kind="steering interface",
    )
    step = Part(
        id="STEP",
        name="Step-down 12 to 6 V",
        kind="step-down",
        connectors=(connector("L", None, {"in": ("", "RD"), "common": ("", "BK"), "out": ("", "RD/WH")}),),
        internals=(
            StepDown(
                input="L-in",
                output="L-out",
                common="L-common",
                volts_out=6,
                accepts=VoltWindow(least=9, most=16),
            ),
        ),
    )
    screen = plug("VID", "Video in", 1, 2, {"1": ("video", "YE"), "2": ("video-ground", "BK")})
    car, mate = mated(radio, "RADC")
    joints = (
        ("RAD.A-2", "REC.A-1"),
        ("RAD.A-1", "REC.A-2", "STW.A-1", "STEP.L-common"),
        ("RAD.A-4", "REC.A-3", "STW.A-2", "STEP.L-in"),
        ("RAD.A-7", "REC.A-7"),
        ("RAD.A-8", "REC.A-8"),
        ("RAD.A-14", "STW.A-3"),
        ("RAD.A-15", "STW.A-4"),
        ("RAD.A-17", "STW.A-6"),
        ("STEP.L-out", "CAM.A-1"),
        ("CAM.A-5", "W1:a"),
        ("VID.A-1", "W1:b"),
    )
    parts = (radio, car, camera, receiver, steering, step, screen)
    return Job(
        parts={part.id: part for part in parts},
        mates={"M1": mate},
        joints=numbered(joints),
        wires={
            "W1": Wire(id="W1", colour="YE", length_mm=400),
            "W2": Wire(id="W2", colour="BK", a_in="CAM.A-6", b_in="VID.A-2"),
            "W3": Wire(id="W3", colour="GN", a_in="CAM.A-3"),
        },
    )


def numbered(joints: tuple[tuple[str, ...], ...]) -> dict[str, Joint]:
    return {f"J{n}": Joint(id=f"J{n}", ends=ends) for n, ends in enumerate(joints, start=1)}


def random_job(seed: int, *, parts: int = 8, share: float = 0.7) -> Job:
    """Plugs, equipment and things in line, joined at random."""
    chance = random.Random(seed)
    made: dict[str, Part] = {}
    for number in range(parts):
        sort = chance.choice(("car", "equipment", "equipment", "line"))
        columns = chance.randint(1, 4)
        rows = chance.randint(1, 6 if sort != "line" else 2)
        pins = [str(pin) for pin in range(1, rows * columns + 1)]
        filled = [pin for pin in pins if chance.random() < 0.8]
        functions = list(LIBRARY.functions)
        made_pins = {pin: (chance.choice(functions), chance.choice(("RD", "BK", "YE/BK"))) for pin in filled}
        tag = f"{ {'car': 'CAR', 'equipment': 'EQ', 'line': 'LINE'}[sort] }{number}X"
        made[tag] = plug(
            tag,
            f"Part number {number}",
            rows,
            columns,
            made_pins,
            state="on the car" if sort == "car" else "to fit",
            leads=chance.random() < 0.8,
            kind="relay" if sort == "line" else "",
            numbering=chance.choice(("by rows", "by columns", "by pairs", "serpentine")),
        )
    terminals = [terminal for part in made.values() for terminal in part.cavities]
    chance.shuffle(terminals)
    terminals = terminals[: int(len(terminals) * share)]
    joints: list[tuple[str, ...]] = []
    wires: dict[str, Wire] = {}
    while len(terminals) > 4:
        if chance.random() < 0.15:
            name = f"W{len(wires) + 1}"
            ends = terminals.pop(), terminals.pop()
            if chance.random() < 0.5:
                wires[name] = Wire(id=name, colour="BU", a_in=ends[0], b_in=ends[1])
            else:
                wires[name] = Wire(id=name, colour="BU", a_in=ends[0])
                joints.append((f"{name}:b", ends[1]))
            continue
        count = chance.choice((2, 2, 2, 3, 4))
        joints.append(tuple(terminals.pop() for _ in range(count)))
    return Job(parts=made, joints=numbered(tuple(joints)), wires=wires)


def scattered(job: Job, seed: int) -> Job:
    """The same job with its parts anywhere, even over each other."""
    chance = random.Random(seed)
    places = {tag: Place(x=chance.uniform(0, 1500), y=chance.uniform(0, 1500)) for tag in job.parts}
    return job.model_copy(update={"view": View(places=places)})
