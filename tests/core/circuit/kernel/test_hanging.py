"""What hangs on something at rest stands where that leaves it, whatever way was come. Worked by hand."""

from __future__ import annotations

import pytest

from core.circuit.network import Diode, Load, Regulator
from tests.core.circuit.kernel.nets import network, solved, source


def step_down(into: int, out: int, common: int, *, idle_amps: float = 0.01) -> Regulator:
    return Regulator(
        "step-down",
        into,
        out,
        common,
        6.0,
        None,
        0.01,
        switching=False,
        efficiency=1.0,
        idle_amps=idle_amps,
        drop_out_volts=1.5,
        least_volts=0.0,
        limit_amps=None,
        back_drop_volts=0.7,
    )


def test_a_step_down_that_nothing_feeds_stands_at_its_ground() -> None:
    # 12 V at 1; the step-down's ground, 2, is up at 6 V between two resistors; its input hangs loose at 3.
    net = network(5, [(1, 2, 100.0), (2, 0, 100.0)], source(1, 0, 12.0, 0.001), step_down(3, 4, 2))
    found = solved(net).after
    assert found.volts[2] == pytest.approx(6.0, rel=1e-4)
    assert not found.floating[3]
    assert found.volts[3] == pytest.approx(found.volts[2], abs=1e-6)
    assert found.floating[4]  # it gives nothing: its output is tied to nothing


def test_a_step_down_with_nothing_on_it_holds_its_output() -> None:
    net = network(3, [], source(1, 0, 12.0), step_down(1, 2, 0))
    found = solved(net).after
    assert not found.floating[2]
    assert found.volts[2] == pytest.approx(6.0)


def test_a_load_that_has_lost_its_ground_stands_at_its_feed_and_another_one_does_not_pull_it_down() -> None:
    # Their common return, 3, hangs loose: the load at 12 V lifts it, the one at 5 V is blocked.
    loads = [Load(f"load {plus}", plus, 3, "amps", 1.0, 6.0) for plus in (1, 2)]
    net = network(4, [], source(1, 0, 12.0), source(2, 0, 5.0, name="other"), *loads)
    found = solved(net).after
    assert found.volts[3] == pytest.approx(12.0)
    assert found.device_amps["load 1"] == pytest.approx(0.0, abs=1e-9)


def test_what_a_diode_keeps_up_before_a_load_ties_it_floats() -> None:
    # A diode from 12 V keeps the loose node 3 above 11.3 V; the load from 5 V into it is far from leading.
    diode = Diode("diode", 1, 3, 0.7, 0.01)
    load = Load("load", 2, 3, "amps", 1.0, 6.0)
    net = network(4, [], source(1, 0, 12.0), source(2, 0, 5.0, name="other"), diode, load)
    found = solved(net).after
    assert found.floating[3]
    assert found.device_amps["diode"] == pytest.approx(0.0, abs=1e-9)
