"""Wiring that went wrong in the field, or nearly: told again in small jobs of invented cars."""

from __future__ import annotations

import pytest

from core import edits as ed
from core.checks.finding import Conflict
from core.job.document import Job
from core.job.faces import Face
from core.job.internals import Feed, GroundPoint, LiveIn, Load, VoltWindow
from core.job.parts import Cavity, Connector
from tests.core.checks.jobs import add, capped, checked, jobs_of, joined, off, plain, plug_job, radio, simple

SIX_VOLTS = Cavity(pin="1", function="camera-feed", accepts=VoltWindow(least=5.0, most=7.0))


def conflicts(job: Job, *, final: bool = True) -> list[Conflict]:
    return list(checked(job, final=final).unfolded())


def told(job: Job, *, final: bool = True) -> list[tuple[str, str]]:
    return [(c.level, c.rule) for c in conflicts(job, final=final)]


def test_a_radio_that_forgets_everything_at_key_off() -> None:
    """Constant and accessory are exchanged: dead memory in off, and a lead that is always live."""
    car = plain("CAR", ("accessory", "constant", "ground"), state="on the car", colours="RD YE BK")
    job = joined(jobs_of(car, simple().parts["BOX"]), "CAR-1 BOX-1", "CAR-2 BOX-2", "CAR-3 BOX-3")
    found = conflicts(job)
    assert [(c.level, c.rule, c.where) for c in found] == [
        ("stop", "constant and accessory exchanged", ("BOX.A-1", "BOX.A-2"))
    ]


def test_a_factory_radio_that_was_woken_by_data() -> None:
    """The car's plug has no accessory: the receiver's lead goes to a cavity without a terminal."""
    job = ed.set_cavity(radio(), "RADC.A-4", found="empty")
    (conflict,) = conflicts(job)
    assert (conflict.level, conflict.rule) == ("stop", "lead whose mate is empty or blocked")
    assert conflict.where[0] == "RAD.A-4"


def test_a_run_signal_that_falls_away_while_cranking() -> None:
    """Only what is said to be needed while cranking is dead there."""
    live = LiveIn(keys=("accessory", "run", "start", "running"))
    needs_all = plain("BOX", ("accessory", "ground"))
    job = joined(
        jobs_of(plain("CAR", ("accessory", "ground"), state="on the car"), needs_all),
        "CAR-1 BOX-1",
        "CAR-2 BOX-2",
    )
    assert told(job) == []
    load = Load(plus="A-1", minus="A-2", needed=live)
    part = needs_all.changed(internals=(load,))
    strict = job.changed(parts=dict(job.parts) | {"BOX": part})
    (conflict,) = conflicts(strict)
    assert conflict.rule == "feed falls while cranking below what the load needs"
    assert conflict.positions == ("start",)


def test_a_radio_grounded_through_its_antenna_alone() -> None:
    mast = plain(
        "ANT", ("antenna",), state="on the car", internals=(GroundPoint(terminal="A-1", reliable=False),)
    )
    job = joined(ed.add_part(ed.unjoin(simple(), "BOX.A-3"), mast), "BOX-3 ANT-1")
    found = [c for c in conflicts(job) if c.rule == "no return"]
    assert [c.where for c in found] == [("BOX.A-3",)]
    assert "no reliable ground" in found[0].why


def test_a_black_lead_that_mates_with_nothing() -> None:
    """The ground of the adapter has no terminal opposite."""
    job = ed.set_cavity(radio(), "RADC.A-1", found="empty")
    (conflict,) = conflicts(job)
    assert conflict.where[0] == "RAD.A-1"
    assert conflict.level == "stop"


def test_a_bridged_output_on_speakers_with_one_lead_on_the_body() -> None:
    job = joined(add(radio(), "Body ground point"), "RAD-10 GND-1")
    (conflict,) = conflicts(job)
    assert (conflict.level, conflict.rule) == ("stop", "speaker lead grounded")
    assert set(conflict.where) == {"RAD.A-10", "REC.A-10"}


def test_a_camera_for_5_to_7_volts_on_a_reverse_feed_of_12() -> None:
    """12.6 V at rest and 14.2 V with the engine running, against 5 to 7 V."""
    car = plain("CAR", ("reverse", "ground"), state="on the car")
    job = joined(jobs_of(car, plain("EYE", (SIX_VOLTS, "camera-return"))), "CAR-1 EYE-1", "CAR-2 EYE-2")
    (conflict,) = conflicts(job)
    assert conflict.rule == "more volts than the part accepts"
    assert conflict.numbers["volts"] == pytest.approx(12.6, abs=0.001)
    assert conflict.message.startswith("EYE-1 would see 12.6 V in run+reverse; it accepts 5 to 7 V.")


