"""Auto-arrange: nothing over anything, few crossings, and what a person placed stays."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from core.job.document import Job
from core.job.view import Place, View
from core.layout import arrange, lay_out, place_for_new
from core.layout.arrange import overlaps
from core.layout.crossings import count_crossings, samples_in_the_way
from tests.core.layout.samples import LIBRARY, plug, random_job, scattered, van


def arranged(job: Job) -> Job:
    return job.model_copy(update={"view": View(places={**job.view.places, **arrange(job, LIBRARY)})})


@given(seed=st.integers(0, 100_000), parts=st.integers(1, 12))
@settings(max_examples=40)
def test_blocks_never_lie_over_each_other(seed: int, parts: int) -> None:
    job = scattered(random_job(seed, parts=parts), seed)
    assert overlaps(lay_out(arranged(job), LIBRARY)) == []


@given(seed=st.integers(0, 100_000))
@settings(max_examples=25)
def test_what_a_person_placed_stays_and_nothing_lies_over_it(seed: int) -> None:
    job = random_job(seed, parts=6)
    kept = sorted(job.parts)[:1]
    places = {tag: Place(x=seed % 1700 - 300, y=seed % 900, kept=True) for tag in kept}
    job = job.model_copy(update={"view": View(places=places)})
    found = arrange(job, LIBRARY)
    assert not found.keys() & set(kept)
    after = lay_out(job.model_copy(update={"view": View(places={**places, **found})}), LIBRARY)
    assert overlaps(after) == []
    assert after.blocks[kept[0]].core.x == places[kept[0]].x
    assert arrange(job, LIBRARY, keep=False).keys() >= set(kept)


def test_the_car_is_left_equipment_right_and_what_is_in_line_between() -> None:
    blocks = lay_out(arranged(van()), LIBRARY).blocks
    left = max(blocks[tag].bounds.right for tag in ("RAD", "CAM"))
    right = min(blocks[tag].bounds.x for tag in ("REC", "STW", "VID"))
    assert left < blocks["STEP"].bounds.x
    assert blocks["STEP"].bounds.right < right


def test_few_crossings_on_a_sample() -> None:
    """A third at most of what random places give (the mean of ten), and hardly any wires in the way."""
    job = van()
    after = lay_out(arranged(job), LIBRARY)
    random_places = [count_crossings(lay_out(scattered(job, seed), LIBRARY)) for seed in range(10)]
    assert count_crossings(after) <= sum(random_places) / len(random_places) / 3
    assert samples_in_the_way(after) == []


def test_no_wire_runs_through_a_part_after_arranging() -> None:
    before = after = 0
    for seed in range(12):
        job = scattered(random_job(seed, parts=4 + seed % 6), seed)
        before += len(samples_in_the_way(lay_out(job, LIBRARY)))
        after += len(samples_in_the_way(lay_out(arranged(job), LIBRARY)))
    assert before > 500
    assert after <= before / 100


@given(seed=st.integers(0, 100_000))
@settings(max_examples=15)
def test_arranging_again_is_never_worse(seed: int) -> None:
    job = arranged(random_job(seed, parts=6))
    again = arranged(job)
    assert count_crossings(lay_out(again, LIBRARY)) <= count_crossings(lay_out(job, LIBRARY))


def test_joints_that_were_not_kept_follow_into_the_corridor() -> None:
    places = {"J1": Place(x=-900, y=-900), "J2": Place(x=-800, y=-800, kept=True)}
    job = van().model_copy(update={"view": View(places=places)})
    found = arrange(job, LIBRARY)
    after = lay_out(job.model_copy(update={"view": View(places={**places, **found})}), LIBRARY)
    blocks = after.blocks
    assert "J2" not in found
    assert blocks["RAD"].bounds.right < after.joints["J1"].centre.x < blocks["REC"].bounds.x


@given(seed=st.integers(0, 100_000), car=st.booleans())
@settings(max_examples=25)
def test_a_new_part_is_put_over_nothing(seed: int, car: bool) -> None:
    job = arranged(random_job(seed, parts=5))
    pins = {"1": ("ground", "BK"), "2": ("constant", "YE")}
    part = plug("NEW", "New part", 2, 3, pins, state="on the car" if car else "to fit")
    place = place_for_new(job, LIBRARY, part)
    places = {**job.view.places, "NEW": place}
    after = job.model_copy(update={"parts": {**job.parts, "NEW": part}, "view": View(places=places)})
    assert overlaps(lay_out(after, LIBRARY)) == []


def test_an_opened_pair_has_room_for_both_halves() -> None:
    job = van().model_copy(update={"view": View(opened=("M1",))})
    places = arrange(job, LIBRARY)
    layout = lay_out(job.model_copy(update={"view": View(places=places, opened=("M1",))}), LIBRARY)
    assert "RADC" in layout.blocks
    assert overlaps(layout) == []
