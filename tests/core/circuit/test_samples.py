"""Operating points of the sample jobs: volts and amps worked out by hand, as a technician would.

The laws are those of the parts (amps, watts over efficiency, a lamp's ohms); the figures beside the checks
are Ohm's law with the sample's own values.
"""

from __future__ import annotations

from functools import cache

import pytest

from core.circuit.engine import Engine
from core.circuit.operating import OperatingPoint
from core.files import SUFFIX
from core.files.job_file import load_job
from core.net.graph import build
from core.paths import sample_jobs_folder
from tests.samples.make import shipped_library
from tests.samples.recipes import SAMPLES

LIBRARY = shipped_library()


@cache
def engine(name: str) -> Engine:
    job = load_job(sample_jobs_folder() / f"{name}{SUFFIX}")
    return Engine(job, LIBRARY, build(job))


def at(name: str, position: str) -> OperatingPoint:
    found = engine(name)
    return found.point(found.position(position))


def volts(point: OperatingPoint, plus: str, minus: str) -> float:
    high, low = point.volts(plus), point.volts(minus)
    assert high is not None
    assert low is not None
    return high - low


def amps(point: OperatingPoint, ref: str) -> float:
    found = point.amps(ref)
    assert found is not None
    return abs(found)


SOUND = [name for name in SAMPLES if name not in ("first_light", "van_five_mistakes")]


@pytest.mark.parametrize("name", SOUND)
def test_in_a_sound_sample_nothing_opens_burns_or_is_asked_for_too_much(name: str) -> None:
    solved = engine(name)
    for position in solved.positions:
        point = solved.point(position)
        assert not point.unsolved
        assert (point.opened, point.overloaded, point.cannot_hold, point.limiting) == ((), (), (), ())
        assert (point.burning, point.shorts, point.chatter) == ((), (), ())


def test_every_load_of_a_sound_sample_gets_volts_that_it_accepts_while_it_is_needed() -> None:
    seen = 0
    for name in SOUND:
        solved = engine(name)
        for part in solved.job.parts.values():
            for internal in part.internals:
                needed, window = getattr(internal, "needed", None), getattr(internal, "accepts", None)
                minus = getattr(internal, "minus", None)
                if needed is None or window is None or minus is None:
                    continue
                for position in solved.positions:
                    if position.has(needed):
                        point = solved.point(position)
                        there = volts(point, f"{part.id}.{internal.plus}", f"{part.id}.{minus}")
                        assert window.least <= there <= window.most, (name, part.id, position.name)
                        seen += 1
    assert seen > 100


def test_the_step_down_of_the_truck_makes_12_v_of_24() -> None:
    running, off, start = (at("truck_24v", key) for key in ("running", "off", "start"))
    # 4 A at full volume, and 2 A of the two-way radio; 13.2 V from each converter.
    assert amps(running, "REC.A-1") == pytest.approx(4.0, abs=0.02)
    assert amps(running, "TWR.A-1") == pytest.approx(2.0, abs=0.02)
    assert volts(running, "REC.A-1", "REC.A-2") == pytest.approx(13.2, abs=0.2)
    # What goes in: 13.2 V x 4 A / 0.88 = 60 W, of 28.4 V.
    assert amps(running, "SDN.A-1") == pytest.approx(60 / 28.4, rel=0.03)
    # Key off: the memory is fed, the accessory side is dead, and the drain is that of the converter.
    assert volts(off, "REC.A-1", "REC.A-2") == pytest.approx(13.2, abs=0.05)
    assert volts(off, "REC.A-3", "REC.A-2") == pytest.approx(0.0, abs=0.01)
    assert amps(off, "SDN.A-1") < 0.02
    assert volts(start, "REC.A-1", "REC.A-2") == pytest.approx(13.2, abs=0.05)


def test_the_camper_charges_its_second_battery_while_the_engine_runs() -> None:
    running, off = at("camper_second_battery", "running"), at("camper_second_battery", "off")
    # 14.2 - 12.8 V over some 45 mohm: two batteries, two fuses, relay, 4.5 m of 16 mm2 and the ground side.
    charging = amps(running, "FUA.A-1")
    assert 20 < charging < 40
    assert amps(off, "FUA.A-1") < 0.001
    assert amps(at("camper_second_battery", "start"), "FUA.A-1") < 0.001
    # A compressor of 45 W.
    assert volts(off, "COO.A-1", "COO.A-2") * amps(off, "COO.A-1") == pytest.approx(45.0, rel=0.001)
    cut = at("camper_second_battery", "off+cut-off")
    assert volts(cut, "COO.A-1", "COO.A-2") == pytest.approx(0.0, abs=0.01)
    assert amps(at("camper_second_battery", "off+hand-switch"), "SWT.A-2") == pytest.approx(0.85, abs=0.02)


