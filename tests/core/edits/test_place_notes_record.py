"""The map's places, notes, and the record."""

from __future__ import annotations

from typing import Any

import pytest

from core.edits import (
    accept,
    add_note,
    add_part,
    add_reading,
    add_wire,
    join,
    move,
    open_pair,
    place_all,
    remove_notes,
    remove_reading,
    rename_tag,
    set_cavity,
    set_note,
    set_settings,
    set_sheet,
    set_side,
    withdraw,
)
from core.errors import EditRefused
from core.job.delta import delta
from core.job.document import Job
from core.job.parts import Lead
from core.job.record import Reading
from core.job.view import Place
from tests.strategies import plug


def bench() -> Job:
    return add_part(Job(), plug("RAD", {"1": ""}))


def test_moving_changes_the_view_alone() -> None:
    before = bench()
    job = move(before, {"RAD": (10, -5)})
    assert job.view.places["RAD"] == Place(x=10, y=-5, kept=True)
    assert job.content_hash() == before.content_hash()
    assert not delta(before, job).meaning
    assert move(job, {"RAD": (10, -5)}) is job
    assert place_all(job, {"RAD": Place(x=1, y=1)}).view.places["RAD"].kept is False


def test_what_cannot_be_placed() -> None:
    with pytest.raises(EditRefused, match=r"There is no J1 on the map\."):
        move(bench(), {"J1": (0, 0)})
    with pytest.raises(EditRefused, match="X: "):
        move(bench(), {"RAD": (float("nan"), 0)})
    with pytest.raises(EditRefused, match=r"There is no mated pair M1\."):
        open_pair(bench(), "M1", True)


def test_the_side() -> None:
    job = set_side(bench(), "mating")
    assert job.view.side == "mating"
    assert set_side(job, "mating") is job


def test_notes() -> None:
    job = set_note(add_note(bench(), "look", (1, 2)), "N1", "look here")
    assert job.notes["N1"].text == "look here"
    assert job.view.places["N1"] == Place(x=1, y=2, kept=True)
    job = remove_notes(job, ["N1"])
    assert (dict(job.notes), dict(job.view.places)) == ({}, {})
    for call in (lambda: add_note(job, " ", (0, 0)), lambda: set_note(job, "N1", "x")):
        with pytest.raises(EditRefused):
            call()


def test_sheet_and_settings() -> None:
    job = set_sheet(bench(), title="Camera", date="2031-05-04")
    assert (job.sheet.title, job.sheet.date, job.sheet.revision) == ("Camera", "2031-05-04", "A")
    job = set_settings(job, system_volts=24, ground="positive")
    assert (job.settings.system_volts, job.settings.ground) == (24, "positive")
    assert set_settings(job, system_volts=24) is job
    with pytest.raises(EditRefused, match="Date: "):
        set_sheet(job, date="yesterday")
    with pytest.raises(EditRefused, match="System volts: "):
        set_settings(job, system_volts=48)


def test_accepting_and_withdrawing() -> None:
    job = accept(bench(), "cut into the car", ["RAD.A-1"], ["run"], {"volts": 12}, "agreed", "A. Fitter")
    kept = job.acceptances[0]
    assert (kept.rule, kept.where, kept.numbers, kept.name) == (
        "cut into the car",
        ("RAD.A-1",),
        {"volts": 12},
        "A. Fitter",
    )
    again = accept(job, "cut into the car", ["RAD.A-1"], reason="agreed again", name="B. Lead")
    assert [one.reason for one in again.acceptances] == ["agreed again"]
    assert withdraw(again, 0).acceptances == ()
    for call in (
        lambda: accept(job, "cut into the car", ["RAD.A-1"], reason=" ", name="A. Fitter"),
        lambda: accept(job, "cut into the car", ["RAD.A-1"], reason="agreed", name=""),
        lambda: withdraw(job, 1),
    ):
        with pytest.raises(EditRefused):
            call()


def read(job: Job, red: str = "RAD.A-1", black: str = "body", **fields: Any) -> Job:
    return add_reading(job, red, black, **{"position": "run", "value": 12.1, "name": "A. Fitter"} | fields)


def test_readings() -> None:
    before = add_wire(add_part(Job(), plug("RAD", {"1": ""}, lead=Lead())))
    before = join(before, "RAD.A-1", "W1:a")
    job = read(before, lifted="W1:a", date="2031-05-04")
    assert job.readings == (
        Reading(
            red="RAD.A-1",
            black="body",
            position="run",
            value=12.1,
            lifted="W1:a",
            name="A. Fitter",
            date="2031-05-04",
        ),
    )
    assert delta(before, job).record
    job = read(job, "J1", "battery -", quantity="ohms", value=0.6, lead_ohms=0.2, position="off")
    assert job.readings[1].net_value == pytest.approx(0.4)
    assert remove_reading(job, 0).readings == (job.readings[1],)
    with pytest.raises(EditRefused, match="not there any more"):
        remove_reading(job, 2)


def test_a_reading_follows_its_part_to_another_tag() -> None:
    job = read(read(add_wire(bench()), lifted="RAD.A-1"), "W1:a", "battery +")
    renamed = rename_tag(job, "RAD", "RX")
    assert (renamed.readings[0].red, renamed.readings[0].lifted) == ("RX.A-1", "RX.A-1")
    assert renamed.readings[1] is job.readings[1]


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"red": "RAD.A-9"}, r"There is no RAD\.A-9 to measure at\."),
        ({"black": "J7"}, r"There is no J7 to measure at\."),
        ({"lifted": "W1:a"}, r"There is no W1:a to measure at\."),
        ({"black": "RAD.A-1"}, "A reading is taken between two points"),
        ({"position": "parked+lights"}, "does not begin with one of off, accessory"),
        ({"value": 1e12}, "Value: "),
        ({"name": " "}, "Name: "),
    ],
)
def test_readings_that_are_refused(fields: dict[str, Any], said: str) -> None:
    with pytest.raises(EditRefused, match=said):
        read(bench(), **fields)


def test_nobody_measures_an_airbag_circuit() -> None:
    job = set_cavity(bench(), "RAD.A-1", airbag=True)
    with pytest.raises(EditRefused, match="RAD-1 is of an airbag: nobody measures there"):
        read(job)
