"""Taking nodes out many at a time, beside a dense solve of the same matrix."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.circuit.kernel.eliminate import MOST_CORE, Elimination
from core.circuit.network import Floats, Ints


def wired(seed: int, size: int, extra: int, *, lean: float = 0.0) -> tuple[Ints, Ints, Floats]:
    """A nodal matrix: a tree of resistors and some more across. `lean`: how far it is from symmetric."""
    rng = np.random.default_rng(seed)
    tail = np.concatenate((np.arange(1, size), rng.integers(0, size, extra)))
    head = np.concatenate((rng.integers(0, np.arange(1, size)), rng.integers(0, size, extra)))
    full = np.diag(rng.uniform(1e-6, 1, size))
    for a, b in zip(tail, head, strict=True):
        siemens = 10 ** rng.uniform(-4, 2)
        full[a, a] += siemens
        full[b, b] += siemens
        full[a, b] -= siemens * (1 - lean * rng.random())
        full[b, a] -= siemens
    rows, columns = np.nonzero(full)
    return rows, columns, full[rows, columns]


@settings(max_examples=60)
@given(st.integers(0, 2**32), st.integers(1, 300), st.integers(0, 60), st.sampled_from((0.0, 0.4)))
def test_the_same_as_dense(seed: int, size: int, extra: int, lean: float) -> None:
    rows, columns, values = wired(seed, size, extra, lean=lean)
    full = np.zeros((size, size))
    full[rows, columns] = values
    amps = np.random.default_rng(seed).normal(size=size)
    solve = Elimination(size, rows, columns).factor(values)
    assert solve is not None
    volts = solve(amps)
    scale = np.abs(full) @ np.abs(volts) + np.abs(amps)
    assert np.abs(full @ volts - amps).max() <= 1e-11 * scale.max()


def test_one_order_serves_other_values() -> None:
    rows, columns, values = wired(1, 250, 20)
    order = Elimination(250, rows, columns)
    one, two = order.factor(values), order.factor(2 * values)
    assert one is not None
    assert two is not None
    amps = np.linspace(-1, 1, 250)
    assert one(amps) == pytest.approx(2 * two(amps), rel=1e-9)
    assert one(2 * amps) == pytest.approx(2 * one(amps))


def test_a_matrix_without_an_inverse_has_no_factor() -> None:
    rows, columns, values = wired(2, 120, 10)
    gone = (rows == 7) | (columns == 7)
    assert Elimination(120, rows, columns).factor(np.where(gone, 0.0, values)) is None


def test_what_hangs_together_all_over_is_left_to_others() -> None:
    size = MOST_CORE + 40
    rows, columns = np.divmod(np.arange(size * size), size)
    assert Elimination(size, rows, columns).factor(np.eye(size).ravel() + 1.0) is None
