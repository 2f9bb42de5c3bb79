"""Field cases of feeds, the key and speakers: each asserts the reading that was stated.

`stated`: in the case as it was told. `ours`: worked out here, by hand, in the comment.
"""

from __future__ import annotations

import pytest

from tests.core.circuit.cases.asked import Answers, solid_wires
from tests.core.circuit.cases.build import IGNITION
from tests.core.circuit.cases.keyed import (
    bridged_pair,
    cut_off,
    five_feeds,
    half_dead_pair,
    sense_at_diode,
    socket_signal,
)

KEYS = ("off", "accessory", "run", "start")


def test_a_run_signal_from_the_accessory_socket_is_gone_while_cranking() -> None:
    """Stated: nothing on the socket for the seconds of cranking; 12.6, 12.6, 0, 14.2 V by key."""
    found = Answers(socket_signal())
    for where, volts in {"accessory": 12.6, "run": 12.6, "start": 0.0, "running": 14.2}.items():
        assert found.volts("CAR-socket", where) == pytest.approx(volts, abs=0.1)
        assert found.volts("COM-run", where) == pytest.approx(volts, abs=0.1)
    assert found.at("start").part_watts("COM") == pytest.approx(0.0, abs=1e-3)


def test_a_run_signal_from_the_ignition_holds_its_relay_while_cranking() -> None:
    """Ours: 10.0 V less the battery's milliohms; the relay needs 7.2 V to pull in and has pulled in."""
    found = Answers(socket_signal(IGNITION))
    assert found.volts("COM-run", "start") == pytest.approx(10.0, abs=0.1)


# Stated: which feeds are live in off, accessory, run, start.
FINGERPRINTS = {
    "constant": "1111",
    "accessory": "0110",
    "ignition": "0011",
    "ignition-2": "0010",
    "start": "0001",
}


@pytest.mark.parametrize(("feed", "pattern"), FINGERPRINTS.items())
def test_feeds_are_told_apart_by_their_fingerprints(feed: str, pattern: str) -> None:
    """Live is the battery's own volts (10.0 V while cranking), dead is 0 V and no floating node."""
    found = Answers(five_feeds())
    for where, live in zip(KEYS, pattern, strict=True):
        battery = 10.0 if where == "start" else 12.6
        assert found.volts(f"CAR-{feed}", where) == pytest.approx(battery * int(live), abs=0.05)


def test_a_starter_returns_through_the_radio_when_the_battery_is_cut_off() -> None:
    """Stated: 3 ft of 20 AWG are 30 mohm; 100 A through it lose 3 V and 300 W: it burns."""
    found = Answers(cut_off(), solid_wires())
    closed, opened = "start", "start+cut-off"
    amps, drop = found.amps("W1", opened), found.at(opened).drop_volts("W1")
    assert abs(amps) == pytest.approx(100.0, abs=0.1)
    assert drop is not None
    assert abs(drop) == pytest.approx(3.0, rel=0.02)
    assert drop * amps == pytest.approx(300.0, rel=0.02)
    # The body stands as far above the battery's minus as the lead loses.
    assert found.volts("GND-bolt", opened) == pytest.approx(3.0, rel=0.03)
    # With the cut-off closed the lead has what a divider leaves it: 0.131 mohm of cut-off and its wires
    # beside 30.65 mohm of bolt, case and lead, 0.43 A of 100.
    assert abs(found.amps("W1", closed)) == pytest.approx(0.43, abs=0.01)


def test_a_fuse_in_the_radios_ground_opens_first() -> None:
    """Stated: a fuse in the memory feed opens first, if there is one. Then the starter has no return."""
    found = Answers(cut_off(10.0))
    point = found.at("start+cut-off")
    assert len(point.opened) == 1
    assert point.opened[0].startswith("FUS#")
    assert abs(point.moment.amps("W1") or 0.0) == pytest.approx(100.0, abs=0.5)
    assert abs(point.amps("W1") or 0.0) < 0.1


@pytest.mark.parametrize(
    ("side", "by_key", "by_starter"),
    # Stated: on the car's side 0 V in remote run and 12 V by the key; on the starter's side 12 V in both.
    # 12.6 V become 11.9 V behind the diode's 0.7 V.
    [("car", 12.6, 0.0), ("starter", 11.9, 12.6)],
)
def test_where_a_sense_looks_beside_a_diode(side: str, by_key: float, by_starter: float) -> None:
    found = Answers(sense_at_diode(side))
    assert found.volts("INT-sense", "run") == pytest.approx(by_key, abs=0.05)
    assert found.volts("INT-sense", "off+remote") == pytest.approx(by_starter, abs=0.05)


def test_a_bridged_pair_rests_at_half_the_feed_on_both_leads() -> None:
    """Stated: about 6.3 V on each lead to the body, 0 V across."""
    found = Answers(bridged_pair())
    for lead in ("AMP-plus", "AMP-minus"):
        assert found.volts(lead, "off") == pytest.approx(6.3, abs=0.05)
        assert found.meter(lead, "body", "off") == pytest.approx(6.3, abs=0.05)
    assert found.meter("AMP-plus", "AMP-minus", "off") == pytest.approx(0.0, abs=0.01)
    assert found.amps("W3", "off") == pytest.approx(0.0, abs=0.01)


def test_a_pair_with_a_dead_half_shows_6_volts_across() -> None:
    """Stated: about 6 V across the pair; the same words, at another reference, mean a healthy one."""
    found = Answers(half_dead_pair())
    assert found.meter("AMP-plus", "AMP-minus", "off") == pytest.approx(6.3, abs=0.35)
    assert found.meter("AMP-plus", "body", "off") == pytest.approx(6.3, abs=0.35)


def test_a_bridged_output_into_a_grounded_speaker_is_a_steady_current() -> None:
    """Stated: about 6.5 V on every lead, several amps. Ours: 6.5 V / 3.2 ohm = 2 A, 13 W of heat.

    The output's own 0.05 ohm leave 6.5 / 3.25 = 2.00 A and 12.8 W.
    """
    found = Answers(bridged_pair("body", 13.0))
    assert found.amps("W3", "off") == pytest.approx(2.0, abs=0.05)
    assert found.at("off").part_watts("SPK") == pytest.approx(13.0, abs=0.5)
    assert found.volts("AMP-minus", "off") == pytest.approx(6.5, abs=0.05)
