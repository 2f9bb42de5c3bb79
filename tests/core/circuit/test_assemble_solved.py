"""Small jobs put together and solved: what hands and a meter would find."""

from __future__ import annotations

import pytest

from core.circuit.plan import Plan
from core.circuit.positions import standard_set
from core.job import internals as kinds
from core.job.internals import LiveIn, VoltWindow
from core.job.parts import Part
from tests.core.checks.jobs import good_jobs
from tests.core.circuit.balance import check
from tests.core.circuit.cases.build import ACCESSORY, Run, body, part, while_on
from tests.core.circuit.cases.build import ALWAYS as ALL_KEYS
from tests.core.circuit.drawn import Solutions, planned, wired

NEAR = 0.02
"""Volts: wires, contacts and fuses of these small jobs lose no more."""


def car(*feeds: kinds.Feed) -> Part:
    return part("CAR", "1 2 3", *feeds, car=True)


def constant(**fields: object) -> kinds.Feed:
    return kinds.Feed.model_validate({"terminal": "A-1", "live": ALL_KEYS} | fields)


def fed(inside: kinds.Internal, *feeds: kinds.Feed, pins: str = "p m", **settings: object) -> Plan:
    """A part between the first feed of the car and a point on its body."""
    parts = [car(*(feeds or (constant(),))), body(), part("BOX", pins, inside)]
    return wired(parts, [Run("CAR-1", "BOX-p"), Run("BOX-m", "GND-bolt")], **settings)


def test_a_feed_is_live_in_its_positions() -> None:
    lamps = LiveIn(keys=ALL_KEYS.keys, switch="lights")
    dim = kinds.Feed(terminal="A-2", live=lamps)
    solved = Solutions(wired([car(kinds.Feed(terminal="A-1", live=ACCESSORY), dim)], []))
    found = {name: solved.volts("CAR-1", name) for name in ("off", "accessory", "run", "start", "running")}
    assert found == pytest.approx(
        {"off": 0, "accessory": 12.6, "run": 12.6, "start": 0, "running": 14.2}, abs=NEAR
    )
    assert solved.volts("CAR-2", "off") == pytest.approx(0, abs=NEAR)
    assert solved.volts("CAR-2", "off+lights") == pytest.approx(12.6, abs=NEAR)
    # Two pins nothing is wired to: no volts are invented.
    assert solved.volts("CAR-3", "run") is None


def test_with_plus_on_the_body_feeds_are_below_it() -> None:
    load = kinds.Load(plus="A-p", minus="A-m", ohms=6.0)
    parts = [car(constant()), body(), part("BOX", "p m", load)]
    runs = [Run("GND-bolt", "BOX-p"), Run("CAR-1", "BOX-m")]
    solved = Solutions(wired(parts, runs, ground="positive"))
    assert solved.volts("CAR-1", "off") == pytest.approx(-12.6, abs=0.05)
    assert solved.amps("BOX#0", "off") == pytest.approx(2.1, abs=0.01)


def test_six_and_twenty_four_volts() -> None:
    load = kinds.Load(plus="A-p", minus="A-m", ohms=24.0)
    for system, volts in ((6, 6.3), (24, 25.2)):
        solved = Solutions(fed(load, system_volts=system))
        assert solved.amps("BOX#0", "off") == pytest.approx(volts / 24, rel=0.002)


def test_a_shared_fuse_takes_its_other_feeds_with_it() -> None:
    feeds = [constant(fuse="radio", fuse_amps=10.0), constant(terminal="A-2", fuse="radio")]
    solved = Solutions(fed(kinds.Load(plus="A-p", minus="A-m", ohms=0.5), *feeds))
    found = solved.at("off")
    assert found.opened == ("fuse radio",)
    assert found.moment.device_amps["fuse radio"] > 20
    assert solved.volts("CAR-2", "off") == pytest.approx(0, abs=NEAR)


def test_a_pulsed_feed_has_an_average_and_its_full_volts() -> None:
    load = kinds.Load(plus="A-p", minus="A-m", ohms=100.0)
    for ground, sign in (("negative", 1), ("positive", -1)):
        feed = constant(manner="pulsed", duty=0.25)
        parts = [car(feed), body(), part("BOX", "p m", load)]
        runs = [Run("CAR-1", "BOX-p"), Run("BOX-m", "GND-bolt")]
        if sign < 0:
            runs = [Run("CAR-1", "BOX-m"), Run("BOX-p", "GND-bolt")]
        plan = wired(parts, runs, ground=ground)
        assert Solutions(plan).volts("CAR-1", "off") == pytest.approx(sign * 3.15, abs=NEAR)
        assert Solutions(plan, full=True).volts("CAR-1", "off") == pytest.approx(sign * 12.6, abs=NEAR)


