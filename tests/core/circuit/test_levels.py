"""Which volts reach what, position by position, worked out by hand."""

from __future__ import annotations

import pytest

from core import edits as ed
from core.circuit.cache import ElementCache, whole
from core.circuit.engine import Engine
from core.circuit.levels import Levels
from core.circuit.positions import position
from core.job.document import Job
from core.job.internals import Diode, Fuse, GroundPoint, LiveIn, Output, Relay, StepDown, VoltWindow
from core.job.parts import Cavity
from core.net.graph import build
from tests.core.checks.jobs import capped, jobs_of, joined, library, plain

CAR = plain("CAR", ("constant", "accessory", "ignition", "reverse", "ground", "start"), state="on the car")


def levels_of(job: Job) -> Levels:
    cache = ElementCache(library())
    elements = whole(cache.of(job, part) for part in job.parts.values())
    levels = Levels(Engine(job, library(), build(job)), elements)
    for _ in levels.steps():
        pass
    return levels


def near(value: float) -> object:
    """Within what small drops in contacts, feeds and the battery take."""
    return pytest.approx(value, abs=0.01)


def volts(job: Job, text: str, name: str) -> float | None:
    ref = job.terminal_from(text)
    assert ref is not None
    return levels_of(job).volts(ref, position(name))


RELAY = plain(
    "RLY",
    [""] * 5,
    internals=(Relay(coil_plus="A-1", coil_minus="A-2", common="A-3", make="A-4", rest="A-5"),),
)
FUSE = plain("FUS", ["", ""], internals=(Fuse(a="A-1", b="A-2", amps=5),))
DIODE = plain("DIO", ["", ""], internals=(Diode(anode="A-1", cathode="A-2"),))
STEP = plain(
    "SDN",
    ["", "", ""],
    internals=(
        StepDown(
            input="A-1", output="A-2", common="A-3", volts_out=6.0, accepts=VoltWindow(least=9, most=16)
        ),
    ),
)
BOX = plain("BOX", ("accessory", "ground"))


# Live in off, accessory, run and start: constant 1111, accessory 0110, ignition 0011, start 0001.
@pytest.mark.parametrize(
    ("pin", "pattern"), [("1", "1111"), ("2", "0110"), ("3", "0011"), ("6", "0001"), ("4", "0000")]
)
def test_feeds_are_told_apart_by_where_they_are_live(pin: str, pattern: str) -> None:
    levels = levels_of(jobs_of(CAR))
    keys = ("off", "accessory", "run", "start")
    live = "".join(str(int(levels.live(f"CAR.A-{pin}", position(key)))) for key in keys)
    assert live == pattern


def test_a_reverse_feed_needs_the_switch() -> None:
    job = jobs_of(CAR)
    # What else hangs on the car's feed pulls it down.
    assert volts(job, "CAR-4", "run") == near(0.0)
    assert volts(job, "CAR-4", "run+reverse") == near(12.6)


def test_ground_is_nought_and_what_nothing_drives_floats() -> None:
    job = joined(jobs_of(CAR, BOX), "CAR-5 BOX-2")
    assert volts(job, "BOX-2", "off") == near(0.0)
    assert volts(job, "BOX-1", "off") == near(0.0)  # the box itself pulls it down
    assert volts(jobs_of(CAR, RELAY), "RLY-4", "off") is None


def test_a_fuse_lets_volts_through_both_ways() -> None:
    for group in ("CAR-1 FUS-1", "CAR-1 FUS-2"):
        job = joined(jobs_of(CAR, FUSE), group)
        assert volts(job, "FUS-1", "start") == near(10.0)
        assert volts(job, "FUS-2", "start") == near(10.0)


def test_a_diode_lets_volts_through_forward_less_its_drop() -> None:
    forward = joined(jobs_of(CAR, DIODE, BOX), "CAR-1 DIO-1", "DIO-2 BOX-1", "CAR-5 BOX-2")
    backward = joined(jobs_of(CAR, DIODE, BOX), "CAR-1 DIO-2", "DIO-1 BOX-1", "CAR-5 BOX-2")
    assert volts(forward, "BOX-1", "off") == near(12.6 - 0.7)
    assert volts(backward, "BOX-1", "off") == near(0.0)


def test_ground_pulls_a_diodes_anode_and_not_its_cathode() -> None:
    pulled = joined(jobs_of(CAR, DIODE), "CAR-5 DIO-2")
    held = joined(jobs_of(CAR, DIODE), "CAR-5 DIO-1")
    assert levels_of(pulled).ground("DIO.A-1", position("off")) is not None
    assert levels_of(held).ground("DIO.A-2", position("off")) is None


def test_a_relay_closes_its_make_contact_when_its_coil_is_fed_and_grounded() -> None:
    job = joined(jobs_of(CAR, RELAY), "CAR-2 RLY-1", "CAR-5 RLY-2", "CAR-1 RLY-3")
    assert (volts(job, "RLY-4", "off"), volts(job, "RLY-5", "off")) == (None, near(12.6))
    assert (volts(job, "RLY-4", "run"), volts(job, "RLY-5", "run")) == (near(12.6), None)
    # Its coil drops out with the accessory while cranking.
    assert volts(job, "RLY-4", "start") is None


def test_a_relay_whose_coil_has_no_ground_stays_at_rest() -> None:
    job = joined(jobs_of(CAR, RELAY), "CAR-2 RLY-1", "CAR-1 RLY-3")
    assert volts(job, "RLY-4", "run") is None


