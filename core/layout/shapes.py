"""What the map is made of, as data. Lengths are map units: 1 unit is 1 pixel at 100 %."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from core.job.faces import Side


class Point(NamedTuple):
    x: float
    y: float


class Rect(NamedTuple):
    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.x + self.width

    @property
    def bottom(self) -> float:
        return self.y + self.height

    def contains(self, point: Point) -> bool:
        return self.x <= point.x <= self.right and self.y <= point.y <= self.bottom

    def overlaps(self, other: Rect) -> bool:
        return (
            self.x < other.right and other.x < self.right and self.y < other.bottom and other.y < self.bottom
        )


NOWHERE = Rect(0.0, 0.0, 0.0, 0.0)


class CavityShape(NamedTuple):
    """One cell of a face. `mate` is the terminal that meets it, where a mated pair is drawn as one.

    `filled` is false where there is no contact, and where the sheet names no cavity at this place.
    """

    terminal: str
    pin: str
    rect: Rect
    blocked: bool
    filled: bool
    mate: str | None = None


class FlagShape(NamedTuple):
    """The tag at a lead's end. `anchor` is where a wire to a joint starts; `tab` the round pin tab's centre.

    `root` is where the fan from the cavity comes in; `turned` says to which side the wire leaves.
    """

    terminal: str
    rect: Rect
    tab: Point
    anchor: Point
    root: Point
    turned: Literal["left", "right"]


@dataclass(frozen=True, slots=True)
class FaceShape:
    """One connector's face, or (no cavities) a bunch of loose leads, drawn as a plain sleeve."""

    connector: str
    title: str
    body: Rect
    latch: Rect | None
    side: Side
    cavities: tuple[CavityShape, ...]


@dataclass(frozen=True, slots=True)
class BlockShape:
    """One part as it stands on the map, or a mated pair drawn as one (`also` names the car's half).

    `title_at` is the middle of the title's upper edge; the subtitle stands `TITLE_HEIGHT` lower. A plug that
    takes several halves names them all in `absorbed`. `core` is the column of faces: a part's place is its
    upper left corner, whichever way the flags turn.
    """

    part: str
    also: str | None
    title: str
    subtitle: str
    title_at: Point
    faces: tuple[FaceShape, ...]
    flags: tuple[FlagShape, ...]
    bounds: Rect
    absorbed: tuple[str, ...] = ()
    core: Rect = NOWHERE


class Curve(NamedTuple):
    """A cubic from `a` to `b`. `owner` is the terminal, wire or conductor it draws; `ends` what it joins.

    `role`: fan (cavity to flag), lead (flag to joint), wire (joint or cavity to joint or cavity), mate (open
    pair). A way around a part is several curves of one owner, in order: keys `lead:RAD.A-4`,
    `lead:RAD.A-4/1` and so on.
    `ends` are ids: a terminal, a joint, or the wire end where it hangs free.
    """

    key: str
    owner: str
    role: Literal["fan", "lead", "wire", "mate"]
    a: Point
    c1: Point
    c2: Point
    b: Point
    colour: str | None
    ends: tuple[str, str] = ("", "")


@dataclass(frozen=True, slots=True)
class JointShape:
    """A joint's dot. `label_at` is the middle of its name's box, above the dot; `slope` its wires' dy/dx."""

    joint: str
    centre: Point
    label_at: Point
    slope: float = 0.0


@dataclass(frozen=True)
class MapLayout:
    """Every shape of the map by id. `block_of` names the block that draws a part.

    `workings` is what `update` needs to know of how the layout was made; nobody else reads it.
    """

    side: Side
    blocks: Mapping[str, BlockShape]
    joints: Mapping[str, JointShape]
    curves: Mapping[str, Curve]
    notes: Mapping[str, Rect]
    block_of: Mapping[str, str] = field(default_factory=dict)
    flag_of: Mapping[str, FlagShape] = field(default_factory=dict)
    workings: object = field(default=None, compare=False, repr=False)
