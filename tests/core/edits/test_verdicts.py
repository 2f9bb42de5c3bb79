"""What drop targets answer, against what a join then does and what the function table says."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.edits import Verdicts, add_mated, add_part, join, pull, replug, set_cavity, set_settings, verdict
from core.errors import EditRefused
from core.job.document import Job
from core.job.faces import mate_of
from core.job.internals import Link, StepDown, VoltWindow
from core.job.parts import Lead, Part
from core.library import default_library
from tests.strategies import end, jobs, plug, target

LIBRARY = default_library()
RED = Lead(colour="RD")


@settings(max_examples=70)
@given(jobs(), st.data(), st.sampled_from((None, "a", "b")))
def test_cannot_is_said_where_a_join_is_refused_and_nowhere_else(
    job: Job, data: st.DataObject, near: Any
) -> None:
    a = target(data.draw, job)
    verdicts = Verdicts(job, a, LIBRARY)
    for _ in range(4):
        b = target(data.draw, job)
        answer = verdicts.of(b, near)
        assert answer == verdict(job, a, b, LIBRARY, near)
        refused = refusal(join, job, a, b, near)
        assert (answer.kind == "cannot") == (refused is not None)
        assert refused is None or answer.reason == refused


@settings(max_examples=70)
@given(jobs(), st.data())
def test_the_same_holds_for_an_end_that_is_replugged(job: Job, data: st.DataObject) -> None:
    a = end(data.draw, job)
    verdicts = Verdicts(job, a, LIBRARY, replug=True)
    for _ in range(4):
        b = target(data.draw, job)
        assert (verdicts.of(b).kind == "cannot") == (refusal(replug, job, a, b) is not None)


def refusal(edit: Callable[..., Job], *args: Any) -> str | None:
    """Why an edit is refused; None where it is not."""
    try:
        edit(*args)
    except EditRefused as refused:
        return str(refused)
    return None


def car_half(part: Part, functions: dict[str, str]) -> Part:
    """The car's plug that meets the part's plug, contact by contact, with functions of its own."""
    half = plug(part.id + "C", functions, state="on the car")
    face = part.connectors[0].face
    assert face is not None
    return half.changed(connectors=(half.connectors[0].changed(face=mate_of(face, "male")),))


def bench() -> Job:
    """A plug of the car behind our RAD, a receiver REC, a 6 V camera CAM."""
    car = {"1": "constant", "2": "ground", "3": "speaker-lf+", "4": "accessory"}
    rad = plug("RAD", dict.fromkeys(car, ""), lead=RED)
    job = add_mated(Job(), rad, car_half(rad, car))
    job = add_part(job, plug("REC", car, lead=RED))
    camera = plug("CAM", {"1": "camera-feed", "2": "camera-return"}, lead=RED)
    return set_cavity(add_part(job, camera), "CAM.A-1", accepts=VoltWindow(least=5.5, most=6.5))


@pytest.mark.parametrize(
    ("a", "b", "kind", "rule"),
    [
        ("RAD.A-1", "REC.A-1", "fits", None),
        ("RAD.A-2", "REC.A-2", "fits", None),
        ("RAD.A-1", "REC.A-2", "but", "feed shorted to ground"),
        ("RAD.A-2", "REC.A-1", "but", "functions that do not belong together"),
        ("RAD.A-2", "REC.A-3", "but", "speaker lead grounded"),
        ("RAD.A-1", "REC.A-3", "but", "functions that do not belong together"),
        ("RAD.A-1", "RAD.A-4", "but", "feeds of different positions joined"),
        ("RAD.A-1", "REC.A-4", "but", "functions that do not belong together"),
        ("RAD.A-1", "CAM.A-1", "but", "more volts than the part accepts"),
        ("RADC.A-1", "REC.A-1", "but", "cut into the car"),
    ],
)
def test_the_function_that_comes_through_the_mated_plug_counts(
    a: str, b: str, kind: str, rule: str | None
) -> None:
    for first, second in ((a, b), (b, a)):
        answer = verdict(bench(), first, second, LIBRARY)
        assert (answer.kind, answer.rule) == (kind, rule)
        assert bool(answer.reason) == (kind != "fits")


def test_the_whole_of_both_nets_counts() -> None:
    """RAD-1 is joined to REC-1; what REC-1 is joined to then meets the car's feed."""
    job = join(bench(), "REC.A-1", "RAD.A-1")
    job = join(job, "CAM.A-2", "REC.A-2")
    answer = verdict(job, "J1", "J2", LIBRARY)
    assert answer.rule == "feed shorted to ground"
    assert "RADC-1 is constant" in answer.reason or "REC-1 is constant" in answer.reason


def test_a_pulled_lead_meets_the_cars_plug_no_more() -> None:
    job = pull(bench(), ["RAD.A-1"])
    assert verdict(job, "RAD.A-1", "REC.A-2", LIBRARY).kind == "fits"


def test_what_a_link_inside_a_part_leads_to_counts() -> None:
    through = plug("THRU", {"1": "", "2": ""}, lead=RED).changed(internals=(Link(a="A-1", b="A-2"),))
    job = join(add_part(bench(), through), "THRU.A-1", "RAD.A-1")
    assert verdict(job, "THRU.A-2", "REC.A-2", LIBRARY).rule == "feed shorted to ground"


def test_a_step_down_gives_its_own_volts() -> None:
    pins = {"1": "step-down-in", "2": "step-down-out", "3": "common"}
    inside = StepDown(
        input="A-1", output="A-2", common="A-3", volts_out=6, accepts=VoltWindow(least=9, most=16)
    )
    job = add_part(bench(), plug("STEP", pins, lead=RED).changed(internals=(inside,)))
    assert verdict(job, "STEP.A-2", "CAM.A-1", LIBRARY).kind == "fits"
    assert verdict(job, "RAD.A-1", "STEP.A-1", LIBRARY).kind == "fits"
    old_car = set_settings(job, system_volts=6)
    answer = verdict(old_car, "RAD.A-1", "STEP.A-1", LIBRARY)
    assert answer.reason == "RADC-1 gives 6 V, and STEP-1 accepts 9 to 16 V."


def test_an_airbag_outweighs_all_else() -> None:
    job = set_cavity(bench(), "RADC.A-1", airbag=True)
    assert verdict(job, "RAD.A-1", "REC.A-2", LIBRARY).rule == "airbag circuit touched"


def test_a_second_wire_in_a_cavity_is_marked() -> None:
    job = add_part(bench(), plug("BOX", {"1": "", "2": "", "3": ""}))
    job = join(job, "BOX.A-1", "BOX.A-2")
    assert verdict(job, "BOX.A-1", "BOX.A-3", LIBRARY).rule == "two conductors in one cavity"


def test_ends_of_one_net_fit() -> None:
    job = join(join(bench(), "REC.A-1", "RAD.A-1"), "REC.A-4", "CAM.A-1")
    through = plug("THRU", {"1": "", "2": ""}, lead=RED).changed(internals=(Link(a="A-1", b="A-2"),))
    job = join(add_part(job, through), "THRU.A-1", "J1")
    assert verdict(job, "THRU.A-2", "RAD.A-1", LIBRARY).reason == "They are connected already."
