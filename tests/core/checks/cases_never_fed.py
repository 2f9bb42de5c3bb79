"""Mistakes by which something is wired in and never works: one at a time."""

from __future__ import annotations

from core import edits as ed
from core.job.document import Job
from core.job.internals import Fuse, Lamp, Relay
from core.job.parts import Part
from tests.core.checks.cases import Bad
from tests.core.checks.cases_feeds import box, car_of, steady
from tests.core.checks.jobs import jobs_of, joined, plain


def _fuse_and_spare() -> Job:
    fuse = plain("FUS", ("fuse-a", "fuse-b"), internals=(Fuse(a="A-1", b="A-2", amps=10.0),))
    return joined(
        jobs_of(car_of(functions=("constant", "ground")), box(steady(0.1)), fuse),
        "CAR-1 BOX-1",
        "CAR-2 BOX-2",
    )


def _lamp() -> Part:
    return plain("LMP", ("lamp+", "lamp-"), internals=(Lamp(a="A-1", b="A-2", volts=12, watts=5),))


def _idle_relay() -> Job:
    inside = Relay(coil_plus="A-1", coil_minus="A-2", common="A-3", make="A-4", clamp="diode")
    relay = plain("RLY", ("coil-plus", "coil-minus", "relay-common", "relay-make"), internals=(inside,))
    job = jobs_of(car_of(functions=("constant", "ground")), box(steady(0.1)), relay)
    job = joined(job, "CAR-1 RLY-3", "RLY-4 BOX-1", "CAR-2 BOX-2 RLY-2")
    return ed.cap(job, ["RLY.A-1"])


NEVER_FED_CASES: tuple[Bad, ...] = (
    Bad(
        "a fuse between a feed and nothing",
        "part in the line that leads nowhere",
        lambda: ed.cap(joined(_fuse_and_spare(), "CAR-1 FUS-1"), ["FUS.A-2"]),
        "FUS.A-2",
        "FUS-2 leads nowhere, while FUS-1 is joined",
        final=True,
    ),
    Bad(
        "a lamp that no feed reaches",
        "load dead where it is needed",
        lambda: ed.cap(
            joined(jobs_of(car_of(functions=("constant", "ground")), _lamp()), "CAR-2 LMP-2"),
            ["CAR.A-1", "LMP.A-1"],
        ),
        "LMP.A-1",
        "LMP-1 (lamp +) would get no feed in every position",
        final=True,
    ),
    Bad(
        "a relay whose coil no feed reaches",
        "load dead where it is needed",
        _idle_relay,
        "RLY.A-1",
        "RLY-1 (coil +) and BOX-1 (constant) would get no feed in every position",
        final=True,
    ),
)
