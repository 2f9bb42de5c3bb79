"""Field cases of grounds, outputs and batteries: each asserts the reading that was stated.

`stated`: in the case as it was told. `ours`: worked out here, by hand, in the comment.
"""

from __future__ import annotations

import pytest

from tests.core.circuit.cases.asked import Answers
from tests.core.circuit.cases.build import ref
from tests.core.circuit.cases.grounded import (
    camera_behind_a_regulator,
    coils_on_an_output,
    exchanged_feeds,
    grounded_by_shields,
    middle_of_a_pair,
    negative_case_on_a_positive_frame,
)


def test_exchanged_feeds_show_at_the_memory_lead() -> None:
    """Stated: memory 0, 12.6, 12.6, 0 V in off, accessory, run and start; the switched lead always live."""
    found = Answers(exchanged_feeds())
    for where, memory, switched in (
        ("off", 0.0, 12.6),
        ("accessory", 12.6, 12.6),
        ("run", 12.6, 12.6),
        ("start", 0.0, 10.0),
    ):
        assert found.volts("RAD-memory", where) == pytest.approx(memory, abs=0.05)
        assert found.volts("RAD-switched", where) == pytest.approx(switched, abs=0.05)


def test_a_radio_without_its_ground_stands_at_its_feed() -> None:
    """Stated: ground open, the radio floats at 12 V and draws nothing."""
    found = Answers(grounded_by_shields(shields=False))
    volts = found.at("run").volts(ref("RAD-ground"))
    assert volts is None or volts == pytest.approx(12.6, abs=0.05)
    assert found.amps("W1", "run") == pytest.approx(0.0, abs=1e-4)


def test_supply_current_in_a_shield_lifts_the_audio_ground() -> None:
    """Stated: 1 to 10 A in shields of 0.1 to 0.3 ohm shift it by 0.1 to 3 V. Ours: 5 A x 0.2 ohm = 1 V."""
    found = Answers(grounded_by_shields(shields=True))
    assert found.volts("RAD-ground", "run") == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize(("coils", "stated"), [(1, 0.14), (2, 0.28)])
def test_two_relays_are_too_much_for_an_output_of_200_ma(coils: int, stated: float) -> None:
    """Stated: two coils of 90 ohm take 0.28 A. Ours: 12.6 V / 90 ohm = 0.14 A each."""
    found = Answers(coils_on_an_output(coils))
    assert abs(found.amps("W1", "run")) == pytest.approx(stated, abs=0.002)


def test_a_linear_regulator_makes_heat() -> None:
    """Stated: (14.4 - 6) V x 0.15 A = 1.3 W in the regulator."""
    found = Answers(camera_behind_a_regulator())
    assert found.volts("CAM-plus", "running") == pytest.approx(6.0, abs=0.02)
    assert found.at("running").part_watts("REG") == pytest.approx(1.26, abs=0.02)


@pytest.mark.parametrize(("battery", "camera"), [(10.0, 6.0), (8.0, 6.0), (7.0, 5.0)])
def test_a_regulator_fails_below_8_volts_while_cranking(battery: float, camera: float) -> None:
    """Stated: it needs 8 V. Ours: below, the input less 2 V of head-room."""
    found = Answers(camera_behind_a_regulator(battery))
    assert found.volts("CAM-plus", "start") == pytest.approx(camera, abs=0.02)


def test_a_negative_case_on_a_positive_frame_is_a_dead_short() -> None:
    """Stated: a dead short through the case. Nothing in the loop is a fuse."""
    point = Answers(negative_case_on_a_positive_frame()).at("off")
    (short,) = point.shorts
    assert short.amps > 100.0
    assert short.opens is None


def test_the_lower_battery_of_a_pair_is_emptied_alone() -> None:
    """Stated: the lower battery is cycled while the upper one is not. Ours: 12.6 V - 20 A x 0.01 ohm."""
    found = Answers(middle_of_a_pair())
    assert found.volts("TRX-plus", "off") == pytest.approx(12.4, abs=0.05)
    assert found.at("off").device_amps("LOW#0") == pytest.approx(20.0, abs=0.1)
    assert found.at("off").device_amps("UPP#0") == pytest.approx(0.025, abs=0.005)
