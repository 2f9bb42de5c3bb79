"""The map's geometry at 250, 5,000 and 20,000 wires: the whole of it, and after one part was moved.

Run by name: `python -m tests.bench.bench_layout`. The ratios count; seconds are this machine's. The peer is
the making of ten tuples of eight for each wire: about as many values as a wire's shapes hold.
"""

from __future__ import annotations

import gc
from collections.abc import Callable
from itertools import count
from time import perf_counter

from core.job.delta import delta
from core.job.document import Job
from core.job.parts import Part
from core.job.view import Place, View
from core.layout import arrange, lay_out, update
from tests.core.layout.samples import LIBRARY, numbered, plug

PAIRS_OF_PLUGS = 10  # joints between one plug of the car and one receiver
SIZES = (250, 5_000, 20_000)


def big_job(wires: int) -> Job:
    """Plugs of the car joined to receivers, every fourth joint to the next: `wires` leads in joints."""
    pins = {str(pin): ("constant", "YE") for pin in range(1, PAIRS_OF_PLUGS + 1)}
    pairs = max(1, wires // (2 * PAIRS_OF_PLUGS))
    parts: dict[str, Part] = {}
    places: dict[str, Place] = {}
    joints: list[tuple[str, str]] = []
    for number in range(pairs):
        for tag, state, x in ((f"CAR{number}X", "on the car", 0.0), (f"EQ{number}X", "to fit", 1100.0)):
            parts[tag] = plug(tag, f"Part {number}", 5, 2, pins, state=state)  # type: ignore[arg-type]
            places[tag] = Place(x=x + number % 8 * 2400.0, y=number // 8 * 380.0)
        for pin in range(1, PAIRS_OF_PLUGS + 1):
            other = (number + (pin % 4 == 0)) % pairs
            joints.append((f"CAR{number}X.A-{pin}", f"EQ{other}X.A-{pin}"))
    return Job(parts=parts, joints=numbered(tuple(joints)), view=View(places=places))


def moved(job: Job, tag: str, step: int) -> Job:
    old = job.view.places[tag]
    place = Place(x=old.x + 7.0 * step, y=old.y + 11.0 * step)
    return job.model_copy(update={"view": View(places={**job.view.places, tag: place})})


def best(work: Callable[[], object], times: int) -> float:
    """The shortest of several runs, in seconds, with the collector off."""
    gc.collect()
    gc.disable()
    spans = []
    for _ in range(times):
        start = perf_counter()
        work()
        spans.append(perf_counter() - start)
    gc.enable()
    return min(spans)


def measure(wires: int) -> str:
    """One line of the table."""
    job = big_job(wires)
    assert job.lookup.joint_of
    layout = lay_out(job, LIBRARY)
    tag = f"CAR{len(job.parts) // 4}X"
    steps = count(1)

    def move_one() -> None:
        after = moved(job, tag, next(steps))
        update(layout, job, after, delta(job, after), LIBRARY)

    whole = best(lambda: lay_out(job, LIBRARY), 3)
    part = best(move_one, 15)
    columns = best(lambda: arrange(job, LIBRARY), 1)
    peer = best(lambda: [tuple(range(8)) for _ in range(wires * 10)], 5)
    return (
        f"{wires:>7} {whole * 1e3:>9.1f} {whole / wires * 1e6:>8.1f} {whole / peer:>11.1f}"
        f" {part * 1e3:>10.2f} {whole / part:>13.0f} {columns * 1e3:>11.0f}"
    )


def main() -> None:
    print(
        f"{'wires':>7} {'whole ms':>9} {'us/wire':>8} {'whole/peer':>11} {'update ms':>10}"
        f" {'whole/update':>13} {'arrange ms':>11}"
    )
    for wires in SIZES:
        print(measure(wires))


if __name__ == "__main__":
    main()
