"""Readings: the meter on the map, what it showed, and taking a reading back."""

from __future__ import annotations

from functools import partial

from app.desk import Desk
from app.work.expected import Asked
from app.work.points import is_airbag, is_there, point_words
from core.edits import record
from core.ids import in_order, kind_of
from core.job.document import Job


def selected_points(desk: Desk) -> list[str]:
    """What is selected that a meter's point can stand on, in order."""
    found = []
    for ref in in_order(desk.session.selection):
        point = f"{ref}:a" if kind_of(ref) in ("wire", "conductor") else ref
        if is_there(desk.session.job, point) and not is_airbag(desk.session.job, point):
            found.append(point)
    return found


def meter(desk: Desk) -> None:
    """Take the meter to the map: red on what is selected; with red on already, black on it."""
    desk.places.show_place("map")
    desk.meter.take(selected_points(desk))


def meter_red(desk: Desk) -> None:
    """The red point, once more, on what is selected."""
    desk.places.show_place("map")
    desk.meter.take(selected_points(desk), "red")


def enter(desk: Desk, asked: Asked, value: float, lead_ohms: float, name: str, date: str) -> bool:
    """Keep what the meter showed. It replaces the same person's reading of that day at these points."""
    words = words_of(desk.session.job, asked)

    def edit(job: Job) -> Job:
        same = (
            at
            for at, old in enumerate(job.readings)
            if Asked.of(old) == asked and (old.name, old.date) == (name, date)
        )
        before = next(same, None)
        if before is not None:
            job = record.remove_reading(job, before)
        return record.add_reading(
            job,
            asked.red,
            asked.black,
            quantity=asked.quantity,
            position=asked.position,
            value=value,
            loaded=asked.loaded,
            lifted=asked.lifted,
            bench=asked.bench,
            lead_ohms=lead_ohms if asked.quantity == "ohms" else 0.0,
            name=name,
            date=date,
        )

    return desk.session.apply(f"Reading {words}", edit)


def take_back(desk: Desk, asked: Asked, at: int) -> None:
    """Take out the reading at that place of the job's list."""
    words = words_of(desk.session.job, asked)
    desk.session.apply(f"Take back reading {words}", partial(record.remove_reading, index=at))


def words_of(job: Job, asked: Asked) -> str:
    """`at RAD-4 to battery − in run`."""
    return f"at {point_words(job, asked.red)} to {point_words(job, asked.black)} in {asked.position}"
