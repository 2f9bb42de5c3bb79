"""Auto-arrange: parts in columns, so that few wires cross. What a person moved stays put."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

from core.ids import free_tag, kind_of, natural_key
from core.job.document import Job
from core.job.parts import Part
from core.job.view import Place
from core.layout.blocks import Standing
from core.layout.build import Workings, lay_out_roughly
from core.layout.columns import Columns
from core.layout.crossings import count_crossings, samples_in_the_way
from core.layout.frames import Frame
from core.layout.grid import Grid
from core.layout.hits import bounds
from core.layout.panels import is_too_tall
from core.layout.positions import opened_halves
from core.layout.shapes import MapLayout, Point
from core.layout.words import Functions

MOST_CURVES_COUNTED = 4_000
MOST_CURVES_TRIED = 400
MOST_MOVED_IN = 3
MOST_TURNED = 3
TURNS = 3
DETOUR = 4.0  # a way around a block is as bad as so many crossings
UNITS_HIGH = 100.0  # and so is so much height or width of the map
UNITS_WIDE = 25.0
HIGH, TOO_HIGH = 1100.0, 12.0  # beyond this height the map is too small on a small screen; each so many units


def arrange(job: Job, library: Functions, keep: bool = True) -> dict[str, Place]:
    """Places for parts, and for joints that have one, such that blocks are apart and few wires cross.

    With `keep`, what a person placed stays where it is. Where the parts already stand apart with fewer
    crossings, they stay. (On maps of more than `MOST_CURVES_COUNTED` curves that comparison is left out.)
    """
    before = lay_out_roughly(job, library)
    workings = _workings(before)
    standing, places = workings.standing, job.view.places
    held = {ref for ref, place in places.items() if keep and place.kept}
    facing = {
        free: stays for free, stays in opened_halves(job, standing.block_of).items() if free not in held
    }
    fixed = {tag: corner for tag, corner in standing.corners.items() if tag in held}
    loose = [tag for tag in standing.corners if tag not in fixed and tag not in facing]
    joints = [ref for ref in places if kind_of(ref) == "joint" and ref not in held]
    facing_frames = {stays: standing.frames[free] for free, stays in facing.items()}

    search = _Search(job, library, standing, facing_frames, fixed, loose, joints)
    found, after = search.best()
    if not workings.unplaced and _is_better(before, after):
        found = {tag: standing.corners[tag] for tag in loose}
        after = lay_out_roughly(_moved(job, found, joints), library)
    arranged = {tag: _place(corner) for tag, corner in found.items()}
    for joint in sorted(joints, key=natural_key):
        if joint in after.joints:
            arranged[joint] = _place(after.joints[joint].centre)
    return arranged


class _Search:
    """Looks for the better of several arrangements by drawing each."""

    def __init__(
        self,
        job: Job,
        library: Functions,
        standing: Standing,
        facing: Mapping[str, Frame],
        fixed: Mapping[str, Point],
        loose: list[str],
        joints: list[str],
    ) -> None:
        self.job, self.library, self.joints = job, library, joints
        self.standing, self.facing, self.fixed, self.loose = standing, facing, fixed, loose
        self.columns, self.turns = Columns(standing, facing), dict[str, int]()
        self.corners: dict[str, Point] = {}
        self.cost = 0.0
        self.layout: MapLayout
        self._keep(self.columns, self.turns)

    def best(self) -> tuple[dict[str, Point], MapLayout]:
        if len(self.layout.curves) <= MOST_CURVES_TRIED:
            loose = set(self.loose)
            beside = [tag for tag in self.columns.joined_beside() if tag in loose][:MOST_MOVED_IN]
            self._turn([tag for tag in self.columns.within() if tag in loose][:MOST_TURNED])
            for tag in beside:
                columns = Columns(self.standing, self.facing, self.columns.inner | {tag})
                for turns in (self.turns, {}) if self.turns else ({},):
                    self._try(columns, turns)
            self._turn([tag for tag in beside if tag in self.columns.inner])
        return self.corners, self.layout

    def _turn(self, tags: list[str]) -> None:
        for tag in tags:
            for turn in range(1, TURNS):
                self._try(self.columns, {**self.turns, tag: turn})

    def _try(self, columns: Columns, turns: dict[str, int]) -> None:
        kept = self.columns, self.turns, self.corners, self.layout, self.cost
        self._keep(columns, turns)
        if self.cost >= kept[-1]:
            self.columns, self.turns, self.corners, self.layout, self.cost = kept

    def _keep(self, columns: Columns, turns: dict[str, int]) -> None:
        self.columns, self.turns = columns, turns
        self.corners = columns.arranged(self.fixed, self.loose, turns)
        self.layout = lay_out_roughly(_moved(self.job, self.corners, self.joints), self.library)
        self.cost = _cost(self.layout) if len(self.layout.curves) <= MOST_CURVES_TRIED else 0.0


def place_for_new(job: Job, library: Functions, part: Part) -> Place:
    """Where a part that comes new to the map goes: in its column, below what stands there, over nothing."""
    tag = free_tag(part.id, job.parts)
    parts = {**job.parts, tag: part.model_copy(update={"id": tag})}
    view = job.view.model_copy(update={"places": {k: p for k, p in job.view.places.items() if k != tag}})
    layout = lay_out_roughly(job.model_copy(update={"parts": parts, "view": view}), library)
    return _place(_workings(layout).standing.corners[tag])


def overlaps(layout: MapLayout) -> list[tuple[str, str]]:
    """The pairs of blocks that lie over each other."""
    grid = Grid(160.0)
    for name, block in layout.blocks.items():
        grid.put(name, block.bounds)
    near = {name: set(grid.near(block.bounds)) for name, block in layout.blocks.items()}
    return [(a, b) for a, b in combinations(sorted(layout.blocks), 2) if b in near[a]]


def _cost(layout: MapLayout) -> float:
    """How bad a map looks: wires that cross, ways around blocks, height."""
    around = sum(1 for key in layout.curves if key.endswith("/1"))
    whole = bounds(layout)
    size = whole.height / UNITS_HIGH + whole.width / UNITS_WIDE + max(0.0, whole.height - HIGH) / TOO_HIGH
    return count_crossings(layout) + DETOUR * around + size


def _is_better(before: MapLayout, after: MapLayout) -> bool:
    """Whether the old places are the better ones: apart, not too tall, less in the way, fewer crossings."""
    if len(before.curves) > MOST_CURVES_COUNTED or overlaps(before) or is_too_tall(bounds(before)):
        return False
    if len(samples_in_the_way(before)) > len(samples_in_the_way(after)):
        return False
    return count_crossings(before) < count_crossings(after)


def _moved(job: Job, corners: Mapping[str, Point], joints: list[str]) -> Job:
    places = {ref: place for ref, place in job.view.places.items() if ref not in joints}
    places |= {tag: _place(corner) for tag, corner in corners.items()}
    return job.model_copy(update={"view": job.view.model_copy(update={"places": places})})


def _place(point: Point) -> Place:
    return Place(x=round(point.x, 1), y=round(point.y, 1))


def _workings(layout: MapLayout) -> Workings:
    assert isinstance(layout.workings, Workings)
    return layout.workings
