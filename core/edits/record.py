"""The job sheet, the settings, what was accepted by whom, and what the meter showed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, get_args

from core.edits.base import checked, made, only, opening
from core.edits.draft import Draft
from core.errors import EditRefused
from core.ids import kind_of, owner_of_end
from core.job.document import Job
from core.job.internals import Key
from core.job.record import BATTERY_POINTS, Acceptance, JobSheet, Reading, Settings

_SHEET_FIELDS = frozenset(JobSheet.model_fields)
_SETTINGS_FIELDS = frozenset(Settings.model_fields)


def set_sheet(job: Job, **fields: Any) -> Job:
    """Change fields of the job sheet. Raises EditRefused."""
    only(fields, _SHEET_FIELDS)
    sheet = checked(job.sheet, **fields)
    draft = Draft(job)
    if sheet != job.sheet:
        draft.sheet = sheet
    return draft.job()


def set_settings(job: Job, **fields: Any) -> Job:
    """Change system_volts (6, 12, 24), ground (negative, positive), lengths or gauges. Raises EditRefused."""
    only(fields, _SETTINGS_FIELDS)
    settings = checked(job.settings, **fields)
    draft = Draft(job)
    if settings != job.settings:
        draft.settings = settings
    return draft.job()


def accept(
    job: Job,
    rule: str,
    where: Sequence[str],
    positions: Sequence[str] = (),
    numbers: Mapping[str, float] | None = None,
    reason: str = "",
    name: str = "",
    date: str = "",
) -> Job:
    """Keep a conflict on purpose. One accepted before at the same places is replaced. Raises EditRefused.

    Whether the rule may be accepted at all is for whoever offers it to say.
    """
    if not reason.strip() or not name.strip():
        raise EditRefused("Accepting needs a reason and a name.")
    new = made(
        Acceptance,
        rule=rule,
        where=tuple(where),
        positions=tuple(positions),
        numbers=dict(numbers or {}),
        reason=reason,
        name=name,
        date=date,
    )
    draft = Draft(job)
    others = (kept for kept in job.acceptances if (kept.rule, kept.where) != (new.rule, new.where))
    draft.acceptances = (*others, new)
    return draft.job()


def withdraw(job: Job, index: int) -> Job:
    """Take back the acceptance at that place of the list, counted from 0. Raises EditRefused."""
    if not 0 <= index < len(job.acceptances):
        raise EditRefused("That acceptance is not there any more.")
    draft = Draft(job)
    draft.acceptances = job.acceptances[:index] + job.acceptances[index + 1 :]
    return draft.job()


def add_reading(job: Job, red: str, black: str, **fields: Any) -> Job:
    """Record what a meter showed between two points; `fields` are those of a Reading. Raises EditRefused."""
    if red == black:
        raise EditRefused("A reading is taken between two points.")
    new = made(Reading, red=red, black=black, **fields)
    for point in (new.red, new.black):
        _measurable(job, point)
    if new.lifted is not None:
        _measurable(job, new.lifted)
    if new.position.partition("+")[0] not in get_args(Key):
        raise EditRefused(
            f"Position: {new.position!r} does not begin with one of {', '.join(get_args(Key))}."
        )
    draft = Draft(job)
    draft.readings = (*job.readings, new)
    return draft.job()


def remove_reading(job: Job, index: int) -> Job:
    """Take out the reading at that place of the list, counted from 0. Raises EditRefused."""
    if not 0 <= index < len(job.readings):
        raise EditRefused("That reading is not there any more.")
    draft = Draft(job)
    draft.readings = job.readings[:index] + job.readings[index + 1 :]
    return draft.job()


def _measurable(job: Job, point: str) -> None:
    if point in BATTERY_POINTS:
        return
    cavity = job.cavity(point) if kind_of(point) == "terminal" else None
    conductor = kind_of(point) == "wire end" and owner_of_end(point) in job.lookup.conductors
    if cavity is None and not conductor and point not in job.joints:
        raise EditRefused(f"There is no {point} to measure at.")
    if cavity is not None and cavity.airbag:
        raise EditRefused(f"{opening(job, point)} is of an airbag: nobody measures there.")
