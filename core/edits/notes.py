"""Free notes pinned to the map."""

from __future__ import annotations

from collections.abc import Iterable

from core.edits.base import checked, made
from core.edits.draft import Draft
from core.errors import EditRefused
from core.job.document import Job
from core.job.record import Note
from core.job.view import Place


def add_note(job: Job, text: str, at: tuple[float, float]) -> Job:
    """Pin a note to a point of the map (map units). Raises EditRefused."""
    draft = Draft(job)
    name = draft.next_id("N")
    draft.notes.put(name, made(Note, id=name, text=_words(text)))
    draft.places.put(name, made(Place, x=at[0], y=at[1], kept=True))
    return draft.job()


def set_note(job: Job, note: str, text: str) -> Job:
    """Change a note's words. Raises EditRefused."""
    old = _the_note(job, note)
    new = checked(old, text=_words(text))
    draft = Draft(job)
    if new != old:
        draft.notes.put(note, new)
    return draft.job()


def remove_notes(job: Job, notes: Iterable[str]) -> Job:
    """Take notes off the map. Raises EditRefused."""
    draft = Draft(job)
    for name in dict.fromkeys(notes):
        _the_note(job, name)
        draft.notes.drop(name)
        draft.places.drop(name)
    return draft.job()


def _words(text: str) -> str:
    if not text.strip():
        raise EditRefused("A note needs words.")
    return text


def _the_note(job: Job, name: str) -> Note:
    note = job.notes.get(name)
    if note is None:
        raise EditRefused(f"There is no note {name}.")
    return note