def test_a_chain_of_feeds() -> None:
    chain = (
        constant(),
        kinds.Feed(terminal="A-2", live=ACCESSORY, fed_from="A-1", fuse_amps=5.0),
        kinds.Feed(terminal="A-3", live=ALL_KEYS, fed_from="A-2", volts=5.0),
    )
    solved = Solutions(wired([car(*chain)], []))
    assert solved.volts("CAR-3", "run") == pytest.approx(5.0, abs=NEAR)
    assert solved.volts("CAR-2", "run") == pytest.approx(12.6, abs=NEAR)
    assert solved.volts("CAR-3", "off") == pytest.approx(0, abs=NEAR)


def test_a_parking_brake_and_what_holds_its_lead_up() -> None:
    closed = LiveIn(keys=ALL_KEYS.keys, switch="parking")
    lamp = kinds.SwitchToGround(terminal="A-1", closed=closed, pull_up_ohms=120.0, pulled_up=ACCESSORY)
    solved = Solutions(wired([part("CAR", "1", lamp, car=True)], []))
    assert solved.volts("CAR-1", "running") == pytest.approx(14.2, abs=NEAR)
    assert solved.volts("CAR-1", "running+parking") == pytest.approx(0, abs=NEAR)
    assert solved.volts("CAR-1", "off") is None


def test_an_input_that_looks_for_ground() -> None:
    sense = kinds.Sense(terminal="A-s", reference="A-m", active="low", pull_up_ohms=1e3, pull_up_volts=5.0)
    brake = kinds.SwitchToGround(terminal="A-1", closed=while_on("parking"))
    parts = [part("BOX", "s m", sense), part("CAR", "1", brake, car=True), body()]
    solved = Solutions(wired(parts, [Run("BOX-s", "CAR-1"), Run("BOX-m", "GND-bolt")]))
    assert solved.volts("BOX-s", "run") == pytest.approx(5.0 * 47 / 48, abs=NEAR)
    assert solved.volts("BOX-s", "run+parking") == pytest.approx(0, abs=NEAR)


def test_an_output_follows_its_supply_and_what_turns_it_on() -> None:
    inside = (
        kinds.Output(terminal="A-o", live=ALL_KEYS, fed_from="A-p", on_by="A-a", reference="A-m"),
        kinds.Output(terminal="A-c", live=ALL_KEYS, volts=6.0, fed_from="A-p", on_by="A-a", reference="A-m"),
        kinds.Sense(terminal="A-o", reference="A-m"),
        kinds.Sense(terminal="A-c", reference="A-m"),
    )
    parts = [
        car(constant(), kinds.Feed(terminal="A-2", live=ACCESSORY)),
        body(),
        part("BOX", "p m a o c", *inside),
    ]
    runs = [Run("CAR-1", "BOX-p"), Run("CAR-2", "BOX-a"), Run("BOX-m", "GND-bolt")]
    solved = Solutions(wired(parts, runs))
    found = [solved.volts(f"BOX-{pin}", key) for key in ("off", "run") for pin in ("o", "c")]
    assert found == pytest.approx([0, 0, 12.6, 6.0], abs=NEAR)


def test_a_low_side_output_works_a_relay() -> None:
    relay = kinds.Relay(
        coil_plus="A-86", coil_minus="A-85", common="A-30", make="A-87", clamp="diode", coil_ohms=85.0
    )
    output = kinds.LowSideOutput(terminal="A-o", reference="A-m", live=ACCESSORY)
    load = kinds.Load(plus="A-p", minus="A-m", ohms=10.0)
    parts = [
        car(constant()),
        body(),
        part("REL", "30 85 86 87", relay),
        part("BOX", "o m", output),
        part("LMP", "p m", load),
    ]
    runs = [
        Run("CAR-1", "REL-86"),
        Run("CAR-1", "REL-30"),
        Run("REL-85", "BOX-o"),
        Run("BOX-m", "GND-bolt"),
        Run("REL-87", "LMP-p"),
        Run("LMP-m", "GND-bolt"),
    ]
    solved = Solutions(wired(parts, runs))
    assert solved.amps("REL#0 coil", "run") == pytest.approx(12.6 / 85, rel=0.01)
    assert solved.amps("LMP#0", "run") == pytest.approx(1.26, abs=0.01)
    assert solved.amps("LMP#0", "off") == pytest.approx(0, abs=1e-3)


