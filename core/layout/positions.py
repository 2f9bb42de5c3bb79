"""Where each block's corner is: as the view says, face to face with an opened mate, else in the columns."""

from __future__ import annotations

from collections.abc import Mapping

from core.ids import natural_key, part_of
from core.job.document import Job
from core.layout import metrics
from core.layout.blocks import Standing, faces_right
from core.layout.columns import Columns
from core.layout.frames import Frame
from core.layout.shapes import Point


def corners_of(
    job: Job, frames: Mapping[str, Frame], block_of: Mapping[str, str], groups: Mapping[str, tuple[str, ...]]
) -> tuple[dict[str, Point], bool]:
    """The corner of every block, and whether any had no place of its own (then all may hang on all)."""
    facing = opened_halves(job, block_of)
    corners: dict[str, Point] = {}
    missing: list[str] = []
    for tag, frame in frames.items():
        places = [job.view.places[half] for half in (tag, *frame.absorbed) if half in job.view.places]
        if places and (tag not in facing or places[0].kept):
            corners[tag] = Point(places[0].x, places[0].y)
        elif tag not in facing:
            missing.append(tag)
    if missing:
        facing_frames = {mate: frames[tag] for tag, mate in facing.items()}
        columns = Columns(Standing(frames, corners, block_of, groups), facing_frames)
        corners |= columns.arranged(corners, missing)
    beside = {tag: mate for tag, mate in facing.items() if tag not in corners}
    for tag, mate in beside.items():
        corners[tag] = _face_to_face(frames[tag], mate, Standing(frames, corners, block_of, groups))
    return corners, bool(missing or beside)


def opened_halves(job: Job, block_of: Mapping[str, str]) -> dict[str, str]:
    """Block of a half that an opened mate sets free, to the block it stands face to face with."""
    found: dict[str, str] = {}
    for name in sorted(job.view.opened, key=natural_key):
        mate = job.mates.get(name)
        if mate is None:
            continue
        one, other = block_of.get(part_of(mate.a)), block_of.get(part_of(mate.b))
        if one is None or other is None or one == other:
            continue
        parts = job.parts
        free, stays = sorted(
            (one, other), key=lambda tag: (parts[tag].state != "on the car", natural_key(tag))
        )
        if free not in found and stays not in found and free not in found.values():
            found[free] = stays
    return found


def _face_to_face(frame: Frame, mate: str, standing: Standing) -> Point:
    """Beside the mate, on the side where its flags are not, at the same height."""
    corner, width = standing.corners[mate], standing.frames[mate].width
    if faces_right(standing.frames[mate], standing):
        return Point(corner.x - metrics.MATE_GAP - frame.width, corner.y)
    return Point(corner.x + width + metrics.MATE_GAP, corner.y)
