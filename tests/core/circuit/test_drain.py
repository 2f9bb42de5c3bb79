"""The drain with the key off, against a battery's ampere-hours worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from core.circuit.drain import AfterRun, drain
from core.circuit.engine import Engine
from core.job.internals import Feed, Internal, LiveIn, Load, Output, StepDown, VoltWindow
from core.job.record import CarBattery
from tests.core.circuit.cases.asked import engine_of
from tests.core.circuit.cases.build import ACCESSORY, ALWAYS, Run, body, job_of, part

SIXTY = CarBattery(ohms=0.001, amp_hours=60)


def fed(*inside: Internal, battery: CarBattery = SIXTY, **feed: Any) -> Engine:
    """One box on a constant feed of the car."""
    car = part("CAR", "feed", Feed(terminal="A-feed", live=ALWAYS, ohms=0.01, **feed), car=True)
    box = part("BOX", "plus minus out", *inside)
    runs = [Run("CAR-feed", "BOX-plus"), Run("BOX-minus", "GND-bolt")]
    return engine_of(job_of([car, box, body()], runs, battery=battery))


def test_fifty_milliamps_empty_half_of_sixty_ampere_hours_in_25_days() -> None:
    # 30 Ah / 0.05 A = 600 h.
    found = drain(fed(Load(plus="A-plus", minus="A-minus", amps=0.05)))
    assert found.amps == pytest.approx(0.05, rel=1e-3)
    assert found.days_to_half == pytest.approx(25, rel=1e-3)
    assert [draw.name for draw in found.by_device] == ["BOX#0"]
    assert [draw.name for draw in found.by_part] == ["BOX"]
    assert (found.battery_amp_hours, found.battery_stated) == (60, True)
    assert (found.not_stated, found.after_run) == ((), ())


def test_what_else_hangs_on_the_cars_feeds_is_not_the_jobs() -> None:
    """It is 12.6 mA through 1000 ohm here, which the battery gives and nobody stated."""
    engine = fed()
    assert engine.point(engine.positions[0]).device_amps("battery") == pytest.approx(0.0126, rel=0.01)
    found = drain(engine)
    assert (found.amps, found.by_device, found.days_to_half) == (0, (), None)


def test_a_load_that_is_off_draws_its_idle_amps() -> None:
    idle = Load(plus="A-plus", minus="A-minus", amps=4, on=ACCESSORY, idle_amps=0.006)
    # 6 mA at 12 V are 2000 ohm; at 12.6 V they are 6.3 mA.
    assert drain(fed(idle)).amps == pytest.approx(0.0063, rel=1e-3)


def test_loads_of_which_nobody_knows_the_draw_are_listed() -> None:
    found = drain(
        fed(
            Load(plus="A-plus", minus="A-minus"),
            Load(plus="A-plus", minus="A-minus", amps=4, on=ACCESSORY),
            Load(plus="A-out", minus="A-minus"),
        )
    )
    # The third is not fed, so that it draws nothing whatever it is.
    assert found.not_stated == ("BOX#0", "BOX#1")
    assert found.amps == 0


def test_a_step_down_and_what_hangs_on_it_share_what_the_battery_gives() -> None:
    # 6 V x 0.1 A at 85 %: 0.706 W, 56 mA of 12.6 V; 5 V x 1 mA is nothing beside it. Idle 10 mA on top.
    step = StepDown(
        input="A-plus",
        output="A-out",
        common="A-minus",
        volts_out=6,
        accepts=VoltWindow(least=9, most=16),
        efficiency=0.85,
        idle_amps=0.01,
    )
    found = drain(fed(step, Load(plus="A-out", minus="A-minus", amps=0.1)))
    by = {draw.name: draw.amps for draw in found.by_device}
    assert found.amps == pytest.approx(0.6 / 0.85 / 12.6 + 0.01, rel=2e-3)
    assert by["BOX#1"] == pytest.approx(0.6 / 12.6, rel=5e-3)
    assert by["BOX#0"] == pytest.approx(0.6 * (1 / 0.85 - 1) / 12.6 + 0.01, rel=5e-3)
    assert found.by_part[0].amps == pytest.approx(found.amps)


def test_what_stays_awake_after_key_off_is_told() -> None:
    output = Output(terminal="A-out", live=LiveIn(keys=("run",)), fed_from="A-plus", off_delay_s=90)
    found = drain(fed(output, manner="timed", after_run_minutes=20))
    assert found.after_run == (AfterRun("CAR.A-feed", 20), AfterRun("BOX#0", 1.5))


def test_a_battery_that_is_not_stated_is_assumed() -> None:
    found = drain(fed(Load(plus="A-plus", minus="A-minus", amps=0.05), battery=CarBattery(ohms=0.001)))
    assert (found.battery_amp_hours, found.battery_stated) == (60, False)