def lamp_amps(watts: float, there: float) -> float:
    """A 12 V lamp: ohms = 144 / watts x (volts / 12) ^ 0.45."""
    return there / (144.0 / watts * (there / 12.0) ** 0.45)


@pytest.mark.parametrize(
    ("position", "tap", "lamp", "watts"),
    [
        ("running+left", "TLT.A-1", "TRLC.A-1", 21),
        ("running+right", "TRT.A-1", "TRLC.A-4", 21),
        ("off+brake", "BPT.A-1", "TRLC.A-6", 42),
        ("running+lights", "TAT.A-1", "TRLC.A-5", 20),
    ],
)
def test_a_lamp_of_the_trailer_draws_as_a_filament_does(
    position: str, tap: str, lamp: str, watts: float
) -> None:
    point = at("trailer_lamps", position)
    there = volts(point, lamp, "TRLC.A-3")
    assert there > 12.0
    assert amps(point, tap) == pytest.approx(lamp_amps(watts, there), rel=0.02)
    # The hitch takes its small share, as 0.2 ohm beside some 15 mohm of wire.
    assert amps(point, "HIT.A-1") < 0.15 * amps(point, tap)


@pytest.mark.parametrize(
    ("button", "ohms"), [("volume-up", 100), ("next", 390), ("source", 1200), ("hang-up", 4700)]
)
def test_a_held_button_divides_the_readers_volts(button: str, ohms: float) -> None:
    point = at("steering_ladder", f"running+{button}")
    # 1 kilohm in the reader above it, to 5 V.
    assert volts(point, "DIF.A-5", "DIF.A-7") == pytest.approx(5.0 * ohms / (ohms + 1000), abs=0.01)


def test_the_added_button_reads_through_its_own_resistor() -> None:
    pressed, rest = at("steering_ladder", "running+push-button"), at("steering_ladder", "running")
    assert volts(pressed, "DIF.A-6", "DIF.A-7") == pytest.approx(5.0 * 1500 / 2500, abs=0.01)
    assert volts(rest, "DIF.A-6", "DIF.A-7") == pytest.approx(5.0, abs=0.01)


def test_the_interfaces_low_side_output_works_the_relay_in_reverse_only() -> None:
    run, reverse = at("steering_ladder", "run"), at("steering_ladder", "run+reverse")
    assert volts(run, "REC.A-5", "REC.A-2") == pytest.approx(0.0, abs=0.05)
    assert volts(reverse, "REC.A-5", "REC.A-2") == pytest.approx(12.3, abs=0.2)
    # 12.3 V over a coil of 85 ohm.
    assert amps(reverse, "DIF.A-10") == pytest.approx(12.3 / 85, rel=0.03)


def test_diodes_keep_the_brake_from_the_reverse_lamps() -> None:
    braking, reverse = at("camera_two_triggers", "off+brake"), at("camera_two_triggers", "run+reverse")
    assert volts(braking, "RVT.A-1", "body") == pytest.approx(0.0, abs=0.01)
    assert volts(reverse, "BPT.A-1", "body") == pytest.approx(0.0, abs=0.01)
    # One drop of 0.7 V and the ways: the camera sees what is left.
    for point, feed in ((braking, "BPT.A-1"), (reverse, "RVT.A-1")):
        assert volts(point, feed, "CAM.A-1") == pytest.approx(0.73, abs=0.03)
        assert amps(point, "CAM.A-1") == pytest.approx(0.15, abs=0.001)


def test_the_receiver_of_the_positive_classic_stands_between_body_and_step_up() -> None:
    running = at("classic_positive", "running")
    # The body is plus: 7.1 V above the battery's minus; the step-up adds to the hot side's 0 V.
    assert volts(running, "body", "battery -") == pytest.approx(7.1, abs=0.15)
    assert volts(running, "REC.A-1", "REC.A-2") == pytest.approx(12.5, abs=0.15)
    # 12.6 V x 4 A / 0.85 = 59 W of 7 V.
    assert amps(running, "STU.A-1") == pytest.approx(59 / 6.8, rel=0.05)
    assert amps(at("classic_positive", "off"), "STU.A-1") < 0.1


def test_an_amplifier_draws_what_it_states_only_while_it_is_turned_on() -> None:
    running, off = at("estate_amplifier", "running"), at("estate_amplifier", "off")
    # 30 A over 4.5 m of 16 mm2 at 1.21 ohm per km: 0.16 V, and as much again in posts, fuse and battery.
    assert amps(running, "BAT.A-1") == pytest.approx(30.0, abs=0.1)
    assert volts(running, "FUS.A-2", "AMP.P-1") == pytest.approx(30 * 0.00121 * 4.65, rel=0.35)
    assert amps(off, "BAT.A-1") < 0.003
