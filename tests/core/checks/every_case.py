"""The mistakes of every family."""

from __future__ import annotations

from tests.core.checks.cases import CASES, Bad
from tests.core.checks.cases_finish import FINISH_CASES

EVERY_CASE: tuple[Bad, ...] = (*CASES, *FINISH_CASES)
