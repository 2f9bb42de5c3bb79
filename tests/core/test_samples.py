"""The sample jobs: what is shipped is what the recipes make, and the checker says of each what it must."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any, get_args

import pytest

from core.checks.finding import CheckResult, Conflict
from core.checks.runner import check
from core.edits import add_mated, add_part, check_invariants
from core.files import SUFFIX
from core.files.job_file import load_job
from core.job.document import Job
from core.job.internals import Internal
from core.layout import lay_out
from core.layout.arrange import overlaps
from core.library import new_part
from core.paths import sample_jobs_folder
from tests.samples.make import made, shipped_library
from tests.samples.recipes import MISTAKES, SAMPLES, van_with

LIBRARY = shipped_library()
FOLDER = sample_jobs_folder()

# What each mistake is to be called, and the pins that it must name. Worked out by hand from the sample.
OF_MISTAKE = {
    "camera_on_accessory": ("more volts than the part accepts", {"CAM-1"}),
    "constant_on_accessory": ("feeds of different positions joined", {"RAD-2", "RAD-4"}),
    "speaker_minus_on_ground": ("speaker lead grounded", {"RAD-8", "REC-10"}),
    "camera_without_return": ("no return", {"CAM-3"}),
    "live_lead_left_bare": ("lead that is live with no cap", {"RAD-5"}),
}


def sample(name: str) -> Job:
    return load_job(FOLDER / f"{name}{SUFFIX}")


def names(result: CheckResult, conflict: Conflict) -> set[str]:
    return {result.job.shown(ref) for ref in conflict.where}


def open_ends(result: CheckResult) -> list[str]:
    return [result.job.shown(end) for end in result.open_ends]


def assert_says(result: CheckResult, expected: Sequence[tuple[str, str, set[str]]]) -> None:
    """Just these conflicts stand for themselves, each naming these pins."""
    assert not result.not_run
    found = sorted((c.rule, c.level, names(result, c)) for c in result.unfolded())
    wanted = sorted(expected)
    assert [f[:2] for f in found] == [w[:2] for w in wanted]
    for (_, _, seen), (_, _, pins) in zip(found, wanted, strict=True):
        assert pins <= seen


def test_every_sample_is_shipped_with_what_must_be_said_of_it() -> None:
    shipped = {path.name for path in FOLDER.iterdir() if path.is_file()}
    assert shipped >= {f"{name}{end}" for name in SAMPLES for end in (SUFFIX, ".expect.json")}
    assert {name.partition(".")[0] for name in shipped} == set(SAMPLES)


def test_what_is_shipped_is_what_the_recipes_make() -> None:
    for name, data in made(LIBRARY).items():
        assert (FOLDER / name).read_bytes() == data, f"{name}: run `python -m tests.samples.make`"


@pytest.mark.parametrize("final", [True, False], ids=["final", "while drawing"])
@pytest.mark.parametrize("name", SAMPLES)
def test_the_checker_says_what_it_must(name: str, final: bool) -> None:
    expected: dict[str, Any] = json.loads((FOLDER / f"{name}.expect.json").read_text(encoding="utf-8"))
    result = check(sample(name), LIBRARY, final=final)
    assert_says(result, [(c["rule"], c["level"], set(c["where"])) for c in expected["conflicts"]])
    assert result.status == expected["status"]
    assert open_ends(result) == expected["open"]


@pytest.mark.parametrize("name", MISTAKES)
def test_one_mistake_in_the_van_is_one_conflict(name: str) -> None:
    rule, pins = OF_MISTAKE[name]
    result = check(van_with(LIBRARY, MISTAKES[name]), LIBRARY)
    assert_says(result, [(rule, "stop", pins)])
    assert result.status == "red"


def test_first_light_is_mended_by_its_button() -> None:
    result = check(sample("first_light"), LIBRARY)
    (conflict,) = result.unfolded()
    mended = check(conflict.mends[0].edit(sample("first_light")), LIBRARY)
    assert_says(mended, [])
    assert (mended.status, mended.open_ends) == ("green", ())


@pytest.mark.parametrize("name", SAMPLES)
def test_a_sample_is_whole_and_invented(name: str) -> None:
    job = sample(name)
    assert check_invariants(job) == []
    assert job.sheet.shop == "Tern Street Workshop"
    assert job.sheet.title
    assert job.sheet.date
    assert not any(part.maker or part.type or part.serial for part in job.parts.values())
    assert all(part.library for part in job.parts.values() if part.kind != "pigtail")


@pytest.mark.parametrize("kind", get_args(get_args(Internal)[0]), ids=lambda kind: kind.__name__)
def test_every_kind_of_internal_is_used_in_a_sample(kind: type) -> None:
    jobs = [sample(name) for name in SAMPLES]
    assert any(isinstance(i, kind) for job in jobs for part in job.parts.values() for i in part.internals)


@pytest.mark.parametrize("name", SAMPLES)
def test_every_length_and_gauge_is_stated(name: str) -> None:
    # Else the drops would be those of assumed wires.
    job = sample(name)
    leads = [cavity.lead for part in job.parts.values() for cavity in part.cavities.values() if cavity.lead]
    for wire in (*leads, *job.wires.values()):
        assert wire.gauge in LIBRARY.sizes
        assert wire.length_mm


def all_mated(job: Job, tag: str) -> bool:
    """Whether a part is drawn with the plug it meets, and has no place of its own."""
    return all(f"{tag}.{connector.name}" in job.lookup.mate_of for connector in job.parts[tag].connectors)


@pytest.mark.parametrize("name", SAMPLES)
def test_nothing_lies_over_anything_on_its_map(name: str) -> None:
    job = sample(name)
    ours = {tag for tag, part in job.parts.items() if part.state != "on the car" or not all_mated(job, tag)}
    assert ours == set(job.view.places)
    assert overlaps(lay_out(job, LIBRARY)) == []


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.expect.json")), ids=lambda path: path.stem)
def test_no_expectation_is_loose(path: Path) -> None:
    expected = json.loads(path.read_text(encoding="utf-8"))
    assert set(expected) == {"status", "conflicts", "open"}
    assert (expected["status"] == "green") == (not expected["conflicts"])


@pytest.mark.parametrize("name", LIBRARY.parts)
def test_a_part_of_the_shelf_alone_on_the_map_is_to_decide_and_no_conflict(name: str) -> None:
    entry = LIBRARY.parts[name]
    part = new_part(entry)
    job = add_mated(Job(), part, entry.mate) if entry.mate else add_part(Job(), part)
    assert_says(check(job, LIBRARY, final=False), [])
