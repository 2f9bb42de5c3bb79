"""Which ends, wires and joints are one piece of copper: what hovering brings out."""

from __future__ import annotations

from core.ids import kind_of, other_end, owner_of_end
from core.job.document import Job

MOST_TRACED = 4_000


def net_of(job: Job, ref: str) -> frozenset[str]:
    """Ids of everything joined to this one by copper: through plugs, but not through parts."""
    found: set[str] = set()
    waiting = list(_starts(job, ref))
    while waiting and len(found) < MOST_TRACED:
        here = waiting.pop()
        if here in found:
            continue
        found.add(here)
        waiting += _neighbours(job, here)
    return frozenset(found)


def _starts(job: Job, ref: str) -> tuple[str, ...]:
    match kind_of(ref):
        case "terminal":
            return (ref,) if job.cavity(ref) is not None else ()
        case "joint":
            return (ref,) if ref in job.joints else ()
        case "wire" | "conductor":
            return (f"{ref}:a", f"{ref}:b", ref) if ref in job.lookup.conductors else ()
        case "wire end":
            return (ref,) if owner_of_end(ref) in job.lookup.conductors else ()
        case _:
            return ()


def _neighbours(job: Job, ref: str) -> list[str]:
    kind = kind_of(ref)
    if kind == "joint":
        return list(job.joints[ref].ends)
    found: list[str] = []
    joint = job.lookup.joint_of.get(ref)
    if joint is not None:
        found.append(joint)
    if kind == "terminal":
        found += job.lookup.crimped.get(ref, ())
        meets = job.lookup.meets.get(ref)
        if meets is not None:
            found.append(meets)
    elif kind == "wire end":
        conductor = job.lookup.conductors[owner_of_end(ref)]
        place = conductor.a_in if ref.endswith("a") else conductor.b_in
        found += [other_end(ref), owner_of_end(ref)]
        if place is not None:
            found.append(place)
    return found
