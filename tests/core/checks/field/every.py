"""Every field case that is a job here, and those that are not, with the reason."""

from __future__ import annotations

from collections.abc import Callable

from tests.core.checks.field import (
    buttons,
    cameras,
    grounds,
    keys,
    lamps,
    modules,
    outputs,
    speakers,
    trailers,
    wires,
)
from tests.core.checks.field.build import Case

CASES: tuple[Callable[[], Case], ...] = (
    *keys.CASES,
    *lamps.CASES,
    *grounds.CASES,
    *speakers.CASES,
    *outputs.CASES,
    *cameras.CASES,
    *buttons.CASES,
    *wires.CASES,
    *trailers.CASES,
    *modules.CASES,
)

LEFT_OUT: dict[str, str] = {
    "lines on the picture with the engine running": "the cure is a filter in both feed and ground of a "
    "monitor; no part here is a filter, and no rule speaks of charging ripple",
}
