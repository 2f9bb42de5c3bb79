"""Batteries, feeds, grounds and switches to ground as pieces of a circuit."""

from __future__ import annotations

import pytest

from core.circuit import network as net
from core.circuit.network import ALWAYS
from core.job import internals as kinds
from core.job.internals import LiveIn, VoltWindow
from tests.core.checks.jobs import library
from tests.core.circuit.cases.build import ALWAYS as ALL_KEYS
from tests.core.circuit.drawn import box, device, node, ohms, resistance

LIMITS = library().limits
RUN = LiveIn(keys=("run", "running"))
WINDOW = VoltWindow(least=9, most=16)


def test_a_battery() -> None:
    plan = box("1 2", kinds.Battery(plus="A-1", minus="A-2", start_volts=9.5, ohms=0.02))
    found = device(plan, "BOX#0", net.Source)
    assert (found.plus, found.minus) == (node(plan, "BOX-1"), node(plan, "BOX-2"))
    assert found.volts == pytest.approx((12.6, 12.6, 12.6, 9.5, 14.2))
    assert found.ohms == 0.02
    assert found.limit_amps is None


def test_a_feed() -> None:
    plan = box("1", kinds.Feed(terminal="A-1", live=RUN))
    found = device(plan, "BOX#0", net.GatedSwitch)
    assert (found.a, found.b, found.ohms) == (
        node(plan, "battery +"),
        node(plan, "BOX-1"),
        LIMITS["feed_ohms"],
    )
    assert plan.network.conditions[found.when] == RUN
    # What else hangs on it pulls it down while it is off.
    rest = resistance(plan, "BOX#0 rest")
    assert rest == (node(plan, "BOX-1"), plan.network.ground, LIMITS["feed_rest_ohms"], ALWAYS)
    assert [plan.names[row] for row in plan.rests] == ["BOX#0 rest"]


def test_a_feed_behind_a_fuse_of_its_own() -> None:
    plan = box("1", kinds.Feed(terminal="A-1", live=RUN, fuse_amps=10.0, ohms=0.05))
    fuse, switch = device(plan, "BOX#0 fuse", net.Fuse), device(plan, "BOX#0", net.GatedSwitch)
    assert (fuse.a, fuse.b) == (node(plan, "battery +"), switch.a)
    assert (fuse.amps, fuse.ohms) == pytest.approx((10.0, 0.01))
    assert (switch.b, switch.ohms) == (node(plan, "BOX-1"), 0.05)
    assert plan.devices["BOX#0 fuse"] == plan.devices["BOX#0"]


def test_feeds_share_a_vehicle_fuse_by_its_words() -> None:
    plan = box(
        "1 2 3",
        kinds.Feed(terminal="A-1", live=RUN, fuse="radio", fuse_amps=15.0),
        kinds.Feed(terminal="A-2", live=ALL_KEYS, fuse="radio", fuse_amps=10.0),
        kinds.Feed(terminal="A-3", live=ALL_KEYS, fuse="radio"),
    )
    fuse = device(plan, "fuse radio", net.Fuse)
    # Where their words do not agree, the fuse is the weaker one.
    assert (fuse.a, fuse.amps) == (node(plan, "battery +"), 10.0)
    assert {device(plan, f"BOX#{n}", net.GatedSwitch).a for n in range(3)} == {fuse.b}
    named = box("1", kinds.Feed(terminal="A-1", live=RUN, fuse="radio"))
    assert not [d for d in named.network.devices if isinstance(d, net.Fuse)]
    assert device(named, "BOX#0", net.GatedSwitch).a == node(named, "battery +")


