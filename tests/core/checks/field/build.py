"""Builders of the jobs of field cases: parts with loose leads, each of a gauge and a length, and joints.

Pins are named in words. `plus:constant` is a pin `plus` whose function is `constant`. Terminals are written
as people write them, `RAD-plus`. What is left open is capped, so that everything is decided.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from core import edits as ed
from core.job.document import Job
from core.job.internals import Feed, Fuse, GroundPoint, Internal, Key, LiveIn, Load
from core.job.parts import Cavity, Connector, Lead, Part, PartState
from core.job.record import CarBattery, OwnSwitch
from tests.core.checks.jobs import capped, joined

ALL: tuple[Key, ...] = ("off", "accessory", "run", "start", "running")
ALWAYS = LiveIn(keys=ALL)
ACCESSORY = LiveIn(keys=("accessory", "run", "running"))
IGNITION = LiveIn(keys=("run", "start", "running"))
RUNNING = LiveIn(keys=("running",))
REVERSE = LiveIn(keys=("run", "start", "running"), switch="reverse")
LIGHTS = LiveIn(keys=ALL, switch="lights")
BRAKE = LiveIn(keys=ALL, switch="brake")

GAUGE, LENGTH_MM = "2.5 mm2", 400.0
MM_PER_FOOT = 304.8


@dataclass(frozen=True)
class Said:
    """A conflict that must be said: one of `where` is `place`, and each of `numbers` stands in it.

    Numbers are by the names that the rule gives them, and must agree within `within` (a share). `folded`: it
    may stand under another that causes it.
    """

    rule: str
    place: str
    level: str = "stop"
    numbers: Mapping[str, float] = field(default_factory=dict)
    within: float = 0.03
    position: str = ""
    words: str = ""
    folded: bool = False


@dataclass(frozen=True)
class Case:
    """One field case: how it was told, the job with the mistake, what must be said, and its healthy twins."""

    name: str
    told: str
    bad: Job
    said: tuple[Said, ...]
    healthy: tuple[Job, ...]


def feet(length: float) -> float:
    """A length in feet as millimetres."""
    return length * MM_PER_FOOT


def box(
    tag: str,
    pins: str,
    *inside: Internal,
    car: bool = False,
    kind: str = "",
    gauge: str = GAUGE,
    length_mm: float = LENGTH_MM,
    leads: Mapping[str, tuple[str, float]] | None = None,
    needed: str = "",
) -> Part:
    """A part with a loose lead for every pin; `on:amplifier-turn-on<` is one that takes what others give.

    `leads`: the gauge and millimetres of those that differ.
    """
    cavities = []
    for pin in pins.split():
        name, _, function = pin.partition(":")
        size, length = (leads or {}).get(name, (gauge, length_mm))
        cavities.append(
            Cavity(
                pin=name,
                function=function.removesuffix("<"),
                flow="takes" if function.endswith("<") else None,
                needed=name in needed.split(),
                lead=Lead(gauge=size, length_mm=length),
            )
        )
    loose = Connector(name="A", cavities=tuple(cavities))
    state: PartState = "on the car" if car else "to fit"
    return Part(id=tag, name=tag, kind=kind, state=state, connectors=(loose,), internals=inside)


def feed(pin: str, live: LiveIn, fuse_amps: float = 10.0, **how: Any) -> Feed:
    """A feed of the car behind a fuse of its own."""
    return Feed(terminal=f"A-{pin}", live=live, fuse_amps=fuse_amps, fuse=pin, **how)


def post(gauge: str = GAUGE, length_mm: float = 100.0) -> Part:
    """The plus post of the battery, `BAT-plus`: no fuse stands before it."""
    pole = Feed(terminal="A-plus", live=ALWAYS, ohms=0.001)
    return box("BAT", "plus:constant", pole, car=True, kind="battery", gauge=gauge, length_mm=length_mm)


def load(plus: str, minus: str, amps: float, **how: Any) -> Load:
    """A load between two pins."""
    return Load(plus=f"A-{plus}", minus=f"A-{minus}", amps=amps, **how)


def ground(tag: str = "GND", gauge: str = GAUGE, length_mm: float = 200.0, ohms: float | None = None) -> Part:
    """A point on the body of the car, `GND-bolt`."""
    bolt = GroundPoint(terminal="A-bolt", ohms=ohms)
    return box(tag, "bolt:ground", bolt, car=True, gauge=gauge, length_mm=length_mm)


def inline_fuse(
    amps: float, tag: str = "FUS", gauge: str = GAUGE, length_mm: float = 100.0, **how: Any
) -> Part:
    """A fuse in a holder with two leads."""
    fuse = Fuse(a="A-a", b="A-b", amps=amps, **how)
    return box(tag, "a:fuse-a b:fuse-b", fuse, kind="fuse holder", gauge=gauge, length_mm=length_mm)


def circuit(
    parts: Iterable[Part],
    joints: str,
    *,
    switches: Iterable[str] = (),
    battery: CarBattery | None = None,
    methods: Mapping[str, str] | None = None,
    cap: bool = True,
    **settings: Any,
) -> Job:
    """The job of these parts, one joint to a line. `methods`: how joints are made, by an end of each."""
    own = tuple(OwnSwitch(name=name) for name in switches)
    job = ed.set_settings(Job(), switches=own, battery=battery or CarBattery(), **settings)
    for part in parts:
        job = ed.add_part(job, part)
    job = joined(job, *(line for line in joints.splitlines() if line.strip()))
    for end, method in (methods or {}).items():
        terminal = job.terminal_from(end)
        assert terminal is not None
        job = ed.set_joint(job, job.lookup.joint_of[terminal], method=method)
    if cap:
        job = capped(job)
    assert ed.check_invariants(job) == []
    return job


def measured(job: Job, red: str, black: str, value: float, position: str, **how: Any) -> Job:
    """The job with a reading taken between two points."""
    points = [job.terminal_from(text) or text for text in (red, black)]
    return ed.add_reading(job, *points, value=value, position=position, name="R. Alder", **how)
