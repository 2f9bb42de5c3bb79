"""Jobs of any size that look like work: receivers, cameras and amplifiers on plugs of one car. Deterministic.

Every block has twenty wires from stock: a plug of the car, our plug on it, a receiver with its fuse in line,
a camera behind a step-down, an amplifier with its turn-on, speakers, a splice of grounds on a bolt.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import count

from core.job.document import Job
from core.job.faces import Face, mate_of, numbered_grid
from core.job.internals import (
    Fuse,
    GroundPoint,
    Internal,
    LiveIn,
    Load,
    Output,
    SpeakerOutput,
    StepDown,
    VoltWindow,
)
from core.job.internals import Speaker as SpeakerInside
from core.job.parts import Cavity, Connector, Lead, Part, PartState
from core.job.wiring import Joint, Mate, Wire

GAUGES = ("20 AWG", "18 AWG", "0.75 mm2", "16 AWG", "0.5 mm2")
CAR_PLUG = ("constant", "accessory", "illumination", "reverse", "ground", "ground")
WIRES_IN_A_BLOCK = 20
BLOCKS_IN_FULL = 15
"""So many blocks draw in full some 50 A; in a larger job all draw less, or no battery would hold them."""
_SHORT = Lead(colour="BK", gauge="0.75 mm2", length_mm=150.0)
_ON = LiveIn(keys=("accessory", "run", "running"))


def _connector(functions: tuple[str, ...], *, lead: bool, ours: bool = True) -> Connector:
    face = Face(grid=numbered_grid(2, (len(functions) + 1) // 2), gender="female")
    cavities = tuple(
        Cavity(pin=str(pin), function=function, lead=_SHORT if lead else None)
        for pin, function in enumerate(functions, start=1)
    )
    return Connector(name="A", face=face if ours else mate_of(face, "male"), cavities=cavities)


def _part(
    tag: str, connector: Connector, *inside: Internal, state: PartState = "to fit", kind: str = ""
) -> Part:
    return Part(id=tag, name=tag, kind=kind, state=state, connectors=(connector,), internals=inside)


@cache
def _parts(share: float) -> dict[str, Part]:
    """One of each. `share` of what the parts of a small job draw."""
    bare = ("",) * 6
    watts = Load(plus="A-1", minus="A-2", watts=18.0 * share, on=_ON, on_by="A-3", idle_amps=0.002)
    return {
        "CAR": _part("CAR", _connector(CAR_PLUG, lead=False, ours=False), state="on the car"),
        "PLG": _part("PLG", _connector(CAR_PLUG, lead=True), kind="pigtail"),
        "FUS": _part("FUS", _connector(("", ""), lead=True), Fuse(a="A-1", b="A-2", amps=10.0)),
        "REC": _part(
            "REC",
            _connector((*bare, "", ""), lead=True),
            watts,
            Output(terminal="A-4", live=_ON, fed_from="A-1", on_by="A-3"),
            SpeakerOutput(plus="A-5", minus="A-6", fed_from="A-1", on_by="A-3"),
            Load(plus="A-7", minus="A-2", amps=0.05),
        ),
        "SPK": _part("SPK", _connector(("", ""), lead=False), SpeakerInside(plus="A-1", minus="A-2")),
        "AMP": _part(
            "AMP",
            _connector(("", "", ""), lead=False),
            Load(plus="A-1", minus="A-2", amps=1.5 * share, on_by="A-3", idle_amps=0.003),
            Load(plus="A-3", minus="A-2", ohms=2200.0),
        ),
        "SDN": _part(
            "SDN",
            _connector(("", "", ""), lead=True),
            StepDown(
                input="A-1",
                output="A-2",
                common="A-3",
                volts_out=6.0,
                accepts=VoltWindow(least=8.0, most=30.0),
                amps=1.0,
            ),
        ),
        "CAM": _part(
            "CAM", _connector(("", ""), lead=False), Load(plus="A-1", minus="A-2", amps=0.15 * share)
        ),
        "GND": _part(
            "GND",
            _connector(("", ""), lead=False),
            GroundPoint(terminal="A-1", ohms=0.002),
            state="on the car",
        ),
    }


# From and to, by part and pin, of the wires of a block: the splices get joints of several ends.
_RUNS = (
    ("PLG-1", "FUS-1"),
    ("FUS-2", "REC-1"),
    ("PLG-2", "REC-3"),
    ("PLG-3", "REC-7"),
    ("REC-4", "AMP-3"),
    ("REC-5", "SPK-1"),
    ("REC-6", "SPK-2"),
    ("FUS-2", "AMP-1"),
    ("PLG-4", "SDN-1"),
    ("SDN-2", "CAM-1"),
    ("SDN-3", "ground"),
    ("CAM-2", "ground"),
    ("REC-2", "ground"),
    ("AMP-2", "ground"),
    ("PLG-5", "ground"),
    ("ground", "GND-1"),
)


def _ends(block: int) -> Iterator[tuple[str, str]]:
    """From and to of every wire of a block, then speaker leads lengthened by wires until there are enough."""

    def place(text: str) -> str:
        tag, hyphen, pin = text.partition("-")
        return f"{tag}{block}X.A-{pin}" if hyphen else f"{text}{block}"

    for a, b in _RUNS:
        yield place(a), place(b)
    for number in range(WIRES_IN_A_BLOCK - len(_RUNS)):
        # Several thin returns side by side, as found behind a dash.
        yield f"ground{block}", place("GND-1") if number % 2 else place("PLG-6")


def car_job(wires: int) -> Job:
    """A job with that many wires from stock, rounded up to whole blocks."""
    blocks = -(-wires // WIRES_IN_A_BLOCK)
    parts: dict[str, Part] = {}
    mates: dict[str, Mate] = {}
    made: dict[str, Wire] = {}
    joints: dict[str, Joint] = {}
    numbers = count(1)
    for block in range(1, blocks + 1):
        for name, part in _parts(min(1.0, BLOCKS_IN_FULL / blocks)).items():
            tag = f"{name}{block}X"
            parts[tag] = part.model_copy(update={"id": tag})
        mates[f"M{block}"] = Mate(id=f"M{block}", a=f"PLG{block}X.A", b=f"CAR{block}X.A")
        joined: dict[str, list[str]] = {}
        for a, b in _ends(block):
            name = f"W{next(numbers)}"
            ends: dict[str, str] = {}
            for letter, place in (("a", a), ("b", b)):
                bare = "." in place and _bare(parts, place)
                if bare:
                    ends[f"{letter}_in"] = place
                else:
                    joined.setdefault(place, []).append(f"{name}:{letter}")
            index = int(name[1:])
            made[name] = Wire(
                id=name, colour="RD", gauge=GAUGES[index % 5], length_mm=400.0 + 37 * (index % 61), **ends
            )
        for place, ends_there in joined.items():
            whole = ((place,) if "." in place else ()) + tuple(ends_there)
            if len(whole) > 1:
                joint = f"J{len(joints) + 1}"
                joints[joint] = Joint(id=joint, ends=whole, method="crimp")
    counters = {"M": blocks, "W": len(made), "J": len(joints)}
    return Job(parts=parts, mates=mates, wires=made, joints=joints, counters=counters)


def _bare(parts: dict[str, Part], terminal: str) -> bool:
    cavity = parts[terminal.partition(".")[0]].cavities[terminal]
    return cavity.lead is None
