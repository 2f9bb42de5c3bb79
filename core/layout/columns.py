"""Blocks in columns: the car's plugs left, things in line in the middle, equipment right; few crossings."""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from core.ids import natural_key
from core.layout import metrics
from core.layout.blocks import Standing, extent, stand
from core.layout.frames import Frame
from core.layout.panels import in_panels
from core.layout.shapes import Point, Rect
from core.layout.slots import Slots, Wish, strands_between

CAR = 0
MOST_LAYERS = 3
EQUIPMENT = MOST_LAYERS + 1
SWEEPS = 8
MOST_TO_SWAP = 60
MOST_LINKS_TO_SWAP = 1_500
NO_TURNS: Mapping[str, int] = MappingProxyType({})


class Link(NamedTuple):
    """Something joined between two blocks, and how far below their corners it begins and ends."""

    a: str
    a_y: float
    b: str
    b_y: float


class Columns:
    """Chooses corners for blocks. `facing`: block of an opened pair to the frame that stands beside it;
    `inner`: equipment that is to stand between the outer columns."""

    def __init__(
        self, standing: Standing, facing: Mapping[str, Frame], inner: frozenset[str] = frozenset()
    ) -> None:
        self.frames, self.standing, self.facing, self.inner = standing.frames, standing, facing, inner
        self.links = _links(standing)
        self.links_at: dict[str, list[Link]] = {}
        for link in self.links:
            self.links_at.setdefault(link.a, []).append(link)
            self.links_at.setdefault(link.b, []).append(Link(link.b, link.b_y, link.a, link.a_y))
        self.column = self._columns()
        self._kept: tuple[tuple[dict[int, list[str]], dict[str, float]], dict[int, float]] | None = None

    def arranged(
        self, fixed: Mapping[str, Point], tags: Iterable[str], turns: Mapping[str, int] = NO_TURNS
    ) -> dict[str, Point]:
        """Corners for the blocks in `tags`, clear of each other and of the blocks that stand fixed.

        `turns` names blocks of the inner columns that are to stand at their second best height, or third.
        """
        free = sorted(tags, key=natural_key)
        if self._kept is None:
            lines = self._lines(fixed, free)
            self._kept = self._in_order(fixed, free, lines), lines
        (order, heights), lines = self._kept
        heights = dict(heights)
        self._between(order, lines, heights, fixed, turns)
        corners = self._clear(order, lines, heights, fixed)
        if fixed:
            return corners
        areas = {
            tag: _at(self.area(tag, either=True), self._origin(tag, corner))
            for tag, corner in corners.items()
        }
        return in_panels(corners, areas)

    def _in_order(
        self, fixed: Mapping[str, Point], free: list[str], lines: Mapping[int, float]
    ) -> tuple[dict[int, list[str]], dict[str, float]]:
        """The blocks of each column in the order that crosses least, and their heights."""
        order = {c: [tag for tag in free if self.column[tag] == c] for c in sorted(lines)}
        heights = {tag: corner.y for tag, corner in fixed.items()}
        start = min(heights.values(), default=0.0)
        best: tuple[int, float] | None = None
        for sweep in range(SWEEPS):
            for column in order if sweep % 2 == 0 else reversed(order):
                self._stack(order[column], heights, start, sort=sweep > 0 or column != CAR)
            cost = self.cost(heights)
            if best is None or cost < best:
                best, kept = cost, {c: list(tags) for c, tags in order.items()}
        self._swap(kept, heights, start)
        for column in kept:
            self._stack(kept[column], heights, start, sort=False)
        return kept, heights

    def within(self) -> list[str]:
        """The blocks of the inner columns, what has most wires first."""
        found = [tag for tag, column in self.column.items() if CAR < column < EQUIPMENT]
        return sorted(found, key=lambda tag: (-len(self.links_at.get(tag, ())), natural_key(tag)))

    def joined_beside(self) -> list[str]:
        """The equipment that is joined to nothing but other equipment, what has most such wires first."""
        found = [
            tag
            for tag, column in self.column.items()
            if column == EQUIPMENT
            and (links := self.links_at.get(tag, ()))
            and all(self.column[link.b] == EQUIPMENT for link in links)
        ]
        return sorted(found, key=lambda tag: (-len(self.links_at[tag]), natural_key(tag)))

    def _between(
        self,
        order: Mapping[int, list[str]],
        lines: Mapping[int, float],
        heights: dict[str, float],
        fixed: Mapping[str, Point],
        turns: Mapping[str, int],
    ) -> None:
        """Find for each block of the inner columns the height at which few wires must go around it."""
        inner = [tag for column in sorted(order) if CAR < column < EQUIPMENT for tag in order[column]]
        if not inner or CAR not in lines or EQUIPMENT not in lines:
            return
        outer = {tag: y for tag, y in heights.items() if not CAR < self.column[tag] < EQUIPMENT}
        corners = {tag: Point(self.corner_x(tag, lines[self.column[tag]]), y) for tag, y in outer.items()}
        standing = self.standing.moved(corners | dict(fixed))
        sides: tuple[dict[str, float], dict[str, float]] = ({}, {})
        for tag in outer:
            flags = stand(self.frames[tag], standing).flags
            sides[self.column[tag] == EQUIPMENT].update((flag.terminal, flag.anchor.y) for flag in flags)
        groups = [group for name, group in self.standing.groups.items() if group[0] == name]
        top, bottom = min(outer.values()), max(y + self._height(tag) for tag, y in outer.items())
        slots = Slots(strands_between(groups, *sides), top, bottom)
        width = lines[EQUIPMENT] - lines[CAR]
        shares: dict[str, tuple[float, float]] = {}
        for tag in (*fixed, *inner):
            if CAR < self.column[tag] < EQUIPMENT:
                area, origin = self.area(tag), lines[self.column[tag]]
                shares[tag] = (
                    (origin + area.x - lines[CAR]) / width,
                    (origin + area.right - lines[CAR]) / width,
                )
                if tag in fixed:
                    slots.take(*shares[tag], fixed[tag].y, fixed[tag].y + area.height)
        inner.sort(key=lambda tag: (-len(self.links_at.get(tag, ())), natural_key(tag)))
        for tag in inner:
            heights[tag] = slots.best(
                shares[tag], self._height(tag), self._wishes(tag, sides), turns.get(tag, 0)
            )
            slots.take(*shares[tag], heights[tag], heights[tag] + self._height(tag))

    def _wishes(self, tag: str, sides: tuple[dict[str, float], dict[str, float]]) -> list[Wish]:
        found: list[Wish] = []
        for terminal, cell in self.frames[tag].cells.items():
            ends = tuple(
                (side, heights[member])
                for member in self.standing.pull(terminal)
                for side, heights in zip((-1, 1), sides, strict=True)
                if member in heights
            )
            if ends:
                found.append(Wish(cell.y, ends))
        return found

    def _columns(self) -> dict[str, int]:
        """The column of every block; things in line stand the further right the more lie before them."""
        column: dict[str, int] = {}
        ring: list[str] = []
        for tag in sorted(self.frames, key=natural_key):
            frame = self.frames[tag]
            if frame.on_the_car:
                column[tag] = CAR
                ring.append(tag)
            elif tag in self.inner:
                column[tag] = 1
            elif not frame.in_line:
                column[tag] = EQUIPMENT
        for layer in range(1, MOST_LAYERS + 1):
            beside = {link.b for tag in ring for link in self.links_at.get(tag, ())}
            ring = sorted(tag for tag in beside if tag not in column)
            column.update(dict.fromkeys(ring, layer))
        return {tag: column.get(tag, 1) for tag in self.frames}

    def _lines(self, fixed: Mapping[str, Point], free: list[str]) -> dict[int, float]:
        """The x on which each column is lined up: flags of the outer columns, middles of the inner."""
        widest: dict[int, Rect] = {}
        for tag in self.frames:
            if tag in fixed or tag in free:
                area = self.area(tag)
                old = widest.get(self.column[tag], area)
                left, right = min(old.x, area.x), max(old.right, area.right)
                widest[self.column[tag]] = Rect(left, 0.0, right - left, 0.0)
        inner = [column for column in widest if column not in (CAR, EQUIPMENT)]
        gap = metrics.HALF_CORRIDOR if inner else metrics.CORRIDOR
        lines: dict[int, float] = {}
        x = 0.0
        for column in sorted(widest):
            if column == CAR:
                x = widest[column].width
                lines[column] = x
            elif column == EQUIPMENT:
                x = x + gap if lines else 0.0
                lines[column] = x
            else:
                x = x + gap if lines else 0.0
                lines[column] = x - widest[column].x
                x += widest[column].width
        if fixed:
            shifts = [fixed[tag].x - self.corner_x(tag, lines[self.column[tag]]) for tag in sorted(fixed)]
            shift = sorted(shifts)[len(shifts) // 2]
            lines = {column: line + shift for column, line in lines.items()}
        return lines

    def corner_x(self, tag: str, line: float) -> float:
        """The x of a block's corner where its column is lined up on `line`."""
        frame = self.frames[tag]
        flags = metrics.FAN_GAP + frame.flag_width
        if self.column[tag] == CAR:
            return line - flags - frame.width
        return line + flags if self.column[tag] == EQUIPMENT else line - frame.width / 2

    def area(self, tag: str, either: bool = False) -> Rect:
        """What a block covers around its corner; for the inner columns, around the middle of its upper edge.

        `either` counts flags on both sides: beside fixed blocks it is not known which way they will turn.
        """
        frame, column = self.frames[tag], self.column[tag]
        rect = extent(frame, either or column != CAR, either or column != EQUIPMENT)
        beside = self.facing.get(tag)
        if beside is not None:
            wide = beside.width + metrics.MATE_GAP + 2 * metrics.TITLE_MOST / 3
            left = -wide if column == CAR or either else rect.x
            right = frame.width + wide if column != CAR or either else rect.right
            left, right = min(left, rect.x), max(right, rect.right)
            rect = Rect(left, 0.0, right - left, max(frame.height, beside.height))
        if column in (CAR, EQUIPMENT):
            return rect
        return Rect(rect.x - frame.width / 2, 0.0, rect.width, rect.height)

    def _height(self, tag: str) -> float:
        return self.area(tag).height

    def _stack(self, tags: list[str], heights: dict[str, float], start: float, *, sort: bool) -> None:
        """Put a column in the order its links pull it, each block as near to its pull as others let it."""
        pulls = {tag: self._pull(tag, heights) for tag in tags}
        if sort:
            linked = [tag for tag in tags if pulls[tag] is not None]
            linked.sort(key=lambda tag: pulls[tag] or 0.0)
            lonely = [tag for tag in tags if pulls[tag] is None]
            tags[:] = linked + lonely
        packed: list[tuple[float, float, int]] = []  # sum of wishes, weight, count: pooled neighbours
        offset, offsets = 0.0, []
        for tag in tags:
            offsets.append(offset)
            pull = pulls[tag]
            wish, weight = ((start + offset), 0.01) if pull is None else (pull, 1.0)
            if self.column[tag] == CAR:
                wish = start + offset
            packed.append(((wish - offset) * weight, weight, 1))
            while len(packed) > 1 and packed[-2][0] / packed[-2][1] > packed[-1][0] / packed[-1][1]:
                last, before = packed.pop(), packed.pop()
                packed.append((last[0] + before[0], last[1] + before[1], last[2] + before[2]))
            offset += self._height(tag) + metrics.BLOCK_GAP
        place = iter(tags)
        at = iter(offsets)
        for total, weight, count in packed:
            for _ in range(count):
                heights[next(place)] = max(start, total / weight) + next(at)

    def _pull(self, tag: str, heights: Mapping[str, float]) -> float | None:
        wishes = [
            heights[link.b] + link.b_y - link.a_y for link in self.links_at.get(tag, ()) if link.b in heights
        ]
        return sum(wishes) / len(wishes) if wishes else None

    def cost(self, heights: Mapping[str, float]) -> tuple[int, float]:
        """Crossings between columns, then how far links climb."""
        ends: dict[tuple[int, int], list[tuple[float, float]]] = {}
        climb = 0.0
        for a, a_y, b, b_y in self.links:
            if a not in heights or b not in heights:
                continue
            one, other = (self.column[a], heights[a] + a_y), (self.column[b], heights[b] + b_y)
            climb += abs(one[1] - other[1])
            if one > other:
                one, other = other, one
            ends.setdefault((one[0], other[0]), []).append((one[1], other[1]))
        crossings = sum(_inversions(pairs) for (a, b), pairs in sorted(ends.items()) if a != b)
        return crossings, climb

    def _swap(self, order: dict[int, list[str]], heights: dict[str, float], start: float) -> None:
        """Try neighbours the other way round, as long as that helps."""
        if sum(map(len, order.values())) > MOST_TO_SWAP or len(self.links) > MOST_LINKS_TO_SWAP:
            return

        def cost() -> tuple[int, float]:
            for tags in order.values():
                self._stack(tags, heights, start, sort=False)
            return self.cost(heights)

        best = cost()
        for _ in range(3):
            before = best
            for tags in order.values():
                for index in range(len(tags) - 1):
                    tags[index], tags[index + 1] = tags[index + 1], tags[index]
                    now = cost()
                    if now < best:
                        best = now
                    else:
                        tags[index], tags[index + 1] = tags[index + 1], tags[index]
            if best == before:
                return

    def _clear(
        self,
        order: Mapping[int, list[str]],
        lines: Mapping[int, float],
        heights: Mapping[str, float],
        fixed: Mapping[str, Point],
    ) -> dict[str, Point]:
        """Corners from columns and heights; what would lie over another block goes below it."""
        either = bool(fixed)
        taken = [_at(self.area(tag, either=True), self._origin(tag, corner)) for tag, corner in fixed.items()]
        found: dict[str, Point] = {}
        for column, tags in order.items():
            for tag in tags:
                corner = Point(self.corner_x(tag, lines[column]), heights[tag])
                rect = _at(self.area(tag, either), self._origin(tag, corner))
                while over := [other for other in taken if other.overlaps(_grown(rect))]:
                    down = max(other.bottom for other in over) + metrics.BLOCK_GAP
                    corner = Point(corner.x, down)
                    rect = _at(self.area(tag, either), self._origin(tag, corner))
                taken.append(rect)
                found[tag] = corner
        return found

    def _origin(self, tag: str, corner: Point) -> Point:
        inner = self.column[tag] not in (CAR, EQUIPMENT)
        return Point(corner.x + self.frames[tag].width / 2, corner.y) if inner else corner


def _links(standing: Standing) -> list[Link]:
    found: list[Link] = []
    for terminal in sorted(standing.groups):
        group = standing.pull(terminal)
        if not group or group[0] != terminal:
            continue
        cells: list[tuple[str, float]] = []
        for member in group:
            block = standing.block(member)
            if block is not None and member in standing.frames[block].cells:
                cells.append((block, standing.frames[block].cells[member].y))
        for index, (a, a_y) in enumerate(cells):
            found += [Link(a, a_y, b, b_y) for b, b_y in cells[index + 1 :] if a != b]
    return found


def _inversions(pairs: list[tuple[float, float]]) -> int:
    """How many pairs of straight lines between two columns cross."""
    seen: list[float] = []
    count = 0
    for _, far in sorted(pairs):
        count += len(seen) - bisect_right(seen, far)
        insort(seen, far)
    return count


def _at(area: Rect, origin: Point) -> Rect:
    return Rect(area.x + origin.x, area.y + origin.y, area.width, area.height)


def _grown(rect: Rect) -> Rect:
    margin = metrics.BLOCK_GAP / 2
    return Rect(rect.x - margin, rect.y - margin, rect.width + 2 * margin, rect.height + 2 * margin)
