"""How far a conflict is from a mistake: steps between terminals, joints and wires that hang together."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable

from core.ids import connector_of, kind_of, owner_of_end, part_of
from core.job.document import Job
from core.net.pieces import owners, pieces

FAR = 99


class Neighbours:
    """Of the job before and after a mistake together: what was joined counts as what is joined now.

    One step: from a terminal or wire to its joint, from a cavity to the wire in it, from a terminal to the
    rest of its part. A contact and the one it meets are one place.
    """

    def __init__(self, *jobs: Job) -> None:
        self._near: dict[str, set[str]] = {}
        self._same: dict[str, str] = {}
        for job in jobs:
            for part in job.parts.values():
                for ref in part.cavities:
                    self._join(ref, part.id)
            for here, there in job.lookup.meets.items():
                if there is not None:
                    self._same[max(here, there)] = min(here, there)
        for job in jobs:
            for owner in owners(job):
                for edge in pieces(job, owner).edges:
                    if edge.kind == "wire":
                        self._join(edge.a, edge.key)
                        self._join(edge.key, edge.b)
                    elif edge.kind != "mate":
                        self._join(edge.a, edge.b)
        for this, that in self._same.items():
            self._near.setdefault(this, set()).add(that)
            self._near.setdefault(that, set()).add(this)

    def _join(self, a: str, b: str) -> None:
        self._near.setdefault(a, set()).add(b)
        self._near.setdefault(b, set()).add(a)

    def within(self, places: Iterable[str], most: int) -> dict[str, int]:
        """Everything within so many steps, with how many. A part's own id stands for all its terminals."""
        found = {owner_of_end(place): 0 for place in places}
        queue = deque(found)
        while queue:
            here = queue.popleft()
            for there in self._near.get(here, ()):
                free = self._same.get(here) == there or self._same.get(there) == here
                # Through a part is one step, not two.
                free = free or (kind_of(there) == "part" and kind_of(here) == "terminal")
                steps = found[here] + (not free)
                if steps <= most and steps < found.get(there, FAR):
                    found[there] = steps
                    queue.append(there)
        return found


def hops(near: dict[str, int], refs: Iterable[str]) -> int:
    """The fewest steps to any of the ids; `FAR` where none is within reach."""
    least = FAR
    for ref in refs:
        name = owner_of_end(ref)
        steps = near.get(name)
        if steps is None and kind_of(name) in ("connector", "terminal"):
            inside = near.get(part_of(connector_of(name)))
            steps = None if inside is None else inside + 1
        if steps is not None:
            least = min(least, steps)
    return least