def test_a_feed_of_its_own_volts() -> None:
    plan = box("1", kinds.Feed(terminal="A-1", live=RUN, volts=5.0, ohms=0.2))
    found = device(plan, "BOX#0", net.Source)
    assert (found.plus, found.minus) == (node(plan, "BOX-1"), plan.network.ground)
    assert (found.volts, found.ohms) == ((5.0,) * 5, 0.2)
    assert plan.network.conditions[found.when] == RUN
    positive = box("1", kinds.Feed(terminal="A-1", live=RUN, volts=5.0), ground="positive")
    found = device(positive, "BOX#0", net.Source)
    assert (found.plus, found.minus) == (positive.network.ground, node(positive, "BOX-1"))
    fused = box("1", kinds.Feed(terminal="A-1", live=RUN, volts=5.0, fuse_amps=2.0))
    fuse = device(fused, "BOX#0 fuse", net.Fuse)
    assert (fuse.a, fuse.b) == (device(fused, "BOX#0", net.Source).plus, node(fused, "BOX-1"))


def test_a_feed_from_another() -> None:
    first = kinds.Feed(terminal="A-1", live=ALL_KEYS)
    plan = box("1 2", first, kinds.Feed(terminal="A-2", live=RUN, fed_from="A-1", fuse_amps=5.0))
    fuse, switch = device(plan, "BOX#1 fuse", net.Fuse), device(plan, "BOX#1", net.GatedSwitch)
    assert (fuse.a, fuse.b, switch.a, switch.b) == (
        node(plan, "BOX-1"),
        switch.a,
        fuse.b,
        node(plan, "BOX-2"),
    )
    lower = box("1 2", first, kinds.Feed(terminal="A-2", live=RUN, fed_from="A-1", volts=5.0))
    regulator = device(lower, "BOX#1", net.Regulator)
    assert (regulator.input, regulator.output) == (node(lower, "BOX-1"), node(lower, "BOX-2"))
    assert (regulator.volts_out, regulator.switching) == (5.0, False)


def test_a_pulsed_feed_at_its_average_and_at_its_full_volts() -> None:
    plan = box("1", kinds.Feed(terminal="A-1", live=RUN, manner="pulsed", duty=0.25))
    average = device(plan, "BOX#0", net.Regulator)
    assert (average.input, average.output) == (node(plan, "battery +"), node(plan, "BOX-1"))
    assert (average.common, average.ratio, average.volts_out) == (plan.network.ground, 0.25, None)
    assert (average.switching, average.efficiency, average.drop_out_volts) == (True, 1.0, 0.0)
    assert plan.pulsed
    (full,) = (d for d in plan.network_full.devices if d.name == "BOX#0")
    assert isinstance(full, net.Regulator)
    assert full.ratio == 1.0
    assert not box("1", kinds.Feed(terminal="A-1", live=RUN)).pulsed


def test_a_ground_point() -> None:
    plan = box("1 2", kinds.GroundPoint(terminal="A-1"), kinds.GroundPoint(terminal="A-2", ohms=0.2))
    ground = plan.network.ground
    assert resistance(plan, "BOX#0") == (node(plan, "BOX-1"), ground, LIMITS["bolt_ohms"], ALWAYS)
    assert ohms(plan, "BOX#1") == 0.2


def test_a_switch_to_ground() -> None:
    set_on = LiveIn(keys=ALL_KEYS.keys, switch="parking")
    plan = box("1", kinds.SwitchToGround(terminal="A-1", closed=set_on, ohms=0.3))
    found = device(plan, "BOX#0", net.GatedSwitch)
    assert (found.a, found.b, found.ohms) == (node(plan, "BOX-1"), plan.network.ground, 0.3)
    assert plan.network.conditions[found.when] == set_on
    assert "BOX#0 pull-up" not in plan.rows
    held = box("1", kinds.SwitchToGround(terminal="A-1", closed=set_on, pull_up_ohms=100.0, pulled_up=RUN))
    a, b, held_by, when = resistance(held, "BOX#0 pull-up")
    assert (a, b, held_by) == (node(held, "battery +"), node(held, "BOX-1"), 100.0)
    assert held.network.conditions[when] == RUN
    low = kinds.SwitchToGround(terminal="A-1", closed=set_on, pull_up_ohms=1e3, pull_up_volts=5)
    source = device(box("1", low), "BOX#0 pull-up", net.Source)
    assert (source.volts, source.ohms) == ((5.0,) * 5, 1e3)
