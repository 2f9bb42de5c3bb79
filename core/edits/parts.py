"""Parts on the job: added, removed, named, described."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from core.edits.base import checked, made, only, the_part
from core.edits.cavities import remove_lead, set_cavities, set_cavity, set_lead, set_leads, swap_pins
from core.edits.draft import Draft
from core.edits.mates import mate
from core.edits.replacing import lost_joins, replace_part
from core.errors import EditRefused
from core.ids import free_tag, is_tag
from core.job.document import Job
from core.job.parts import Part
from core.job.view import Place

__all__ = [
    "add_mated",
    "add_part",
    "added_tag",
    "lost_joins",
    "remove_lead",
    "remove_parts",
    "rename_tag",
    "replace_part",
    "set_cavities",
    "set_cavity",
    "set_lead",
    "set_leads",
    "set_part",
    "set_parts",
    "swap_pins",
]

_FIELDS = frozenset({"name", "kind", "maker", "type", "serial", "state", "note", "done"})

Point = tuple[float, float]


def add_part(job: Job, part: Part, at: Point | None = None) -> Job:
    """Add a part; its tag gets a number where it is taken. `at` is its place on the map, in map units."""
    draft = Draft(job)
    put_part(draft, part, free_tag(part.id, job.parts), at)
    return draft.job()


def added_tag(before: Job, after: Job) -> str:
    """The tag of the part that was added between the two; the first where there were several."""
    return next(tag for tag in after.parts if tag not in before.parts)


def add_mated(
    job: Job,
    part: Part,
    mate_part: Part,
    at: Point | None = None,
    pairs: Sequence[tuple[str, str]] | None = None,
) -> Job:
    """Add two halves, plugged together. `pairs` names the connectors that meet, else those that fit.

    The pair stands at `at`; a tag such as RADC, made from the other's RAD, stays so: RAD2, RAD2C.
    Raises EditRefused where no connectors fit.
    """
    draft = Draft(job)
    tag = free_tag(part.id, job.parts)
    suffix = mate_part.id.removeprefix(part.id) if mate_part.id.startswith(part.id) else None
    other = free_tag(tag + suffix if suffix else mate_part.id, {*job.parts, tag})
    part_at, other_at = (None, at) if part.state == "on the car" != mate_part.state else (at, None)
    put_part(draft, part, tag, part_at)
    put_part(draft, mate_part, other, other_at)
    meeting = list(pairs) if pairs is not None else _fitting(part, mate_part)
    if not meeting:
        raise EditRefused(f"No plug of {part.name} fits one of {mate_part.name}.")
    job = draft.job()
    for mine, theirs in meeting:
        job = mate(job, f"{tag}.{mine}", f"{other}.{theirs}")
    return job


def _fitting(part: Part, other: Part) -> list[tuple[str, str]]:
    """Connectors that can be mated: each once, those of one name first."""
    free = [c for c in other.connectors if c.face is not None]
    found: list[tuple[str, str]] = []
    for connector in part.connectors:
        face = connector.face
        fits = [c for c in free if face is not None and c.face is not None and face.fits(c.face)]
        if fits:
            best = next((c for c in fits if c.name == connector.name), fits[0])
            free.remove(best)
            found.append((connector.name, best.name))
    return found


def put_part(draft: Draft, part: Part, tag: str, at: Point | None) -> None:
    draft.parts.put(tag, checked(part, id=tag) if part.id != tag else part)
    if at is not None:
        draft.places.put(tag, made(Place, x=at[0], y=at[1], kept=True))


def remove_parts(job: Job, tags: Iterable[str]) -> Job:
    """Take parts away with their mates; wires that were joined to them stay, with free ends.

    Raises EditRefused.
    """
    draft = Draft(job)
    for tag in dict.fromkeys(tags):
        the_part(job, tag)
        draft.drop_part(tag)
    return draft.job()


def rename_tag(job: Job, tag: str, new: str) -> Job:
    """Give a part another tag, everywhere it is named. Raises EditRefused."""
    the_part(job, tag)
    if new == tag:
        return job
    if not is_tag(new):
        raise EditRefused(
            f"{new!r} cannot be a tag: a capital, then capitals and digits, and not like J3 or W12."
        )
    if new in job.parts:
        raise EditRefused(f"There is a part {new} already.")
    draft = Draft(job)
    draft.rename_part(tag, new)
    return draft.job()


def set_part(job: Job, tag: str, **fields: Any) -> Job:
    """Change a part's name, kind, maker, type, serial, state, note or done. Raises EditRefused."""
    return set_parts(job, [tag], **fields)


def set_parts(job: Job, tags: Iterable[str], **fields: Any) -> Job:
    """The same for many parts at once. Raises EditRefused."""
    only(fields, _FIELDS)
    draft = Draft(job)
    for tag in tags:
        old = the_part(job, tag)
        new = checked(old, **fields)
        if new != old:
            draft.parts.put(tag, new)
    return draft.job()
