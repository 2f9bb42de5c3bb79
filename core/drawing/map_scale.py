"""From map units to points: blocks keep one scale, the corridors between them may be narrowed further."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass

LEAST_CORRIDOR = 80.0
"""Map units: a gap narrower than this is not narrowed."""


@dataclass(frozen=True)
class Stretch:
    """A line in pieces: `starts` in map units, `points` where each begins, `slopes` in points a unit."""

    starts: tuple[float, ...]
    points: tuple[float, ...]
    slopes: tuple[float, ...]

    def __call__(self, x: float) -> float:
        piece = max(0, bisect_right(self.starts, x) - 1)
        return self.points[piece] + (x - self.starts[piece]) * self.slopes[piece]


def stretch(
    left: float, right: float, blocks: Iterable[tuple[float, float]], room: float, ratio: float
) -> tuple[Stretch, float]:
    """The line that brings `left` to 0 and `right` to `room`, and the scale of the blocks.

    `blocks` are their left and right edges; corridors get `ratio` of the blocks' scale.
    """
    cuts: list[tuple[float, float]] = []
    reached = left
    for start, end in sorted(blocks):
        if start - reached >= LEAST_CORRIDOR:
            cuts.append((reached, start))
        reached = max(reached, end)
    if right - reached >= LEAST_CORRIDOR:
        cuts.append((reached, right))
    corridors = sum(end - start for start, end in cuts)
    scale = room / max(right - left - corridors + ratio * corridors, 1.0)
    starts, points, slopes = [left], [0.0], [scale]
    at = left
    point = 0.0
    for start, end in cuts:
        point += (start - at) * scale
        starts += [start, end]
        points += [point, point + (end - start) * scale * ratio]
        slopes += [scale * ratio, scale]
        point += (end - start) * scale * ratio
        at = end
    return Stretch(tuple(starts), tuple(points), tuple(slopes)), scale
