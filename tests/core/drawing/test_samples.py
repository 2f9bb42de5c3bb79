"""The sample jobs, checked and printed on every paper; and jobs made by edits alone."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from core.checks.finding import CheckResult
from core.checks.runner import check
from core.drawing.build import build_drawing
from core.drawing.paper import PAPERS
from core.files.job_file import load_job
from core.job.document import Job
from core.library.loader import default_library
from core.paths import sample_jobs_folder
from tests.core.drawing.looking import faults
from tests.core.drawing.made import LIBRARY
from tests.strategies import jobs

SAMPLES = sorted(path.stem for path in sample_jobs_folder().glob("*.loomjob"))
MOST_PAGES = {"letter": 25, "a4": 25, "tabloid": 15, "a3": 15}


@pytest.fixture(scope="module")
def checked() -> dict[str, tuple[Job, CheckResult]]:
    found = {}
    for name in SAMPLES:
        job = load_job(Path(sample_jobs_folder() / f"{name}.loomjob"))
        found[name] = job, check(job, default_library())
    return found


def test_there_are_samples() -> None:
    assert len(SAMPLES) >= 3


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", SAMPLES)
def test_a_sample_prints_without_fault(
    name: str, paper: str, checked: dict[str, tuple[Job, CheckResult]]
) -> None:
    job, result = checked[name]
    pages = build_drawing(job, result, default_library(), paper)
    assert {page.number: found for page in pages if (found := faults(page))} == {}
    assert len(pages) <= MOST_PAGES[paper]


@pytest.mark.parametrize("name", SAMPLES)
def test_the_map_of_a_sample_is_a_picture_on_the_large_sheets(
    name: str, checked: dict[str, tuple[Job, CheckResult]]
) -> None:
    job, result = checked[name]
    for paper in ("tabloid", "a3"):
        pages = build_drawing(job, result, default_library(), paper, ["map"])
        assert [box.kind for box in pages[0].boxes].count("figure") == 1


@given(jobs())
@settings(max_examples=12, suppress_health_check=[HealthCheck.too_slow])
def test_whatever_edits_make_prints_without_fault(job: Job) -> None:
    result = CheckResult(job, (), (), (), ())
    for page in build_drawing(job, result, LIBRARY):
        assert faults(page) == []
