"""One source on one net, and the ways that lead it further."""

from __future__ import annotations

from dataclasses import dataclass

from core.circuit.elements import Source, StepDownPart


@dataclass(frozen=True, slots=True)
class Drive:
    """One source on one net. `hops` are the (from, to) terminals of what it came through inside parts.

    `behind` is what feeds a step-down, where the source is one.
    """

    source: Source
    volts: float
    hops: tuple[tuple[str, str], ...] = ()
    behind: Drive | None = None


@dataclass(frozen=True, slots=True)
class Way:
    """One direction through something inside a part. `sign`: which volts pass; 0 lets all through."""

    start: str
    end: str
    drop_volts: float = 0.0
    sign: int = 0


def key_of(source: Source) -> str:
    """A net keeps one way to ground of either sort, and every other source by its terminal."""
    if source.kind == "ground":
        return "reliable" if source.reliable else "unreliable"
    return source.terminal


def made_by(drive: Drive, step_down: StepDownPart) -> bool:
    back = (step_down.output, step_down.input)
    return drive.source.terminal == step_down.output or back in drive.hops
