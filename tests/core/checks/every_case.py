"""The mistakes of every family, and the correct jobs."""

from __future__ import annotations

from collections.abc import Mapping

from core.job.document import Job
from tests.core.checks.cases import CASES, Bad
from tests.core.checks.cases_cavities import CAVITY_CASES, GOOD_CAVITIES
from tests.core.checks.cases_feeds import FEED_CASES, GOOD_FEEDS
from tests.core.checks.cases_finish import FINISH_CASES
from tests.core.checks.cases_grounds import GOOD_GROUNDS, GROUND_CASES
from tests.core.checks.cases_never_fed import NEVER_FED_CASES
from tests.core.checks.cases_signals import GOOD_SIGNALS, SIGNAL_CASES
from tests.core.checks.cases_speakers import GOOD_WITH_SPEAKERS, SPEAKER_CASES
from tests.core.checks.cases_voltage import GOOD_VOLTS, VOLT_CASES
from tests.core.checks.cases_wires import GOOD_WIRES, WIRE_CASES
from tests.core.checks.jobs import good_jobs

_GOOD: Mapping[str, Job] = {
    **GOOD_CAVITIES,
    **GOOD_GROUNDS,
    **GOOD_SIGNALS,
    **GOOD_WITH_SPEAKERS,
    **GOOD_FEEDS,
    **GOOD_VOLTS,
    **GOOD_WIRES,
}


def every_good_job() -> dict[str, Job]:
    """Correct jobs: nothing may be said of them."""
    return {**good_jobs(), **_GOOD}


EVERY_CASE: tuple[Bad, ...] = (
    *CASES,
    *CAVITY_CASES,
    *FEED_CASES,
    *FINISH_CASES,
    *GROUND_CASES,
    *NEVER_FED_CASES,
    *SIGNAL_CASES,
    *SPEAKER_CASES,
    *VOLT_CASES,
    *WIRE_CASES,
)
