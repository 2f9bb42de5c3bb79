"""The most amps of each conductor over several positions."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from core.circuit.operating import OperatingPoint


def peak_amps(points: Sequence[OperatingPoint]) -> tuple[list[float], list[int]]:
    """The most amps of every row of resistance, without sign, and at which of the points they flow."""
    amps = np.abs(np.stack([point.solution.resistor_amps for point in points]))
    return amps.max(axis=0).tolist(), amps.argmax(axis=0).tolist()
