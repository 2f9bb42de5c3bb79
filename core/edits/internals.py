"""What a part does inside: pieces added, changed and taken away."""

from __future__ import annotations

from typing import Any

from core.edits.base import checked, the_part
from core.edits.draft import Draft
from core.errors import EditRefused
from core.ids import local
from core.job.document import Job
from core.job.internals import Internal, terminals_of
from core.job.parts import Part


def add_internal(job: Job, tag: str, internal: Internal) -> Job:
    """Give a part one more piece, after those it has. Raises EditRefused, as where it names no cavity."""
    part = the_part(job, tag)
    return _with(job, part, (*part.internals, internal))


def set_internal(job: Job, tag: str, index: int, **fields: Any) -> Job:
    """Change fields of the piece at that place of the part's list, counted from 0; its kind stays.

    Raises EditRefused.
    """
    part = the_part(job, tag)
    old = _at(part, index)
    strange = fields.keys() - (type(old).model_fields.keys() - {"kind"})
    if strange:
        raise EditRefused(f"A {old.kind} has no {min(strange).replace('_', ' ')}.")
    changed = checked(old, **fields)
    return _with(job, part, (*part.internals[:index], changed, *part.internals[index + 1 :]))


def remove_internal(job: Job, tag: str, index: int) -> Job:
    """Take away the piece at that place of the part's list, counted from 0. Raises EditRefused."""
    part = the_part(job, tag)
    _at(part, index)
    return _with(job, part, part.internals[:index] + part.internals[index + 1 :])


def _at(part: Part, index: int) -> Internal:
    if not 0 <= index < len(part.internals):
        raise EditRefused(f"{part.id} has no such piece inside any more.")
    return part.internals[index]


def _with(job: Job, part: Part, internals: tuple[Internal, ...]) -> Job:
    known = {local(ref) for ref in part.cavities}
    strange = [name for internal in internals for name in terminals_of(internal) if name not in known]
    if strange:
        raise EditRefused(f"{part.id} has no cavity {strange[0]}.")
    draft = Draft(job)
    if internals != part.internals:
        draft.parts.put(part.id, checked(part, internals=internals))
    return draft.job()
