"""Field cases of what hangs on a feed: each asserts the reading that was stated.

`stated`: in the case as it was told. `ours`: worked out here, by hand, in the comment.
"""

from __future__ import annotations

import pytest

from core.circuit.positions import position
from tests.core.circuit.cases.asked import Answers, solid_wires
from tests.core.circuit.cases.fed import (
    BUTTONS,
    camera_behind_two_resistors,
    camera_on_a_signal,
    far_load,
    ground_on_a_lamp_wire,
    ladder,
    pierced_feed,
    pulsed_lamp_feed,
    shared_return,
    trailer,
    truck_converter,
)


@pytest.mark.parametrize("where", ["run+reverse", "running+reverse"])
def test_two_resistors_set_a_regulator_to_6_and_a_half_volts(where: str) -> None:
    """Stated: 100 and 420 ohm for a window of 5 to 7 V. 1.25 x (1 + 420/100) + 50 uA x 420 = 6.52 V."""
    found = Answers(camera_behind_two_resistors())
    # To the regulator's own minus, which the body's milliohms lift a little.
    assert found.across("REG-out", "REG-minus", where) == pytest.approx(6.52, abs=0.01)
    assert 5.0 < found.across("CAM-plus", "CAM-minus", where) < 7.0


@pytest.mark.parametrize(("where", "volts"), [("run+reverse", 12.6), ("running+reverse", 14.2), ("run", 0.0)])
def test_the_reverse_feed_itself_is_too_high_for_that_camera(where: str, volts: float) -> None:
    """Stated: 12.6 to 14.4 V where 5 to 7 V are wanted; 0 V out of reverse."""
    found = Answers(camera_behind_two_resistors(regulated=False))
    assert found.across("CAM-plus", "CAM-minus", where) == pytest.approx(volts, abs=0.05)


def test_a_signal_output_collapses_under_a_camera() -> None:
    """Stated: 5 V unloaded, too little for a radio that wants 6 to 9 V; nothing left with the camera on it.

    Ours: below its 9 V the camera is 9 V / 0.15 A = 60 ohm; 20 mA through it are 1.2 V.
    """
    alone = Answers(camera_on_a_signal(camera=False))
    assert alone.volts("RAD-reverse", "run+reverse") == pytest.approx(5.0, abs=0.05)
    assert alone.at("run+reverse").limiting == ()
    found = Answers(camera_on_a_signal())
    assert found.volts("RAD-reverse", "run+reverse") == pytest.approx(1.2, abs=0.05)
    assert [name.partition("#")[0] for name in found.at("run+reverse").limiting] == ["ADA"]
    assert found.volts("RAD-reverse", "run") == pytest.approx(0.0, abs=0.05)


def test_a_pulsed_feed_reads_its_average_and_stands_at_its_full_volts() -> None:
    """Stated: half of the time on at 13.5 V, a meter shows 6.8 V."""
    point = Answers(pulsed_lamp_feed()).at("run+reverse")
    assert point.volts("CAM.A-plus") == pytest.approx(6.8, abs=0.1)
    assert point.full.volts("CAM.A-plus") == pytest.approx(13.5, abs=0.05)


# Stated: ohms and volts of every button of a ladder that is fed with 5 V; and at rest.
LADDER_VOLTS = {"one": 1.3, "two": 1.7, "three": 2.1, "four": 2.5, "five": 2.9, "six": 3.3}


@pytest.mark.parametrize(("button", "stated"), LADDER_VOLTS.items())
def test_every_button_of_a_ladder_has_its_volts(button: str, stated: float) -> None:
    """The stated volts within 0.1 V. Ours: 5 x R / (R + 230)."""
    found = Answers(ladder())
    point = found.engine.point(position(f"off+{button}", [button]))
    volts = point.volts("RAD.A-key")
    assert volts is not None
    ohms = BUTTONS[button]
    assert volts == pytest.approx(stated, abs=0.1)
    assert volts == pytest.approx(5.0 * ohms / (ohms + 230.0), abs=0.005)