def test_a_relay_that_holds_itself_stays_closed_through_the_crank() -> None:
    """Its coil is fed from its own contact; started by the accessory through a diode."""
    job = joined(
        jobs_of(CAR, RELAY, DIODE),
        "CAR-2 DIO-1",
        "DIO-2 RLY-1",
        "CAR-5 RLY-2",
        "CAR-1 RLY-3",
        "RLY-4 RLY-1",
    )
    assert volts(job, "RLY-4", "off") == near(0.0)
    assert volts(job, "RLY-4", "accessory") == near(12.6)
    assert volts(job, "RLY-4", "start") == near(10.0)


def test_a_relay_that_cuts_its_own_coil_chatters_and_is_named() -> None:
    job = joined(jobs_of(CAR, RELAY), "CAR-1 RLY-3", "RLY-5 RLY-1", "CAR-5 RLY-2")
    assert levels_of(job).unsettled["run"] == ("RLY",)


def test_a_step_down_gives_its_volts_where_it_is_fed_and_grounded() -> None:
    job = joined(jobs_of(CAR, STEP), "CAR-2 SDN-1", "CAR-5 SDN-3")
    assert volts(job, "SDN-2", "run") == near(6.0)
    assert volts(job, "SDN-2", "off") is None
    assert not levels_of(ed.unjoin(job, "SDN.A-3")).live("SDN.A-2", position("run"))


def test_a_step_down_fed_at_its_output_passes_volts_back() -> None:
    job = joined(jobs_of(CAR, STEP), "CAR-1 SDN-2", "CAR-5 SDN-3")
    assert volts(job, "SDN-1", "off") == near(12.6 - 0.7)
    assert levels_of(job).unsettled == {}


def test_a_path_goes_from_the_source_through_what_lies_between() -> None:
    job = joined(jobs_of(CAR, FUSE, STEP, BOX), "CAR-1 FUS-1", "FUS-2 SDN-1", "CAR-5 SDN-3", "SDN-2 BOX-1")
    levels = levels_of(job)
    (drive,) = levels.feeds("BOX.A-1", position("run"))
    assert levels.path(drive, "BOX.A-1") == (
        *("CAR.A-1", "J1", "FUS.A-1"),
        *("FUS.A-2", "J2", "SDN.A-1"),
        *("SDN.A-2", "J4", "BOX.A-1"),
    )


def test_an_unreliable_ground_is_a_ground_but_no_return() -> None:
    mast = plain("ANT", [""], state="on the car", internals=(GroundPoint(terminal="A-1", reliable=False),))
    levels = levels_of(joined(jobs_of(mast, BOX), "ANT-1 BOX-2"))
    assert levels.ground("BOX.A-2", position("run")) is not None
    assert not levels.returns("BOX.A-2", position("run"))


def test_a_feed_and_ground_on_one_net_are_a_short_with_no_volts() -> None:
    levels = levels_of(joined(jobs_of(CAR), "CAR-2 CAR-5"))
    assert levels.shorted("CAR.A-2", position("run"))
    assert levels.volts("CAR.A-2", position("run")) is None
    assert not levels.shorted("CAR.A-2", position("off"))


def test_in_a_car_with_positive_ground_feeds_are_below_the_body() -> None:
    job = ed.set_settings(joined(jobs_of(CAR, STEP, DIODE), "CAR-1 SDN-3", "CAR-5 SDN-1"), ground="positive")
    assert volts(job, "CAR-1", "off") == near(-12.6)
    # The step-down has its plus on the body and its minus on the feed, and gives 6 V above its minus.
    assert volts(job, "SDN-2", "off") == near(-6.6)
    through = joined(jobs_of(CAR, DIODE, BOX), "CAR-1 DIO-2", "DIO-1 BOX-2", "CAR-5 BOX-1")
    through = ed.set_settings(through, ground="positive")
    assert volts(through, "DIO-1", "off") == near(-11.9)


def test_an_output_is_live_while_its_equipment_is_on_unless_it_says_otherwise() -> None:
    plain_output = plain("REC", ("antenna-turn-on",))
    own = plain("REC", [""], internals=(Output(terminal="A-1", live=LiveIn(keys=("run",)), volts=5.0),))
    names = [p.name for p in levels_of(jobs_of(plain_output)).ever_live("REC.A-1")]
    assert names == ["accessory", "run", "running"]
    assert volts(jobs_of(own), "REC-1", "run") == near(5.0)
    assert volts(jobs_of(own), "REC-1", "running") is None


def test_a_factory_output_of_6_volts_gives_6_volts() -> None:
    feed = Cavity(pin="1", function="reverse", flow="gives", volts=6.0)
    job = capped(jobs_of(plain("CAR", (feed,), state="on the car")))
    assert volts(job, "CAR-1", "run+reverse") == near(6.0)


def test_a_dimmed_feed_shows_its_average_and_hits_with_its_full_volts() -> None:
    job = capped(jobs_of(plain("CAR", ("dimmer", "ground"), state="on the car")))
    job = ed.set_settings(job, dim=0.4)
    levels = levels_of(job)
    lit = position("running+lights")
    point = levels.engine.point(lit)
    shown = point.volts("CAR.A-1")
    assert shown is not None
    assert shown - point.body_volts == near(0.4 * 14.2)
    assert levels.volts("CAR.A-1", lit) == near(14.2)
    assert levels.volts("CAR.A-1", position("running")) == near(0.0)