def test_a_camera_fed_6_volts_by_its_own_radio() -> None:
    """The factory feed gives 6 V: nothing is wrong, until somebody joins the 12 V feed to it."""
    feed = Cavity(pin="1", function="", label="camera supply")
    live = LiveIn(keys=("run", "running"), switch="reverse")
    car = plain(
        "CAR",
        (feed, "ground", "accessory"),
        state="on the car",
        internals=(Feed(terminal="A-1", live=live, volts=6.0),),
    )
    job = joined(jobs_of(car, plain("EYE", (SIX_VOLTS, "camera-return"))), "CAR-1 EYE-1", "CAR-2 EYE-2")
    assert told(ed.cap(job, ["CAR.A-3"])) == []
    (conflict,) = conflicts(joined(job, "CAR-3 CAR-1"))
    assert conflict.rule == "feeds of different positions joined"
    assert "push" in conflict.message


def test_a_pinout_entered_from_the_wrong_side() -> None:
    """Every pin stands at its mirror image: the constant of the car meets the lead meant for ground."""
    job = plug_job()
    plug = job.parts["PLG"]
    face = plug.connectors[0].face
    assert face is not None
    turned = Face(grid=tuple(row[::-1] for row in face.grid), gender=face.gender)
    (connector,) = plug.connectors
    mirrored = plug.changed(connectors=(Connector(name="A", face=turned, cavities=connector.cavities),))
    found = conflicts(job.changed(parts=dict(job.parts) | {"PLG": mirrored}))
    assert any(c.level == "stop" for c in found)
    assert all("PLG" in c.where[0] or "BOX" in c.where[0] for c in found)


def test_a_negative_ground_radio_in_a_positive_ground_car() -> None:
    """Wired as in any other car it stands on its head; the other way round it is right."""
    wrong = ed.set_settings(simple(), ground="positive")
    (conflict,) = [c for c in conflicts(wrong) if c.rule == "reversed polarity"]
    assert set(conflict.where) >= {"BOX.A-1", "BOX.A-3"}
    car = plain("CAR", ("constant", "ground"), state="on the car")
    right = joined(jobs_of(car, plain("BOX", ("constant", "ground"))), "CAR-1 BOX-2", "CAR-2 BOX-1")
    assert told(ed.set_settings(right, ground="positive")) == []


def test_ends_left_over_from_a_removed_alarm() -> None:
    """A live lead, and one of the parking lamps: both bare behind the dash."""
    car = plain("CAR", ("constant", "illumination"), state="on the car")
    found = conflicts(jobs_of(car))
    assert [(c.level, c.rule, c.where[0]) for c in found] == [
        ("stop", "lead that is live with no cap", "CAR.A-1"),
        ("stop", "lead that is live with no cap", "CAR.A-2"),
    ]
    assert told(capped(jobs_of(car))) == []


def test_two_feeds_through_diodes_into_one_lead() -> None:
    """As a start signal is taken from the key and from a remote starter: neither feeds the other."""
    car = plain("CAR", ("ignition", "accessory", "ground"), state="on the car")
    job = jobs_of(car, plain("BOX", ("ignition", "ground")))
    job = add(add(job, "Isolation diode, 1 A"), "Isolation diode, 1 A")
    tags = [tag for tag in job.parts if tag not in ("CAR", "BOX")]
    job = joined(
        job, f"CAR-1 {tags[0]}-1", f"CAR-2 {tags[1]}-1", f"{tags[0]}-2 {tags[1]}-2 BOX-1", "CAR-3 BOX-2"
    )
    assert told(job) == []
    bypassed = joined(job, f"CAR-1 {tags[0]}-2")
    assert ("stop", "feeds of different positions joined") in told(bypassed)


def test_a_plug_of_the_car_that_is_not_mated_is_the_cars_own_business() -> None:
    assert told(add(Job(), "ISO 10487 plug C1"), final=False) == []


def test_a_new_job_is_a_list_of_things_to_decide_and_no_wall_of_stops() -> None:
    job = add(add(add(Job(), "Radio plug, 24-way"), "Receiver, 16-way lead set"), "Amplifier, four channels")
    result = checked(job)
    assert result.conflicts == ()
    assert len(result.open_ends) > 20


def test_half_a_job_says_nothing_of_what_is_still_open() -> None:
    job = off(radio(), "REC.A-1", "REC.A-3", "REC.A-5", "REC.A-6")
    assert checked(job).conflicts == ()
