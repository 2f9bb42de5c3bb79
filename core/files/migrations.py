"""Older job files are brought to the newest format step by step, on plain data."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from core.errors import FileProblem

Step = Callable[[dict[str, Any]], dict[str, Any]]


def _more_internals(data: dict[str, Any]) -> dict[str, Any]:
    """Format 2 knows more kinds of internals, the battery and readings; what format 1 says stays true."""
    return data


STEPS: Mapping[int, Step] = {1: _more_internals}
"""By the format it reads: what makes the next format of it. A step need not write the format number."""


def migrate(data: dict[str, Any], steps: Mapping[int, Step], newest: int, name: str) -> dict[str, Any]:
    """`data` in format `newest`. Raises FileProblem where a step is missing or the data is damaged."""
    for number in range(data["format"], newest):
        step = steps.get(number)
        if step is None:
            raise FileProblem(name, f"its format {number} is older than any that this version reads")
        try:
            data = {**step(data), "format": number + 1}
        except (LookupError, TypeError, ValueError, AttributeError) as error:
            raise FileProblem(
                name, f"cannot be brought from format {number} to {number + 1}: it is damaged"
            ) from error
    return data
