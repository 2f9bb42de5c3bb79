"""Which wires lie beside each other in the lanes around blocks, and in which order."""

from __future__ import annotations

from bisect import insort
from dataclasses import dataclass, field

from core.layout.routes import Lane


@dataclass
class LaneBook:
    """The lanes that each wire takes, and each lane's wires from the block outwards."""

    taken: dict[str, tuple[tuple[Lane, float], ...]] = field(default_factory=dict)
    wires: dict[Lane, tuple[tuple[float, str], ...]] = field(default_factory=dict)

    def copy(self) -> LaneBook:
        return LaneBook(dict(self.taken), dict(self.wires))

    def put(self, key: str, lanes: tuple[tuple[Lane, float], ...]) -> set[str]:
        """Say which lanes a wire takes; returns the other wires that must make room for it or close up."""
        old = self.taken.get(key, ())
        if old == lanes:
            return set()
        moved: set[str] = set()
        for lane, order in old:
            left = tuple(wire for wire in self.wires[lane] if wire != (order, key))
            moved.update(wire for _, wire in left)
            if left:
                self.wires[lane] = left
            else:
                del self.wires[lane]
        for lane, order in lanes:
            wires = list(self.wires.get(lane, ()))
            moved.update(wire for _, wire in wires)
            insort(wires, (order, key))
            self.wires[lane] = tuple(wires)
        if lanes:
            self.taken[key] = lanes
        else:
            self.taken.pop(key, None)
        moved.discard(key)
        return moved

    def tracks(self, key: str) -> dict[Lane, tuple[int, int]]:
        """A wire's place in each of its lanes, and of how many."""
        return {
            lane: (self.wires[lane].index((order, key)), len(self.wires[lane]))
            for lane, order in self.taken.get(key, ())
        }
