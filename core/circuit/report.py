"""The expected readings of a job as plain data and as a table of text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from core.circuit.engine import Engine
from core.circuit.operating import OperatingPoint
from core.circuit.positions import Position
from core.ids import in_order
from core.job.document import Job

FORMAT = 1
_DIGITS = 6


def described(engine: Engine, positions: Iterable[Position]) -> dict[str, Any]:
    """The expected reading at every terminal, joint and wire. Volts are to battery negative.

    Nobody measures an airbag circuit: its places are left out.
    """
    return {"format": FORMAT, "positions": {p.name: _of(engine.job, engine.point(p)) for p in positions}}


def _of(job: Job, point: OperatingPoint) -> dict[str, Any]:
    terminals = [ref for part in job.parts.values() for ref in part.cavities]
    return {
        "terminals": {job.shown(ref): found for ref in terminals if (found := _level(point, ref))},
        "joints": {ref: found for ref in in_order(job.joints) if (found := _level(point, ref))},
        "wires": {ref: found for ref in in_order(job.lookup.conductors) if (found := _flow(point, ref))},
    }


def _level(point: OperatingPoint, ref: str) -> dict[str, Any] | None:
    state = point.state(ref)
    return None if state is None else {"volts": _rounded(point.volts(ref)), "state": state}


def _flow(point: OperatingPoint, ref: str) -> dict[str, Any] | None:
    amps = point.amps(ref)
    if amps is None:
        return None
    return {"amps": _rounded(amps), "drop_volts": _rounded(point.drop_volts(ref))}


def _rounded(value: float | None) -> float | None:
    # Adding 0.0 turns a negative nought into a plain one.
    return None if value is None else round(value, _DIGITS) + 0.0


def table(engine: Engine, positions: Iterable[Position]) -> Iterator[str]:
    """The same as lines of text, with what stands out in each position."""
    job = engine.job
    for position in positions:
        point = engine.point(position)
        reached = f", reached from {point.reached_from}" if point.reached_from else ""
        yield f"{position.name}{reached}"
        for remark in remarks(point):
            yield f"  {remark}"
        found = _of(job, point)
        places = [
            (ref, _volts(place["volts"]), place["state"])
            for kind in ("terminals", "joints")
            for ref, place in found[kind].items()
        ]
        wires = [
            (ref, f"{wire['amps']:.3f} A", f"{wire['drop_volts']:.3f} V lost")
            for ref, wire in found["wires"].items()
        ]
        yield from _columns((*places, *wires))
        yield ""


def remarks(point: OperatingPoint) -> Iterator[str]:
    """What stands out in a position, as sentences."""
    if point.unsolved:
        yield f"Could not be worked out: {point.unsolved}."
    for short in point.shorts:
        if short.opens is not None:
            end = f"{short.opens} opens"
        elif short.burns is not None:
            end = f"no fuse in the loop opens, {short.burns} burns"
        else:
            end = "no fuse in the loop opens"
        yield f"Short of {short.source}: {short.amps:.0f} A; {end}."
    for name in point.opened:
        yield f"{name} opens; the readings are those after it."
    for wire in point.moment.burning:
        yield f"{wire.ref} carries {wire.amps:.1f} A; for good it may carry {wire.bears_amps:.1f} A."
    for name, share in point.overloaded:
        yield f"{name} is overloaded and may open: {share:.2f} times its rating."
    for refused in point.cannot_hold:
        yield (
            f"{refused.name} cannot hold: needs {refused.needs_watts:.1f} W, "
            f"the feed gives at most {refused.most_watts:.1f} W."
        )
    for name in point.limiting:
        yield f"{name} gives no more than its limit."
    if point.chatter:
        yield f"{', '.join(point.chatter)} chatter: there is no rest."


def _volts(volts: float | None) -> str:
    return "-" if volts is None else f"{volts:.3f} V"


def _columns(rows: tuple[tuple[str, str, str], ...]) -> Iterator[str]:
    wide = max((len(row[0]) for row in rows), default=0)
    number = max((len(row[1]) for row in rows), default=0)
    for ref, value, words in rows:
        yield f"  {ref:<{wide}}  {value:>{number}}  {words}"
