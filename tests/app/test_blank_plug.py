"""A plug from rows and columns, from whichever side the sheet shows. Geometry worked by hand."""

from __future__ import annotations

from app.dialogs.blank_plug import blank_plug
from core.edits.parts import add_mated
from core.job.document import Job


def test_numbers_stand_as_on_the_sheet_from_its_side() -> None:
    made = blank_plug("Radio plug", 2, 3, "by rows", "wire", "on the car", with_mate=False)
    face = made.part.connectors[0].face
    assert face is not None
    assert face.seen_from("wire") == (("1", "2", "3"), ("4", "5", "6"))
    assert face.seen_from("mating") == (("3", "2", "1"), ("6", "5", "4"))


def test_the_mate_meets_number_by_number_and_carries_the_leads() -> None:
    made = blank_plug("Radio plug", 2, 4, "by pairs", "mating", "on the car", with_mate=True)
    assert made.mate is not None
    job = add_mated(Job(), made.part, made.mate)
    assert set(job.parts) == {"RAD", "RADC"}
    assert job.parts["RADC"].state == "on the car"
    assert all(cavity.lead is None for cavity in job.parts["RADC"].cavities.values())
    assert all(cavity.lead is not None for cavity in job.parts["RAD"].cavities.values())
    assert job.lookup.meets["RADC.A-1"] == "RAD.A-1"
    assert job.lookup.meets["RADC.A-8"] == "RAD.A-8"