def test_a_ladder_at_rest() -> None:
    """Stated: 4.5 V at 2563 ohm. Ours: 5 x 2563 / 2793 = 4.59 V."""
    assert Answers(ladder()).volts("RAD-key", "off") == pytest.approx(4.5, abs=0.1)


def test_a_bad_spot_in_a_wire_shows_only_under_load() -> None:
    """Stated: 12 V open, 8 V loaded. Ours: at 20 A the spot has 0.2 ohm and takes 80 W."""
    found = Answers(pierced_feed())
    assert found.volts("LMP-plus", "off") == pytest.approx(8.0, abs=0.1)
    assert found.meter("LMP-plus", "body", "off", loaded=False) == pytest.approx(12.0, abs=0.05)
    assert found.at("off").part_watts("HOL") == pytest.approx(80.0, abs=0.5)
    assert Answers(pierced_feed(None)).volts("LMP-plus", "off") == pytest.approx(12.0, abs=0.1)


@pytest.mark.parametrize(
    ("gauge", "length_feet", "stated"),
    # Stated: 1.19 V and 0.047 V. Ours: both follow from 75.3 A through 40 ft and 4 ft of solid copper.
    [("6 AWG", 20.0, 1.19), ("2 AWG", 2.0, 0.047)],
)
def test_a_charger_far_from_its_battery(gauge: str, length_feet: float, stated: float) -> None:
    assert lost(gauge, length_feet, 75.3) == pytest.approx(stated, rel=0.01)


@pytest.mark.parametrize(
    # Stated: what 15 ft lose at 30 A, one way; 18 AWG makes 5.7 W and 20 AWG 9.1 W of every foot.
    ("gauge", "stated", "watts_per_foot"),
    [("10 AWG", 0.45, 0.9), ("18 AWG", 2.9, 5.7), ("20 AWG", 4.6, 9.1)],
)
def test_a_feed_that_was_made_thicker_and_its_return_was_not(
    gauge: str, stated: float, watts_per_foot: float
) -> None:
    """A trailer's inverter on a new feed of 10 AWG: the old return of the lamps burned."""
    drop = lost(gauge, 15.0, 30.0) / 2
    assert drop == pytest.approx(stated, rel=0.015)
    assert drop * 30.0 / 15.0 == pytest.approx(watts_per_foot, rel=0.015)


@pytest.mark.parametrize(
    ("gauge", "percent"), [("12 AWG", 2.8), ("10 AWG", 1.7), ("16 AWG", 7.0), ("18 AWG", 11.2)]
)
def test_a_run_out_and_back_loses_its_share(gauge: str, percent: float) -> None:
    """Stated: 10 A, 11 ft out and 10 ft back, of 12 V."""
    assert lost(gauge, 10.5, 10.0) / 12.0 * 100 == pytest.approx(percent, abs=0.06)


def test_a_charge_wire_of_30_feet_one_way() -> None:
    """Stated: 10 AWG, 3.5 A, 60 ft of copper lose 0.21 V."""
    assert lost("10 AWG", 30.0, 3.5) == pytest.approx(0.21, abs=0.005)


def lost(gauge: str, length_feet: float, amps: float) -> float:
    """Volts lost on the way there and back, in solid wires of that gauge."""
    point = Answers(far_load(gauge, length_feet, amps), solid_wires()).at("off")
    feed, back = point.drop_volts("W1"), point.drop_volts("W2")
    assert feed is not None
    assert back is not None
    return abs(feed) + abs(back)


def test_a_shared_return_lifts_the_radios_ground_while_the_brake_is_down() -> None:
    """Stated: 5 A of brake lamps through 0.2 ohm of shared return shift the radio's ground by 1 V."""
    found = Answers(shared_return(0.2))
    shift = found.volts("RAD-ground", "run+brake") - found.volts("RAD-ground", "run")
    assert shift == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize(
    ("law", "least", "most"),
    # Stated: 8 to 9 V with fixed hot ohms, 10.0 V within 0.3 V by the law of filaments.
    # Ours, fixed: 12.6 x 7.2 / (7.2 + 3.43) = 8.53 V. By the law the amps go as volts^0.55, so that
    # brake/running = (3.43 / 7.2)^(1/0.55) = 0.2595 and the frame stands at 12.6 / 1.2595 = 10.00 V.
    [("ohms", 8.4, 8.6), ("lamp", 9.95, 10.05)],
)
def test_a_trailer_without_its_ground_feeds_back_through_the_running_lamps(
    law: str, least: float, most: float
) -> None:
    found = Answers(trailer(law))
    assert least < found.volts("TRL-frame", "off+brake") < most


