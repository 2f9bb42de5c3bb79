"""Where things stand on the map. Nothing here changes what the job means."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from pydantic import Field

from core.job.base import Frozen, Text
from core.job.faces import Side

Coordinate = Annotated[float, Field(ge=-1e6, le=1e6)]


class Place(Frozen):
    """A point on the map, in map units (1 unit = 1 pixel at 100 %). `kept` when a person put it there."""

    x: Coordinate
    y: Coordinate
    kept: bool = False


class View(Frozen):
    """Places of parts, joints and notes by id; the side faces are seen from; mated pairs shown open."""

    places: Mapping[Text, Place] = Field(default_factory=dict)
    side: Side = "wire"
    opened: tuple[Text, ...] = ()
