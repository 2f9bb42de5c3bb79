"""Which parts are drawn as one block: a plug of the car goes with the plug that mates with it."""

from __future__ import annotations

from collections.abc import Mapping

from core.ids import natural_key, part_of
from core.job.document import Job
from core.job.parts import Connector, Part
from core.job.wiring import Mate


def absorbers(job: Job) -> dict[str, str]:
    """Part to the part that draws it, for every part that has no block of its own.

    A half is drawn with its mate where every connector of it is plugged into that one part, the faces have
    the same grid, and no mate between the two is shown open.
    """
    opened = set(job.view.opened)
    partners: dict[str, list[tuple[Mate, str]]] = {}
    for mate in job.mates.values():
        one, other = part_of(mate.a), part_of(mate.b)
        if one != other and one in job.parts and other in job.parts:
            partners.setdefault(one, []).append((mate, other))
            partners.setdefault(other, []).append((mate, one))
    found: dict[str, str] = {}
    carriers: set[str] = set()
    for tag in sorted(partners, key=lambda tag: _standing(job.parts[tag]), reverse=True):
        others = {other for _, other in partners[tag]}
        if len(others) != 1 or tag in carriers:
            continue
        other = others.pop()
        whole = len(partners[tag]) == len(job.parts[tag].connectors)
        closed = all(mate.id not in opened and _same_grid(job, mate) for mate, _ in partners[tag])
        if (
            whole
            and closed
            and other not in found
            and _standing(job.parts[tag]) > _standing(job.parts[other])
        ):
            found[tag] = other
            carriers.add(other)
    return found


def _standing(part: Part) -> tuple[bool, bool, tuple[tuple[int, int | str], ...]]:
    """The lower one carries the pair: what is to fit before what is on the car, leads before none."""
    leads = any(cavity.lead is not None for c in part.connectors for cavity in c.cavities)
    return (part.state == "on the car", not leads, natural_key(part.id))


def _same_grid(job: Job, mate: Mate) -> bool:
    a, b = job.connector(mate.a), job.connector(mate.b)
    if a is None or b is None or a.face is None or b.face is None:
        return False
    return (a.face.rows, a.face.columns) == (b.face.rows, b.face.columns)


def meeting(connector: Connector, other: Connector, other_id: str) -> Mapping[str, str]:
    """Pin of `connector` to the terminal of `other` that meets it, for every cavity that `other` has."""
    if connector.face is None or other.face is None:
        return {}
    met = ((pin, connector.face.opposite(pin, other.face)) for pin in connector.face.places)
    return {pin: f"{other_id}-{there}" for pin, there in met if there is not None and there in other.by_pin}