@pytest.mark.parametrize("law", ["ohms", "lamp"])
def test_with_the_running_lamps_on_too_everything_goes_out(law: str) -> None:
    """Stated: the frame floats to the feed and all lamps go out."""
    found = Answers(trailer(law))
    where = "off+lights+brake"
    assert found.volts("TRL-frame", where) == pytest.approx(12.6, abs=0.05)
    assert found.at(where).part_watts("TRL") == pytest.approx(0.0, abs=0.01)


def test_a_trailer_that_is_grounded_stands_at_the_cars_ground() -> None:
    """Stated: healthy is below 0.3 V."""
    found = Answers(trailer("lamp", hitch=True))
    assert found.volts("TRL-frame", "off+brake") < 0.3
    assert found.volts("TRL-frame", "off+lights+brake") < 0.3


def test_a_lamp_wire_reads_as_ground_while_its_lamps_are_cold() -> None:
    """Stated: four lamps of 5 W and two more of 5 W are 0.4 to 0.5 ohm cold, for which a beeper sounds.

    Ours: six of 144/5 = 28.8 ohm hot, cold 8 % of it: 0.384 ohm.
    """
    found = Answers(ground_on_a_lamp_wire())
    ohms = found.meter("RAD-ground", "body", "off", quantity="ohms")
    assert ohms is not None
    assert 0.3 < ohms < 0.5
    # It works on them all day. By the law of filaments v / (12.6 - v) = (4.8 / 12) x (v / 12)^0.45: 1.86 V.
    assert found.across("RAD-feed", "RAD-ground", "run") == pytest.approx(12.6 - 1.86, abs=0.02)


def test_a_radio_grounded_on_a_lamp_wire_dies_with_the_lights() -> None:
    """Stated: across the radio 12.6 V without lights and about 0 V with them, both ends at 12.6 V."""
    found = Answers(ground_on_a_lamp_wire())
    # In the running position with the lights on: 14.2 V at both ends.
    assert found.volts("RAD-ground", "running+lights") == pytest.approx(14.2, abs=0.1)
    assert found.across("RAD-feed", "RAD-ground", "running+lights") == pytest.approx(0.0, abs=0.1)


def test_its_case_on_the_body_blows_the_lamp_fuse() -> None:
    """Stated: the fuse of 15 A blew as the lights were turned on."""
    point = Answers(ground_on_a_lamp_wire(case_on_body=True)).at("running+lights")
    assert point.opened == ("fuse tail lamps",)
    assert point.shorts


def test_a_converter_gives_no_more_than_its_10_amps() -> None:
    """Stated: transmitting and the player are 10 to 11 A, the converter has 10 A.

    Ours: 11 A at 11 V or more are 1.0 ohm below; 10 A through it are 10.0 V.
    """
    found = Answers(truck_converter())
    point = found.at("running")
    assert [name.partition("#")[0] for name in point.limiting] == ["CNV"]
    assert found.across("SET1-plus", "SET1-minus", "running") == pytest.approx(10.0, abs=0.1)


def test_a_converter_left_on_for_memory_drains_the_pair() -> None:
    """Stated: 50 mA idle are 1.2 Ah a day at 24 V."""
    found = Answers(truck_converter(()))
    idle = found.amps("W1", "off")
    # The car's feed has its own 1000 ohm of other things, which are not in the converter's lead.
    assert idle * 24 == pytest.approx(1.2, abs=0.01)
    assert found.across("CNV-in", "CNV-minus", "off") == pytest.approx(25.2, abs=0.05)
