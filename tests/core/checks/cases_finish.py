"""Mistakes at the end of a job, and in its record."""

from __future__ import annotations

from core import edits as ed
from core.job.document import Job
from core.job.internals import Load
from tests.core.checks.cases import Bad
from tests.core.checks.jobs import jobs_of, joined, plain, simple


def removed_radio() -> Job:
    """The car's old radio is gone; its constant lead is still in the joint."""
    old = plain("OLD", ("constant", "accessory", "ground"), state="removed")
    return joined(ed.add_part(simple(), old), "CAR-1 OLD-1", "CAR-2 OLD-2")


def bridged_for_a_test() -> Job:
    """Two dash lamps' leads are joined to see whether a display lights; nothing needs it."""
    lamps = plain("LMP", ("illumination",), state="on the car")
    job = joined(jobs_of(*simple().parts.values(), lamps, plain("DSP", ("illumination",))), "LMP-1 DSP-1")
    job = joined(job, "CAR-1 BOX-1", "CAR-2 BOX-2", "CAR-3 BOX-3")
    return ed.set_joint(job, "J1", temporary_for="does it light")


def two_grounds() -> Job:
    """A part of 2 A whose two ground leads go to one joint."""
    load = Load(plus="A-1", amps=2.0)
    box = plain("BOX", ("accessory", "ground", "ground"), internals=(load,))
    car = plain("CAR", ("accessory", "ground"), state="on the car")
    return joined(jobs_of(car, box), "CAR-1 BOX-1", "CAR-2 BOX-2 BOX-3")


def read_too_low() -> Job:
    """A fuse box that gives 2 A; the meter shows 1.5 V less at the part than the map does."""
    load = Load(plus="A-1", minus="A-2", amps=2.0)
    box = plain("BOX", ("accessory", "ground"), internals=(load,))
    car = plain("CAR", ("accessory", "ground"), state="on the car")
    job = joined(jobs_of(car, box), "CAR-1 BOX-1", "CAR-2 BOX-2")
    return ed.add_reading(job, "BOX.A-1", "body", position="run", value=10.5, name="A. M.")


FINISH_CASES: tuple[Bad, ...] = (
    Bad(
        "the old radio's feeds are still joined",
        "removed part whose taps are not closed",
        removed_radio,
        "OLD.A-1",
        "OLD-1 and OLD-2 of OLD, which is removed, are still joined",
    ),
    Bad(
        "the old radio's ground is still joined",
        "removed part whose taps are not closed",
        lambda: joined(ed.add_part(simple(), plain("OLD", ("ground",), state="removed")), "CAR-3 OLD-1"),
        "OLD.A-1",
        level="look",
    ),
    Bad(
        "a bridge for a test at the end of the job",
        "temporary join left in",
        bridged_for_a_test,
        "J1",
        "for a test only",
        final=True,
    ),
    Bad(
        "two grounds of one part in one joint",
        "parallel leads to one net",
        two_grounds,
        "BOX.A-3",
        "BOX-2 and BOX-3 run side by side to J2: BOX-2 alone would carry their 2 A",
        level="note",
    ),
    Bad(
        "1.5 V lost on the way",
        "reading disagrees with the solve",
        read_too_low,
        "BOX.A-1",
        "showed 10.50 V; by the map it is 12.",
        level="look",
    ),
)
