"""Auto-arrange: parts in columns, so that few wires cross. What a person moved stays put."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

from core.ids import free_tag, kind_of, natural_key
from core.job.document import Job
from core.job.parts import Part
from core.job.view import Place
from core.layout.build import Workings, lay_out
from core.layout.columns import Columns
from core.layout.crossings import count_crossings
from core.layout.grid import Grid
from core.layout.hits import bounds
from core.layout.positions import opened_halves
from core.layout.shapes import MapLayout, Point
from core.layout.words import Functions

MOST_CURVES_COUNTED = 4_000
MOST_CURVES_TRIED = 400
MOST_VARIANTS = 3
DETOUR = 4.0  # a way around a block is as bad as so many crossings
UNITS_HIGH = 150.0  # and so is so much height of the map


def arrange(job: Job, library: Functions, keep: bool = True) -> dict[str, Place]:
    """Places for parts, and for joints that have one, such that blocks are apart and few wires cross.

    With `keep`, what a person placed stays where it is. Where the parts already stand apart with fewer
    crossings, they stay. (On maps of more than `MOST_CURVES_COUNTED` curves that comparison is left out.)
    """
    before = lay_out(job, library)
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

    def tried(inner: frozenset[str]) -> tuple[dict[str, Point], MapLayout]:
        columns = Columns(standing, facing_frames, inner)
        corners = columns.arranged(fixed, loose)
        return corners, lay_out(_moved(job, corners, joints), library)

    found, after = tried(frozenset())
    if len(after.curves) <= MOST_CURVES_TRIED:
        beside = [tag for tag in Columns(standing, facing_frames).joined_beside() if tag in loose]
        inner: frozenset[str] = frozenset()
        cost = _cost(after)
        for tag in beside[:MOST_VARIANTS]:
            other, layout = tried(inner | {tag})
            if _cost(layout) < cost:
                inner, cost, found, after = inner | {tag}, _cost(layout), other, layout
    if not workings.unplaced and _is_better(before, after):
        found = {tag: standing.corners[tag] for tag in loose}
        after = lay_out(_moved(job, found, joints), library)
    arranged = {tag: _place(corner) for tag, corner in found.items()}
    for joint in sorted(joints, key=natural_key):
        if joint in after.joints:
            arranged[joint] = _place(after.joints[joint].centre)
    return arranged


def place_for_new(job: Job, library: Functions, part: Part) -> Place:
    """Where a part that comes new to the map goes: in its column, below what stands there, over nothing."""
    tag = free_tag(part.id, job.parts)
    parts = {**job.parts, tag: part.model_copy(update={"id": tag})}
    view = job.view.model_copy(update={"places": {k: p for k, p in job.view.places.items() if k != tag}})
    layout = lay_out(job.model_copy(update={"parts": parts, "view": view}), library)
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
    return count_crossings(layout) + DETOUR * around + bounds(layout).height / UNITS_HIGH


def _is_better(before: MapLayout, after: MapLayout) -> bool:
    """Whether the old places are the better ones: apart, and with fewer crossings."""
    if len(before.curves) > MOST_CURVES_COUNTED or overlaps(before):
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
