"""One mistake at a time, for the rules about volts that are too low."""

from __future__ import annotations

from collections.abc import Mapping

from core import edits as ed
from core.job.document import Job
from core.job.internals import Load, StepUp, VoltWindow
from tests.core.checks.cases import Bad
from tests.core.checks.cases_feeds import RUN, TWELVE, box, car_of, steady, stepped_down, thick
from tests.core.checks.jobs import jobs_of, plain


def on_wire(load: Load, gauge: str, length_mm: float) -> Job:
    """A load at the end of a wire."""
    job = jobs_of(car_of(functions=("accessory", "ground")), box(load, ("accessory", "ground")))
    return thick(ed.join_by_wire(job, "CAR.A-1", "BOX.A-1", "RD", gauge, length_mm), "CAR-2 BOX-2")


def stepped_up(volts: float) -> Job:
    """A 12 V part behind a step-up in a car of 6 V with its plus on the body."""
    made = StepUp(
        input="A-1", output="A-3", common="A-2", volts_out=volts, accepts=VoltWindow(least=4.5, most=8)
    )
    stu = plain("STU", ("step-up-in", "step-up-minus", "step-up-out"), internals=(made,))
    car = car_of(functions=("constant", "ground"))
    job = ed.set_settings(jobs_of(car, stu, box(steady(0.5, on=RUN))), system_volts=6, ground="positive")
    return thick(job, "CAR-1 STU-2 BOX-2", "CAR-2 STU-1", "STU-3 BOX-1")


VOLT_CASES: tuple[Bad, ...] = (
    Bad(
        "a 12 V part behind a step-down to 6 V",
        "fewer volts than the part accepts",
        lambda: stepped_down(0.2, load=steady(0.2)),
        "BOX.A-1",
        "BOX-1 would get only 6 V in run and running; it accepts 9 to 16 V.",
    ),
    Bad(
        "a 12 V part behind a step-up that gives 8 V",
        "fewer volts than the part accepts",
        lambda: stepped_up(8.0),
        "BOX.A-1",
        "BOX-1 would get only 8 V",
    ),
    Bad(
        "5 A through 20 m of thin wire",
        "right when open, wrong when loaded",
        lambda: on_wire(steady(5.0, least_volts=6.0), "0.5 mm2", 20_000),
        "BOX.A-1",
        "BOX-1 would get 12.6 V open, and only",
    ),
    Bad(
        "60 W through 24 m of thin wire",
        "load cannot hold on its feed",
        lambda: on_wire(
            Load(plus="A-1", minus="A-2", accepts=TWELVE, watts=60, least_volts=9.0, needed=RUN),
            "0.5 mm2",
            24_000,
        ),
        "BOX.A-1",
        "BOX-1 cannot hold on its feed in run and running: it needs 60 W",
    ),
)


GOOD_VOLTS: Mapping[str, Job] = {
    "a 12 V part behind a step-up of 12.6 V": stepped_up(12.6),
    "1 A through a wire for it": on_wire(steady(1.0), "6 mm2", 20_000),
}
"""Correct jobs that come near to these mistakes."""