def test_bridged_speaker_leads_rest_at_half_the_supply() -> None:
    output = kinds.SpeakerOutput(plus="A-l", minus="A-r", fed_from="A-p")
    speaker = kinds.Speaker(plus="A-1", minus="A-2", ohms=4.0)
    load = kinds.Load(plus="A-p", minus="A-m", ohms=1000.0)
    parts = [car(constant()), body(), part("BOX", "p m l r", output, load), part("SPK", "1 2", speaker)]
    runs = [
        Run("CAR-1", "BOX-p"),
        Run("BOX-m", "GND-bolt"),
        Run("BOX-l", "SPK-1"),
        Run("BOX-r", "SPK-2"),
    ]
    solved = Solutions(wired(parts, runs))
    assert solved.volts("SPK-1", "off") == pytest.approx(6.3, abs=NEAR)
    assert solved.volts("SPK-1", "off", against="SPK-2") == pytest.approx(0, abs=1e-6)
    # On ground a lead drives all that it can, and the speaker gets steady amps: it burns.
    grounded = Solutions(wired(parts, [*runs, Run("SPK-2", "GND-bolt")]))
    assert grounded.amps("BOX#0 -", "off") > 50
    assert grounded.amps("BOX#0 +", "off") > 1


def test_a_step_down_and_a_step_up() -> None:
    window = VoltWindow(least=9, most=16)
    for internal, volts in (
        (kinds.StepDown(input="A-p", output="A-o", common="A-m", volts_out=5.0, accepts=window), 5.0),
        (kinds.StepUp(input="A-p", output="A-o", common="A-m", volts_out=19.0, accepts=window), 19.0),
    ):
        load = kinds.Load(plus="A-p", minus="A-m", watts=10.0, least_volts=4.0)
        parts = [car(constant()), body(), part("CON", "p o m", internal), part("BOX", "p m", load)]
        runs = [
            Run("CAR-1", "CON-p"),
            Run("CON-m", "GND-bolt"),
            Run("CON-o", "BOX-p"),
            Run("BOX-m", "GND-bolt"),
        ]
        solved = Solutions(wired(parts, runs))
        assert solved.volts("BOX-p", "off") == pytest.approx(volts, abs=0.05)
        # 10 W at 85 % from 12.6 V, and what it takes idle.
        assert solved.amps("CON#0 in", "off") == pytest.approx(10 / 0.85 / 12.6 + 0.01, rel=0.02)


def test_a_held_button_pulls_the_readers_lead_down() -> None:
    ladder = kinds.ButtonLadder(
        signal="A-s", reference="A-g", ohms={"next": 1000.0, "Volume +": 330.0}, rest_ohms=4700.0
    )
    reader = kinds.LadderReader(terminal="A-s", reference="A-g", pull_up_ohms=1000.0, pull_up_volts=3.3)
    parts = [part("WHL", "s g", ladder, car=True), part("STW", "s g", reader), body()]
    runs = [Run("WHL-s", "STW-s"), Run("WHL-g", "STW-g"), Run("STW-g", "GND-bolt")]
    plan = wired(parts, runs)
    solved = Solutions(plan)
    for where, ohms in (("off", 4700.0), ("off+next", 1000.0), ("run+volume-plus", 330.0)):
        expected = 3.3 * ohms / (1000.0 + ohms)
        assert solved.volts("STW-s", where) == pytest.approx(expected, abs=0.001)


def test_a_hand_switch_and_a_second_battery() -> None:
    cut_off = kinds.SwitchContact(a="A-1", b="A-2", closed=while_on("cut-off"))
    second = kinds.Battery(plus="A-p", minus="A-m", rest_volts=12.0, ohms=0.02)
    parts = [car(constant()), body(), part("SW", "1 2", cut_off), part("AUX", "p m", second)]
    runs = [Run("CAR-1", "SW-1"), Run("SW-2", "AUX-p"), Run("AUX-m", "GND-bolt")]
    solved = Solutions(wired(parts, runs, switches=["cut-off"]))
    assert solved.amps("AUX#0", "off") == pytest.approx(0, abs=1e-9)
    # The fuller one charges the other: less than nothing comes out of its plus.
    assert solved.amps("AUX#0", "off+cut-off") < -10


def test_returns_of_a_part_are_bonded_inside() -> None:
    load = kinds.Load(plus="A-p", amps=2.0)
    meant = {"m": "ground", "n": "ground"}
    parts = [car(constant()), body(), part("BOX", "p m n", load, functions=meant)]
    # Its main ground is left off: the amps leave by the other.
    solved = Solutions(wired(parts, [Run("CAR-1", "BOX-p"), Run("BOX-n", "GND-bolt", "1 mm2", 1000.0)]))
    assert solved.amps("BOX#0", "off") == pytest.approx(2.0)
    assert solved.volts("BOX-m", "off") == pytest.approx(2.0 * 0.0195, rel=0.02)


@pytest.mark.parametrize("name", sorted(good_jobs()))
def test_whole_jobs_balance_in_every_position(name: str) -> None:
    plan = planned(good_jobs()[name])
    solved = Solutions(plan)
    for place in standard_set(plan.switches):
        check(plan.network, place, solved.at(place.name).after)
