"""The record of a job: its sheet, its settings, and what was accepted and by whom."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from core.job.base import Frozen, LongText, NumberedId, Text

IsoDate = Annotated[str, StringConstraints(pattern=r"^([0-9]{4}-[0-9]{2}-[0-9]{2})?$")]


class JobSheet(Frozen):
    """Who, what and when. The fields of the title block (ISO 7200) are taken from here."""

    shop: Text = ""
    number: Text = ""
    title: Text = ""
    vehicle: LongText = ""
    equipment: LongText = ""
    technician: Text = ""
    approved_by: Text = ""
    date: IsoDate = ""
    revision: Text = "A"
    note: LongText = ""


class Settings(Frozen):
    """What is true of this car and how this job shows its numbers. Volts are of the battery."""

    system_volts: Literal[6, 12, 24] = 12
    ground: Literal["negative", "positive"] = "negative"
    lengths: Literal["mm", "inch"] = "mm"
    gauges: Literal["mm2", "AWG"] = "mm2"


class Acceptance(Frozen):
    """A conflict kept on purpose. It lapses when a place, a position or a number of it changes."""

    rule: Text
    where: tuple[Text, ...]
    positions: tuple[Text, ...] = ()
    numbers: dict[str, float] = Field(default_factory=dict)
    reason: Annotated[str, StringConstraints(min_length=1, max_length=8_000, strip_whitespace=True)]
    name: Annotated[str, StringConstraints(min_length=1, max_length=200, strip_whitespace=True)]
    date: IsoDate = ""


class Note(Frozen):
    """Free words pinned to a place of the map."""

    id: NumberedId
    text: LongText
