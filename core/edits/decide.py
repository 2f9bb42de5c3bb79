"""What is still to decide."""

from __future__ import annotations

from collections.abc import Iterator

from core.ids import terminal
from core.job.document import Job
from core.job.parts import Part


def open_ends(job: Job) -> tuple[str, ...]:
    """The ends about which nothing was decided: no joint, no finish, in document order.

    Counted are leads, loose leads and free ends of wires. A car's plug is left as it is unless somebody
    decides otherwise; a cavity without a lead is nobody's; a donor is taken apart anyway.
    """
    return tuple(end for end in _ends(job) if end not in job.lookup.joint_of and end not in job.finishes)


def _ends(job: Job) -> Iterator[str]:
    for part in job.parts.values():
        if part.state != "donor":
            yield from _leads(part)
    for name, conductor in job.lookup.conductors.items():
        if conductor.a_in is None:
            yield f"{name}:a"
        if conductor.b_in is None:
            yield f"{name}:b"


def _leads(part: Part) -> Iterator[str]:
    for connector in part.connectors:
        if part.state == "on the car" and connector.face is not None:
            continue
        for cavity in connector.cavities:
            if cavity.filled and (cavity.lead is not None or connector.face is None):
                yield terminal(part.id, connector.name, cavity.pin)
