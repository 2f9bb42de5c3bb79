"""The map looks drawn with care: few crossings, wires apart, names free, things in line out of the way."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.job.document import Job
from core.job.view import Place, View
from core.job.wiring import Wire
from core.layout import arrange, bounds, lay_out
from core.layout.arrange import overlaps
from core.layout.crossings import count_crossings, samples_in_the_way
from core.layout.labels import crosses
from core.layout.panels import TALLEST
from core.layout.routes import TRACK_PITCH
from core.layout.shapes import MapLayout, Point
from core.layout.slots import Slots, Strand, Wish
from tests.core.layout.measures import (
    length_along_each_other,
    names_on_things,
    names_under_wires,
    ways_around,
)
from tests.core.layout.samples import LIBRARY, numbered, plug, random_job
from tests.samples.make import shipped_library
from tests.samples.recipes import SAMPLES


@pytest.fixture(scope="module")
def sample_maps() -> dict[str, MapLayout]:
    """Every sample as it is arranged afresh."""
    library = shipped_library()
    maps: dict[str, MapLayout] = {}
    for name, recipe in SAMPLES.items():
        job = recipe(library)
        places = arrange(job, library, keep=False)
        maps[name] = lay_out(job.model_copy(update={"view": View(places=places)}), library)
    return maps


# Before parts were placed by counting ways around: 84, 54, 89, 10, 1 crossings.
@pytest.mark.parametrize(
    ("name", "most"),
    [
        ("van_receiver", 45),
        ("van_five_mistakes", 36),
        ("estate_amplifier", 22),
        ("classic_relay", 2),
        ("first_light", 1),
    ],
)
def test_few_crossings_and_no_way_around_in_the_samples(
    sample_maps: dict[str, MapLayout], name: str, most: int
) -> None:
    layout = sample_maps[name]
    assert count_crossings(layout) <= most
    assert ways_around(layout) == []
    assert samples_in_the_way(layout) == []
    assert overlaps(layout) == []


def test_wires_do_not_lie_along_each_other(sample_maps: dict[str, MapLayout]) -> None:
    for name, layout in sample_maps.items():
        assert length_along_each_other(layout) <= 80, name


def test_names_are_free(sample_maps: dict[str, MapLayout]) -> None:
    for name, layout in sample_maps.items():
        assert names_under_wires(layout) == set(), name
        assert names_on_things(layout) == set(), name


def test_the_samples_fit_a_small_screen(sample_maps: dict[str, MapLayout]) -> None:
    """On the map's part of a screen of 1366 by 768 type of 13 units is then at least 6 pixels high."""
    for name, layout in sample_maps.items():
        whole = bounds(layout)
        assert whole.width <= 1900, name
        assert whole.height <= 1300, name


def in_the_way(height: float) -> Job:
    """Four wires from a plug to a receiver, and a relay that somebody put right between them."""
    pins = {str(pin): ("constant", "YE") for pin in range(1, 9)}
    car = plug("CAR", "Car", 4, 2, pins, state="on the car")
    receiver = plug("REC", "Receiver", 4, 2, pins)
    relay = plug("RLY", "Relay", 2, 1, {"1": ("ground", "BK"), "2": ("ground", "BK")}, kind="relay")
    places = {
        "CAR": Place(x=0, y=0, kept=True),
        "REC": Place(x=1400, y=0, kept=True),
        "RLY": Place(x=700, y=height, kept=True),
    }
    names = {f"W{pin}": str(pin) for pin in range(3, 7)}
    wires = {name: Wire(id=name, a_in=f"CAR.A-{pin}", b_in=f"REC.A-{pin}") for name, pin in names.items()}
    parts = {part.id: part for part in (car, receiver, relay)}
    return Job(parts=parts, wires=wires, view=View(places=places))


@pytest.mark.parametrize("height", [60.0, 70.0, 80.0])
def test_wires_in_a_lane_lie_apart_and_do_not_cross(height: float) -> None:
    layout = lay_out(in_the_way(height), LIBRARY)
    around = ways_around(layout)
    lanes = sorted(layout.curves[f"{curve.key}/1"].a.y for curve in around)
    assert len(lanes) == 4
    assert all(below - above >= TRACK_PITCH - 1e-6 for above, below in pairwise(lanes))
    keys = {curve.key for curve in around}
    pieces = {key: curve for key, curve in layout.curves.items() if key.partition("/")[0] in keys}
    assert count_crossings(replace(layout, curves=pieces)) == 0
    assert samples_in_the_way(layout) == []
    assert length_along_each_other(layout) == 0


def test_brackets_between_parts_of_one_column_nest() -> None:
    pins = {str(pin): ("constant", "YE") for pin in range(1, 5)}
    parts = {tag: plug(tag, tag, 2, 2, pins) for tag in ("UP", "DOWN")}
    joints = numbered(tuple((f"UP.A-{pin}", f"DOWN.A-{pin}") for pin in range(1, 5)))
    places = {"UP": Place(x=0, y=0, kept=True), "DOWN": Place(x=0, y=400, kept=True)}
    job = Job(parts=parts, joints=joints, view=View(places=places))
    layout = lay_out(job, LIBRARY)
    joint_of = job.lookup.joint_of
    upper = [joint_of[flag.terminal] for flag in layout.blocks["UP"].flags]
    assert [joint_of[flag.terminal] for flag in layout.blocks["DOWN"].flags] == upper[::-1]
    assert (
        count_crossings(layout) <= 2
    )  # their joints stand below each other; the fifth begins again at the top


def test_a_block_goes_where_fewest_wires_must_go_around_it() -> None:
    """Two bundles with room between them: worked by hand."""
    strands = [Strand(y, y) for y in (0.0, 24.0, 48.0, 400.0, 424.0)]
    slots = Slots(strands, 0.0, 424.0)
    own = [Wish(50.0, ((-1, 60.0),))]
    top = slots.best((0.4, 0.6), 100.0, own)
    assert 48 < top < 300
    slots.take(0.4, 0.6, 48.0, 400.0)
    assert not 48 < slots.best((0.4, 0.6), 100.0, own) < 400
    assert slots.best((0.7, 0.9), 100.0, own) == top


@given(seed=st.integers(0, 1_000), parts=st.integers(60, 120))
@settings(max_examples=4)
def test_a_job_of_many_parts_is_not_a_tall_strip(seed: int, parts: int) -> None:
    job = random_job(seed, parts=parts, share=0.4)
    places = arrange(job, LIBRARY)
    layout = lay_out(job.model_copy(update={"view": View(places=places)}), LIBRARY)
    whole = bounds(layout)
    assert whole.height <= TALLEST * whole.width
    assert overlaps(layout) == []


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        (Point(-5, 5), Point(15, 5), True),  # through the middle
        (Point(-5, 8), Point(8, -5), True),  # cuts a corner
        (Point(-4, 3), Point(6, -9), False),  # passes by the corner
        (Point(2, 2), Point(8, 8), True),  # lies within
    ],
)
def test_a_segment_crosses_a_box(a: Point, b: Point, expected: bool) -> None:
    assert crosses(*a, *b, 0, 0, 10, 10) is expected
    assert crosses(*b, *a, 0, 0, 10, 10) is expected
