"""Capped, pulled, left; and what is still to decide."""

from __future__ import annotations

import pytest

from core.edits import (
    add_part,
    add_wire,
    cap,
    clear_finish,
    crimp,
    join,
    leave,
    open_ends,
    pull,
    set_cavity,
    set_part,
)
from core.errors import EditRefused
from core.job.document import Job
from core.job.parts import Connector, Lead, Part
from tests.strategies import plug

RED = Lead(colour="RD")
PINS = {"1": "", "2": ""}


def bench() -> Job:
    """RAD has leads, BOX bare cavities, CAR is a plug of the car, CARL loose leads of the car."""
    job = add_part(Job(), plug("RAD", PINS, lead=RED))
    job = add_part(job, plug("BOX", PINS))
    job = add_part(job, plug("CAR", PINS, state="on the car"))
    loose = Connector(name="A", cavities=plug("X", PINS).connectors[0].cavities)
    return add_part(job, Part(id="CARL", name="Loose leads", state="on the car", connectors=(loose,)))


def test_the_three_ways() -> None:
    job = leave(pull(cap(bench(), ["RAD.A-1"]), ["RAD.A-2"]), ["BOX.A-1"], "  the car has none ")
    assert {end: finish.kind for end, finish in job.finishes.items()} == {
        "RAD.A-1": "capped",
        "RAD.A-2": "pulled",
        "BOX.A-1": "left",
    }
    assert job.finishes["BOX.A-1"].reason == "the car has none"
    assert set(clear_finish(job, ["RAD.A-1", "RAD.A-2"]).finishes) == {"BOX.A-1"}
    assert clear_finish(job, ["CAR.A-1"]) is job
    assert cap(job, ["RAD.A-1"]) is job


def test_what_cannot_be_finished() -> None:
    job = crimp(join(add_wire(bench()), "RAD.A-1", "CARL.A-1"), "W1:a", "BOX.A-1")
    for edit, end, sentence in (
        (cap, "RAD.A-1", "RAD-1 is joined in J1."),
        (cap, "BOX.A-2", "BOX-2 has no lead to cap."),
        (cap, "W1:a", "End a of W1 is crimped into BOX-1."),
        (cap, "W9:a", "There is no lead or wire end W9:a."),
        (pull, "CARL.A-2", "CARL-2 is not in a plug, so it cannot be pulled."),
        (pull, "W1:b", "End b of W1 is not in a plug, so it cannot be pulled."),
        (pull, "BOX.A-2", "BOX-2 has no lead to pull."),
    ):
        with pytest.raises(EditRefused) as refused:
            edit(job, [end])
        assert str(refused.value) == sentence
    with pytest.raises(EditRefused, match=r"BOX-1 is joined by W1\."):
        leave(job, ["BOX.A-1"], "spare")
    with pytest.raises(EditRefused, match="Say why"):
        leave(job, ["RAD.A-2"], " ")


def test_many_at_once_or_none() -> None:
    with pytest.raises(EditRefused):
        cap(bench(), ["RAD.A-1", "BOX.A-1"])
    assert set(cap(bench(), ["RAD.A-1", "RAD.A-2"]).finishes) == {"RAD.A-1", "RAD.A-2"}


def test_what_is_open() -> None:
    job = bench()
    assert open_ends(job) == ("RAD.A-1", "RAD.A-2", "CARL.A-1", "CARL.A-2")
    job = join(cap(job, ["RAD.A-2"]), "RAD.A-1", "CARL.A-1")
    assert open_ends(job) == ("CARL.A-2",)
    job = crimp(add_wire(job), "W1:a", "BOX.A-1")
    assert open_ends(job) == ("CARL.A-2", "W1:b")
    assert open_ends(leave(job, ["W1:b", "CARL.A-2"], "later")) == ()


def test_what_is_never_open() -> None:
    job = add_part(Job(), plug("RAD", PINS, lead=RED))
    assert open_ends(set_cavity(job, "RAD.A-1", filled=False)) == ("RAD.A-2",)
    assert open_ends(set_part(job, "RAD", state="donor")) == ()
    assert open_ends(set_part(job, "RAD", state="on the car")) == ()
    assert open_ends(set_part(job, "RAD", state="removed")) == ("RAD.A-1", "RAD.A-2")
