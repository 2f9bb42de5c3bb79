"""Shorts: the loop, its amps, and what gives way."""

from __future__ import annotations

import pytest

from core.circuit.operating import OperatingPoint
from core.circuit.positions import Position
from core.job.internals import Diode, Feed, Lamp, Load, Output, Speaker
from tests.core.checks.jobs import library
from tests.core.circuit.cases.asked import engine_of
from tests.core.circuit.cases.build import ACCESSORY, ALWAYS, Run, body, job_of, part

OFF, RUN = Position("off"), Position("run")


def shorted(fuse_amps: float | None, *runs: Run) -> OperatingPoint:
    """A feed of the car led to the body by these wires."""
    car = part(
        "CAR", "feed", Feed(terminal="A-feed", live=ACCESSORY, ohms=0.01, fuse_amps=fuse_amps), car=True
    )
    box = part("BOX", "mid")
    return engine_of(job_of([car, box, body()], runs)).point(RUN)


def test_a_fused_feed_on_the_body() -> None:
    # 1 m of 0.75 mm2 is 26 mohm (IEC 60228:2004, class 5); the rest of the loop: battery 1, fuse 10 (0.1 V
    # at 10 A), feed 10, bolt 0.1 and strap 1 mohm.
    point = shorted(10, Run("CAR-feed", "GND-bolt", "0.75 mm2", 1000))
    (short,) = point.shorts
    ohms = 0.026 + 0.001 + 0.01 + 0.01 + 0.0001 + 0.001
    assert short.amps == pytest.approx(12.6 / ohms, rel=1e-3)
    assert (short.source, short.opens, short.burns) == ("battery", "CAR#0 fuse", None)
    assert short.path == ("CAR#0 fuse", "CAR#0", "CAR.A-feed", "W1", "GND.A-bolt")
    assert point.opened == ("CAR#0 fuse",)
    # The state after it: the fuse is open, and nothing flows.
    assert point.amps("W1") == pytest.approx(0, abs=1e-6)
    assert point.moment.amps("W1") == pytest.approx(short.amps, rel=1e-4)
    assert point.moment.opened == ()


def test_without_a_fuse_the_thinnest_wire_burns() -> None:
    thick, thin = Run("CAR-feed", "BOX-mid", "2.5 mm2", 1000), Run("BOX-mid", "GND-bolt", "0.35 mm2", 1000)
    (short,) = shorted(None, thick, thin).shorts
    assert (short.opens, short.burns) == (None, "W2")
    assert short.path == ("CAR#0", "CAR.A-feed", "W1", "BOX.A-mid", "W2", "GND.A-bolt")
    assert short.amps > library().ampacity.amps("0.35 mm2")


def test_what_the_wire_can_carry_for_good_burns_nothing() -> None:
    """30 m of 0.35 mm2 let through less than they may carry: a short all the same."""
    (short,) = shorted(None, Run("CAR-feed", "GND-bolt", "0.35 mm2", 30_000)).shorts
    assert short.amps < library().ampacity.amps("0.35 mm2")
    assert (short.opens, short.burns) == (None, None)


def test_a_short_is_none_while_its_feed_is_off() -> None:
    car = part("CAR", "feed", Feed(terminal="A-feed", live=ACCESSORY), car=True)
    engine = engine_of(job_of([car, body()], [Run("CAR-feed", "GND-bolt")]))
    assert engine.point(OFF).shorts == ()
    assert engine.point(RUN).shorts


def test_what_is_fed_is_no_short() -> None:
    """A lamp, a load, a speaker of 4 ohm and a diode that blocks stand between."""
    between = [
        part("LMP", "a b", Lamp(a="A-a", b="A-b", volts=12, watts=55)),
        part("BOX", "a b", Load(plus="A-a", minus="A-b", watts=300)),
        part("SPK", "a b", Speaker(plus="A-a", minus="A-b", ohms=4)),
        part("DIO", "a b", Diode(anode="A-b", cathode="A-a")),
    ]
    car = part("CAR", "feed", Feed(terminal="A-feed", live=ALWAYS), car=True)
    runs = [Run("CAR-feed", f"{p.id}-a") for p in between] + [Run(f"{p.id}-b", "GND-bolt") for p in between]
    assert engine_of(job_of([car, body(), *between], runs)).point(RUN).shorts == ()


def test_through_a_diode_and_an_output_that_conduct() -> None:
    car = part("CAR", "feed", Feed(terminal="A-feed", live=ALWAYS, fuse_amps=10), car=True)
    box = part("BOX", "in out", Output(terminal="A-out", live=ACCESSORY, fed_from="A-in"))
    diode = part("DIO", "a b", Diode(anode="A-a", cathode="A-b"))
    runs = [Run("CAR-feed", "BOX-in"), Run("BOX-out", "DIO-a"), Run("DIO-b", "GND-bolt")]
    point = engine_of(job_of([car, box, diode, body()], runs)).point(RUN)
    (short,) = point.shorts
    assert short.opens == "CAR#0 fuse"
    assert [name for name in short.path if "#" in name] == ["CAR#0 fuse", "CAR#0", "BOX#0", "DIO#0"]


def test_two_feeds_on_the_body_are_two_shorts() -> None:
    car = part(
        "CAR",
        "one two",
        Feed(terminal="A-one", live=ALWAYS, fuse_amps=10),
        Feed(terminal="A-two", live=ALWAYS, fuse_amps=5),
        car=True,
    )
    runs = [Run("CAR-one", "GND-bolt"), Run("CAR-two", "GND-bolt")]
    point = engine_of(job_of([car, body()], runs)).point(OFF)
    assert {short.opens for short in point.shorts} == {"CAR#0 fuse", "CAR#1 fuse"}
