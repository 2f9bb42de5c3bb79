"""A cable put between two bunches of ends, conductor by conductor."""

from __future__ import annotations

from collections.abc import Sequence

from core.edits.joins import colour_at, gauge_at, join
from core.edits.wires import add_cable
from core.errors import EditRefused
from core.job.document import Job
from core.job.wiring import Conductor


def join_by_cable(job: Job, pairs: Sequence[tuple[str, str]], name: str = "") -> Job:
    """Put one cable between pairs of ends; each conductor takes the colour and gauge of its first end.

    Raises EditRefused.
    """
    if not pairs:
        raise EditRefused("A cable needs at least one pair of ends.")
    conductors = [Conductor(colour=colour_at(job, a), gauge=gauge_at(job, a)) for a, _ in pairs]
    made = add_cable(job, conductors, name=name)
    cable = next(ref for ref in made.cables if ref not in job.cables)
    for number, (a, b) in enumerate(pairs, start=1):
        made = join(made, f"{cable}.{number}:a", a)
        made = join(made, f"{cable}.{number}:b", b)
    return made
