"""Where things in line stand between the outer columns: where few wires have to go around them."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from core.layout import metrics

DETOUR = 5.0  # a wire that must go around a block weighs as much as so many crossings
CLIMB = 150.0  # and so does a climb of so many units
BEYOND = 24.0  # and so much more height of the map
CLEAR = 14.0
APART = 60.0
MOST_TRIED = 120
MOST_TO_CROSS = 400


class Strand(NamedTuple):
    """A wire between the outer columns, from flag height to flag height."""

    left: float
    right: float

    def at(self, share: float) -> float:
        """Its height at a share of the way across, as its curve runs."""
        return self.left + (self.right - self.left) * share * share * (3 - 2 * share)


class Wish(NamedTuple):
    """A wire of the block's own: how far below its upper edge, and the sides and heights it may come from."""

    below: float
    ends: tuple[tuple[int, float], ...]


class Slots:
    """The room between the outer columns, which reach from `top` to `bottom`."""

    def __init__(self, strands: Iterable[Strand], top: float, bottom: float) -> None:
        self.strands, self.top, self.bottom = sorted(strands), top, bottom
        self.taken: list[tuple[float, float, float, float]] = []

    def take(self, left: float, right: float, top: float, bottom: float) -> None:
        self.taken.append((left, right, top, bottom))

    def best(self, spread: tuple[float, float], height: float, wishes: list[Wish], turn: int = 0) -> float:
        """The upper edge at which a block of this height stands best; `spread`: its shares of the way.

        With `turn`, the second best that lies well apart from the best, the third best, and so on.
        """
        first, last = spread
        spans = [sorted((s.at(max(0.0, first)), s.at(min(1.0, last)))) for s in self.strands]
        tops, bottoms = sorted(s[0] for s in spans), sorted(s[1] for s in spans)
        wanted = [sum(y for _, y in wish.ends) / len(wish.ends) - wish.below for wish in wishes]
        ideal = sum(wanted) / len(wanted) if wanted else 0.0
        tried = {ideal, self.top, self.bottom - height}
        tried.update(top - CLEAR - height for top in tops)
        tried.update(bottom + CLEAR for bottom in bottoms)
        for left, right, top, bottom in self.taken:
            if left < last and right > first:
                tried.update((top - height - metrics.BLOCK_GAP, bottom + metrics.BLOCK_GAP))
        nearest = sorted(tried, key=lambda top: (abs(top - ideal), top))[:MOST_TRIED]
        nearest += [min(tried), max(tried)]
        middle = (first + last) / 2
        beside = [(s.left, s.right, s.at(middle)) for s in self.strands[:MOST_TO_CROSS]]

        def cost(top: float) -> tuple[float, float]:
            low, high = top - CLEAR, top + height + CLEAR
            around = bisect_left(tops, high) - bisect_right(bottoms, low)
            own = sum(
                min(_own(top + below, side, far, beside) for side, far in ends) for below, ends in wishes
            )
            beyond = max(0.0, self.top - top) + max(0.0, top + height - self.bottom)
            return DETOUR * around + own + beyond / BEYOND, top

        free = [top for top in nearest if self._is_free(first, last, top, top + height)]
        if not free:
            return max(bottom for *_, bottom in self.taken) + metrics.BLOCK_GAP
        chosen: list[float] = []
        for _, top in sorted(map(cost, free)):
            if all(abs(top - other) > APART for other in chosen):
                chosen.append(top)
                if len(chosen) > turn:
                    break
        return chosen[-1]

    def _is_free(self, first: float, last: float, top: float, bottom: float) -> bool:
        gap = metrics.BLOCK_GAP
        return not any(
            left < last and right > first and high < bottom + gap and low > top - gap
            for left, right, high, low in self.taken
        )


def _own(here: float, side: int, far: float, beside: list[tuple[float, float, float]]) -> float:
    """What a wire from a block to a flag on one side costs: the strands it crosses, and its climb."""
    if side > 0:
        crossed = sum((right < far) != (level < here) for _, right, level in beside if right != far)
    else:
        crossed = sum((left < far) != (level < here) for left, _, level in beside if left != far)
    return crossed + abs(far - here) / CLIMB


def strands_between(
    groups: Iterable[tuple[str, ...]], left: Mapping[str, float], right: Mapping[str, float]
) -> list[Strand]:
    """The wires of these groups that run from a flag on the left to one on the right."""
    found: list[Strand] = []
    for group in groups:
        starts = [left[terminal] for terminal in group if terminal in left]
        ends = [right[terminal] for terminal in group if terminal in right]
        found += [Strand(start, end) for start in starts for end in ends]
    return found
