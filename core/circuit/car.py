"""The car round the parts of a job: its battery or the bench's supply, its body, its shared fuses."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from core.circuit.network import Fuse, Source
from core.circuit.sketch import BODY, LEAST_SOURCE_OHMS, MINUS, PLUS, Maker, Row, Sketch, Terms

BATTERY, BENCH = "battery", "bench"
BENCH_FUSE = "bench fuse"


@dataclass(frozen=True, slots=True)
class Car:
    """`battery`: the name of the source that stands for the car's battery; `replaced`: the part's own battery
    that the bench's supply stands in for.
    """

    battery: str
    pieces: Sketch
    replaced: str | None = None


def car_of(terms: Terms, sketches: Sequence[Sketch], *, bench: bool, wired: Callable[[str], bool]) -> Car:
    """The car's own pieces. A part that says it is the car's battery stands in for the implied one; the
    bench's supply for either. The ground strap is the job's own where it wires that battery's ground pole.
    """
    limits = terms.limits
    main = next((main for sketch in sketches for main in sketch.mains), None)
    joined = [] if main is None else [(PLUS, main[1]), (MINUS, main[2])]
    makers: dict[str, Maker] = {}
    shared, unfused = _shared(sketches)
    for words, amps in shared.items():
        name = f"fuse {words}"
        makers[name] = _fuse(name, terms.hot, name, amps, limits["fuse_volts"])
    nodes = [f"fuse {words}" for words in (*shared, *unfused)]
    joined += ((terms.hot, f"fuse {words}") for words in unfused)
    if bench:
        nodes += _bench(terms, makers)
    elif main is None:
        makers[BATTERY] = _battery(terms)
    drawn = main is not None and not bench and wired(main[2 if terms.negative else 1])
    strap = Row("strap", BODY, MINUS if terms.negative else PLUS, limits["strap_ohms"])
    pieces = Sketch(tuple(nodes), tuple(joined), () if drawn else (strap,), makers, {}, (), (), {})
    own = None if main is None else main[0]
    return Car(BENCH, pieces, own) if bench else Car(own or BATTERY, pieces)


def _battery(terms: Terms) -> Maker:
    ohms = terms.settings.battery.ohms or terms.limits["battery_ohms_12v"] * terms.system / 12
    volts = terms.battery
    return lambda at, _: Source(BATTERY, at[PLUS], at[MINUS], volts, max(ohms, LEAST_SOURCE_OHMS))


def _bench(terms: Terms, makers: dict[str, Maker]) -> list[str]:
    """The bench's supply behind the fuse in its lead; the nodes that takes."""
    supply = terms.settings.bench
    post = PLUS if supply.fuse_amps is None else "bench +"
    makers[BENCH] = lambda at, _: Source(
        BENCH,
        at[post],
        at[MINUS],
        (supply.volts,) * 5,
        LEAST_SOURCE_OHMS,
        limit_amps=supply.limit_amps,
    )
    if supply.fuse_amps is None:
        return []
    makers[BENCH_FUSE] = _fuse(BENCH_FUSE, post, PLUS, supply.fuse_amps, terms.limits["fuse_volts"])
    return [post]


def _fuse(name: str, start: str, end: str, amps: float, volts: float) -> Maker:
    return lambda at, _: Fuse(name, at[start], at[end], amps, volts / amps)


def _shared(sketches: Sequence[Sketch]) -> tuple[dict[str, float], list[str]]:
    """The vehicle fuses by their words, the least rating that is stated of each; and those without any."""
    found: dict[str, float] = {}
    named: dict[str, None] = {}
    for sketch in sketches:
        for words, amps in sketch.fused:
            named[words] = None
            if amps is not None:
                found[words] = min(amps, found.get(words, amps))
    return found, [words for words in named if words not in found]
