"""Small jobs for the screen's tests, made from the shop library."""

from __future__ import annotations

from core.edits.joins import join
from core.edits.parts import add_mated, add_part
from core.job.document import Job
from core.library.library import Library


def bench_job(library: Library) -> Job:
    """A radio plug on the car, mated, a receiver and a ground point; nothing is joined yet."""
    plug = library.parts["Radio plug, 18-way"]
    assert plug.mate is not None
    job = add_mated(Job(), plug.part, plug.mate, at=(-420.0, -200.0))
    job = add_part(job, library.parts["Receiver, 12-way lead set"].part, at=(420.0, -200.0))
    return add_part(job, library.parts["Body ground point"].part, at=(0.0, 260.0))


def terminal_with(job: Job, part: str, function: str) -> str:
    """The terminal of a part that has the function."""
    return next(ref for ref, cavity in job.parts[part].cavities.items() if cavity.function == function)


def joined_job(library: Library) -> Job:
    """The same with constant and ground joined."""
    job = bench_job(library)
    for function in ("constant", "ground"):
        job = join(job, terminal_with(job, "RAD", function), terminal_with(job, "REC", function))
    return job
