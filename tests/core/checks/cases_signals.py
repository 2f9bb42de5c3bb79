"""Mistakes with data, buttons, interlocks and sound."""

from __future__ import annotations

from core import edits as ed
from core.job.document import Job
from core.job.internals import ButtonLadder, DataPair, LadderReader, LineLevel, Load, SpeakerOutput
from core.job.parts import Part
from tests.core.checks.cases import Bad
from tests.core.checks.jobs import jobs_of, joined, plain

OHMS = {"louder": 100.0, "softer": 330.0, "next": 680.0}


def car() -> Part:
    return plain("CAR", ("accessory", "ground"), state="on the car")


def module(tag: str, ohms: float | None = 120.0) -> Part:
    inside = DataPair(high="A-1", low="A-2", termination_ohms=ohms)
    return plain(tag, ("can-high", "can-low"), internals=(inside,))


def crossed() -> Job:
    return joined(jobs_of(module("GAT"), module("BOX")), "GAT-1 BOX-2", "GAT-2 BOX-1")


def split() -> Job:
    job = joined(jobs_of(module("GAT"), module("BOX")), "GAT-1 BOX-1")
    return ed.cap(job, ["GAT.A-2", "BOX.A-2"])


def modules(third: float | None) -> Job:
    """Two modules that end the line, and a third on it."""
    job = jobs_of(module("GAT"), module("BOX"), module("TAP", third))
    return joined(job, "GAT-1 BOX-1 TAP-1", "GAT-2 BOX-2 TAP-2")


def buttons(ohms: dict[str, float], *, amps: float = 0.5, own: bool = True) -> Job:
    """Buttons read by a receiver of so many amps, against their own ground or against the car's."""
    wheel = plain(
        "STW",
        ("steering-1", "steering-ground"),
        state="on the car",
        internals=(ButtonLadder(signal="A-1", reference="A-2", ohms=ohms),),
    )
    reader = LadderReader(terminal="A-3", reference="A-4", pull_up_ohms=1000.0, pull_up_volts=5.0)
    receiver = plain(
        "REC",
        ("accessory", "ground", "steering-1", "steering-ground"),
        internals=(Load(plus="A-1", minus="A-2", amps=amps), reader),
    )
    job = joined(jobs_of(car(), wheel, receiver), "CAR-1 REC-1", "CAR-2 REC-2", "STW-1 REC-3")
    if own:
        return joined(job, "STW-2 REC-4")
    return ed.cap(joined(job, "STW-2 CAR-2"), ["REC.A-4"])


def screen(*joints: str) -> Job:
    """A receiver whose parking-brake lead is on whatever is said."""
    receiver = plain(
        "REC", ("accessory", "ground", "parking-brake"), internals=(Load(plus="A-1", minus="A-2", amps=0.5),)
    )
    brake = plain("PBT", ("parking-brake",), state="on the car")
    return joined(jobs_of(car(), receiver, brake), "CAR-1 REC-1", *joints)


def lines(flow: str) -> Job:
    """A speaker output on the line lead of another part."""
    amplifier = plain(
        "AMP",
        ("accessory", "ground", "speaker-lf+", "speaker-lf-"),
        internals=(Load(plus="A-1", minus="A-2", amps=0.5), SpeakerOutput(plus="A-3", minus="A-4")),
    )
    line = plain("LIN", ("line-lf",), internals=(LineLevel(terminal="A-1"),))
    line = line.changed(
        connectors=tuple(
            c.changed(cavities=tuple(v.changed(flow=flow) for v in c.cavities)) for c in line.connectors
        )
    )
    return joined(jobs_of(car(), amplifier, line), "CAR-1 AMP-1", "CAR-2 AMP-2", "AMP-3 LIN-1")


PAIR = "data pair split, exchanged or loaded"
SIGNAL_CASES: tuple[Bad, ...] = (
    Bad("high on low", PAIR, crossed, "GAT.A-1", "High and low of the data pair meet between GAT and BOX"),
    Bad("only high is joined", PAIR, split, "GAT.A-2", "low of one data pair, are not joined"),
    Bad(
        "three ends on one line",
        PAIR,
        lambda: modules(120.0),
        "TAP.A-1",
        "would be ended by 40 Ω, less than 50 Ω",
        level="look",
    ),
    Bad(
        "buttons read against nothing",
        "ladder read against the wrong reference",
        lambda: buttons(OHMS, own=False),
        "REC.A-4",
        "REC counts from REC-4, the buttons from STW-2",
        level="look",
    ),
    Bad(
        "two buttons of nearly the same ohms",
        "two buttons closer than the reader's tolerance",
        lambda: buttons(OHMS | {"back": 700.0}),
        "REC.A-3",
        "REC reads “next” as 2.02 V and “back” as 2.06 V",
        level="look",
    ),
    Bad(
        "parking-brake lead on ground",
        "interlock tied off",
        lambda: screen("CAR-2 REC-2 REC-3"),
        "REC.A-3",
        "REC-3 (parking brake) is on ground in every position",
        level="look",
    ),
    Bad(
        "line output on a speaker output",
        "line level into bridged output",
        lambda: lines("gives"),
        "LIN.A-1",
        "LIN-1 (line left front) would be driven backwards by AMP-3",
    ),
    Bad(
        "speaker output into a line input",
        "line level into bridged output",
        lambda: lines("takes"),
        "LIN.A-1",
        "would get the full volts of AMP-3",
    ),
)

GOOD_SIGNALS = {
    "a third module without an end on the line": modules(None),
    "a parking-brake lead on the car's switch": screen("CAR-2 REC-2", "PBT-1 REC-3"),
}
