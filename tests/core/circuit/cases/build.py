"""Builders of the small jobs of field cases.

A part here has one connector with pins named in words and no leads: `BOX-plus` is `BOX.A-plus`. All copper is
in wires from stock, so that every resistance of a case is written in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from core import edits as ed
from core.job.document import Job
from core.job.faces import Face
from core.job.internals import GroundPoint, Internal, LiveIn
from core.job.parts import Cavity, Connector, Part
from core.job.record import CarBattery, OwnSwitch, Settings
from core.job.wiring import Wire

MM_PER_FOOT = 304.8
SHORT_MM = 20.0
THICK = "25 mm2"
"""Twenty millimetres of 25 mm2 are 16 microhm: next to nothing."""

ALL = ("off", "accessory", "run", "start", "running")
ALWAYS = LiveIn(keys=ALL)
ACCESSORY = LiveIn(keys=("accessory", "run", "running"))
IGNITION = LiveIn(keys=("run", "start", "running"))
STIFF = CarBattery(ohms=0.001)
"""A battery that gives way so little that a case's own ohms decide."""


def while_on(switch: str) -> LiveIn:
    return LiveIn(keys=ALL, switch=switch)


def until(switch: str) -> LiveIn:
    return LiveIn(keys=ALL, unless=switch)


def part(
    tag: str,
    pins: str,
    *inside: Internal,
    car: bool = False,
    functions: Mapping[str, str] | None = None,
    kind: str = "",
) -> Part:
    """A part with the pins named, what is between them, and what else they are for."""
    names = tuple(pins.split())
    face = Face(grid=(names,), gender="female")
    meant = functions or {}
    cavities = tuple(Cavity(pin=name, function=meant.get(name, "")) for name in names)
    return Part(
        id=tag,
        name=tag,
        kind=kind,
        state="on the car" if car else "to fit",
        connectors=(Connector(name="A", face=face, cavities=cavities),),
        internals=inside,
    )


def body(tag: str = "GND", ohms: float = 1e-4) -> Part:
    """A point on the body of the car, `GND-bolt`."""
    return part(tag, "bolt", GroundPoint(terminal="A-bolt", ohms=ohms), car=True)


class Run(NamedTuple):
    """A wire from cavity to cavity."""

    a: str
    b: str
    gauge: str = THICK
    length_mm: float = SHORT_MM


def feet(a: str, b: str, gauge: str, length_feet: float) -> Run:
    return Run(a, b, gauge, length_feet * MM_PER_FOOT)


def ref(text: str) -> str:
    """`BOX-plus` to `BOX.A-plus`; everything else as it is."""
    if "-" not in text or "." in text or text in ("battery -", "battery +"):
        return text
    tag, _, pin = text.partition("-")
    return f"{tag}.A-{pin}"


def job_of(
    parts: Iterable[Part],
    runs: Iterable[Run],
    *,
    battery: CarBattery = STIFF,
    switches: Iterable[str] = (),
    **settings: Any,
) -> Job:
    """The job of these parts and wires, W1 first."""
    wires = [
        Wire(id=f"W{n}", gauge=run.gauge, length_mm=run.length_mm, a_in=ref(run.a), b_in=ref(run.b))
        for n, run in enumerate(runs, start=1)
    ]
    own = tuple(OwnSwitch(name=name) for name in switches)
    job = Job(
        parts={p.id: p for p in parts},
        wires={w.id: w for w in wires},
        counters={"W": len(wires)} if wires else {},
        settings=Settings(battery=battery, switches=own, **settings),
    )
    assert ed.check_invariants(job) == []
    return job


def with_runs(job: Job, *runs: Run) -> Job:
    """The job with more wires, numbered on."""
    first = job.counters.get("W", 0) + 1
    wires = dict(job.wires)
    for n, run in enumerate(runs, start=first):
        wires[f"W{n}"] = Wire(
            id=f"W{n}", gauge=run.gauge, length_mm=run.length_mm, a_in=ref(run.a), b_in=ref(run.b)
        )
    return job.changed(wires=wires, counters=dict(job.counters) | {"W": first + len(runs) - 1})
